"""Flaps on their hinges: the corners of a plain tray, where all is known, and what must hold for any."""

import math

import numpy as np
import pytest

from folder.fold.place import folded
from folder.fold.sequence.flaps import Flap, flaps_of, swung
from folder.pattern.faces.faces import faces_of
from folder.pattern.families.catalogue import FAMILIES, make
from folder.pattern.pattern import Pattern


def flaps_on(pattern: Pattern) -> list[Flap]:
    shape = folded(faces_of(pattern))
    return flaps_of(shape, np.ones(len(shape.turn), dtype=np.bool_))


def test_the_flaps_of_a_plain_tray_hang_on_its_upright_edges() -> None:
    """Four, each of two faces, 25 mm deep, on hinges that stand on the floor's corners; each swings from its wall out half way to the
    next: 270 deg lie between the outsides of two walls that meet squarely."""
    flaps = flaps_on(make("square-tray", {}))
    assert {(25.0, 25.0), (125.0, 25.0), (125.0, 125.0), (25.0, 125.0)} == {tuple(f.at[:2].round(9).tolist()) for f in flaps}
    for flap in flaps:
        assert 2 == int(flap.faces.sum())
        assert 25.0 == pytest.approx(flap.depth_mm)
        assert 135.0 == pytest.approx(math.degrees(flap.swing_rad))
        assert [0.0, 0.0, 1.0] == pytest.approx(np.abs(flap.axis).tolist(), abs=1e-12)
        assert 0.0 == pytest.approx(float(flap.away[2]), abs=1e-12)


def test_half_way_out_a_flap_of_a_plain_tray_stands_off_its_wall_by_its_depth_times_the_sine() -> None:
    flap, *others = flaps_on(make("square-tray", {}))
    shape = folded(flap.shape.faces, swung(flap.shape, [flap], 0.5))
    corners = shape.corners[flap.faces[shape.faces.triangle_face]].reshape(-1, 3)
    off = (corners - flap.at) @ flap.away
    assert 25.0 * math.sin(math.radians(67.5)) == pytest.approx(float(off.max()))
    for other in others:  # and the rest stays where it was
        mine = other.faces[shape.faces.triangle_face]
        assert flap.shape.corners[mine] == pytest.approx(shape.corners[mine], abs=1e-9)


@pytest.mark.parametrize("family", FAMILIES)
def test_the_sheet_stays_closed_while_a_flap_swings(family: str) -> None:
    """Each by itself: two that share a part of the sheet do not swing together."""
    flaps = flaps_on(make(family, {}))
    assert bool(flaps) >= FAMILIES[family].has_flat_flaps
    for flap in flaps:
        assert flap.shape.turn.tolist() == swung(flap.shape, [flap], 0.0).tolist()
        for share in (0.3, 1.0):
            turn = swung(flap.shape, [flap], share)
            assert 1e-9 > folded(flap.shape.faces, turn).closure_gap_mm
            assert math.pi + 1e-8 > np.abs(turn).max()


def test_no_flap_is_a_part_of_another() -> None:
    for one in (flaps := flaps_on(make("hemmed-tray", {}))):
        assert not any(
            other is not one and (one.faces <= other.faces).all() and (one.faces != other.faces).any() for other in flaps
        )
