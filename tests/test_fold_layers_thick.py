"""Layers counted, and what holds a flap."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from folder.fold.layers.clash import clashes_of
from folder.fold.layers.face_frames import from_face, to_local
from folder.fold.layers.held import loose_findings, pinches_of
from folder.fold.layers.thick import stack_findings
from folder.fold.place import Folded, folded
from folder.fold.sequence.flaps import flaps_of, parts_of, reach
from folder.hull.hull import hull_of
from folder.pattern.edit import apply_remedy
from folder.pattern.faces.faces import faces_of
from folder.pattern.families.catalogue import FAMILIES, make
from folder.pattern.pattern import Pattern, Sheet
from tests.folds import crease, strip, tray

FAMILY_NAMES = tuple(FAMILIES)


def shape_of(pattern: Pattern) -> Folded:
    return folded(faces_of(pattern))


def on_floor(pattern: Pattern) -> tuple[int, int]:
    """The fewest and the most layers anywhere on the floor."""
    hull = hull_of(shape_of(pattern), 16.0)
    assert hull is not None
    return hull.cover.layers_least, hull.cover.layers_most


class TestStacks:
    """How many layers lie where."""

    def test_a_plain_tray_has_one_layer_on_its_floor(self) -> None:
        assert (1, 1) == on_floor(tray(-180.0, 180.0, 90.0))

    def test_a_pleat_across_the_floor_has_three_where_it_lies(self) -> None:
        assert (1, 3) == on_floor(strip((40.0, 10.0, 50.0), (180.0, -180.0)))

    def test_a_sheet_folded_in_half_has_two_everywhere(self) -> None:
        assert (2, 2) == on_floor(strip((50.0, 50.0), (180.0,)))

    @pytest.mark.parametrize(("family", "least", "most"), [("pleated-floor-tray", 1, 3), ("double-sheet-tray", 2, 2)])
    def test_families_have_the_layers_that_their_names_promise(self, family: str, least: int, most: int) -> None:
        assert (least, most) == on_floor(make(family, {}))

    def test_an_accordion_is_one_cell_and_too_thick(self) -> None:
        shape = shape_of(strip((20.0,) * 9, (180.0, -180.0) * 4))
        found = clashes_of(shape)
        assert [9] == [len(c) for c in found.layering.cells]
        assert tuple(range(9)) == found.layering.cells[0]
        notes = stack_findings(shape, found.layering)
        assert ["thick-stack"] == [f.code for f in notes]
        assert "9 layers" in notes[0].detail

    def test_six_layers_are_not_called_thick(self) -> None:
        shape = shape_of(strip((20.0,) * 6, (180.0, -180.0, 180.0, -180.0, 180.0)))
        assert [] == stack_findings(shape, clashes_of(shape).layering)


class TestHeldFlaps:
    """What holds a flap."""

    @staticmethod
    def loose(pattern: Pattern) -> list[tuple[float, float] | None]:
        shape = shape_of(pattern)
        return [f.at for f in loose_findings(shape, clashes_of(shape).layering, pattern.crimps)]

    def test_the_flaps_of_a_tray_without_crimps_are_all_loose(self) -> None:
        corners = {(0.0, 0.0), (150.0, 0.0), (150.0, 150.0), (0.0, 150.0)}
        assert corners == set(self.loose(tray(-180.0, 180.0, 90.0)))

    def test_each_remedy_holds_one_flap(self) -> None:
        pattern = tray(-180.0, 180.0, 90.0)
        for left in (4, 3, 2, 1):
            shape = shape_of(pattern)
            findings = loose_findings(shape, clashes_of(shape).layering, pattern.crimps)
            assert left == len(findings)
            assert findings[0].remedy is not None
            pattern = apply_remedy(pattern, findings[0].remedy)
        assert [] == self.loose(pattern)

    def test_a_crimp_at_the_tip_holds_and_one_in_the_middle_of_a_wall_does_not(self) -> None:
        """The flap of the lower left corner is laid on the lower wall; its tip comes to 50, 0."""
        pattern = tray(-180.0, 180.0, 90.0)
        assert (0.0, 0.0) not in self.loose(replace(pattern, crimps=((48.0, 1.0),)))
        assert (0.0, 0.0) in self.loose(replace(pattern, crimps=((75.0, 12.0),)))

    def test_a_crimp_on_the_hinge_holds_nothing(self) -> None:
        pattern = replace(tray(-180.0, 180.0, 90.0), crimps=((25.0, 12.0),))
        assert (0.0, 0.0) in self.loose(pattern)

    def test_a_hem_holds_itself_and_a_wide_flap_does_not(self) -> None:
        hem = Pattern(creases=(crease((8.0, 0.0), (8.0, 150.0), 180.0),))
        wide = Pattern(creases=(crease((60.0, 0.0), (60.0, 150.0), 180.0),))
        assert [] == self.loose(hem)
        assert 1 == len(self.loose(wide))

    def test_a_layer_over_a_flap_holds_it(self) -> None:
        """Both ends of a strip are folded in; the second lies over the tip of the first."""
        shape = shape_of(_letter((50.0, 60.0, 30.0)))
        loose = loose_findings(shape, clashes_of(shape).layering, ())
        assert 1 == len(loose)
        layering = clashes_of(shape).layering
        ends = [k for k, pair in enumerate(layering.pairs.tolist()) if 1 not in pair]
        # Both ends lie face down: what is on the inside of the first lies under it.
        under = layering.pairs[ends[0], 1 if layering.above[ends[0]] > 0 else 0]
        x, y = loose[0].at or (0.0, 0.0)
        assert under != shape.faces.face_at((min(max(x, 1.0), 139.0), min(max(y, 1.0), 59.0)))

    @pytest.mark.parametrize("family", FAMILY_NAMES)
    def test_the_crimps_of_a_family_hold_its_flaps(self, family: str) -> None:
        assert [] == self.loose(make(family, {}))


def _letter(widths: tuple[float, float, float]) -> Pattern:
    """A sheet folded like a letter, the middle panel the floor."""
    a, b, c = widths
    creases = (crease((a, 0.0), (a, 60.0), 180.0), crease((a + b, 0.0), (a + b, 60.0), 180.0))
    return Pattern(sheet=Sheet(a + b + c, 60.0), creases=creases, floor_at=(a + b / 2.0, 30.0))


@pytest.mark.parametrize("family", FAMILY_NAMES)
class TestSeenFromFaces:
    """What is asked of many faces at once, against one at a time or the way there."""

    def test_a_place_raised_from_a_face_is_seen_where_it_came_from(self, family: str) -> None:
        """On the sheet at x, y and h over it: there by the face's motion, back by looking square to it."""
        shape = shape_of(make(family, {}))
        face = np.arange(shape.faces.count)
        place = np.array([[30.0, 40.0, 0.0], [-5.0, 70.0, 2.5]])
        there = np.einsum("fij,kj->ikf", shape.motions[:, :3, :3], place) + shape.motions[:, None, :3, 3].T
        seen = to_local(shape, face, there)
        assert 0.0 == pytest.approx(np.abs(seen - place.T[:, :, None]).max(), abs=1e-9)
        assert 0.0 == pytest.approx(np.abs(seen[:2, 1].T - from_face(shape, face, there[:, 1].T)).max(), abs=1e-9)

    def test_the_middle_of_a_triangle_lies_in_its_face_and_nothing_beside_the_sheet_does(self, family: str) -> None:
        faces = shape_of(make(family, {})).faces
        middles = faces.vertices[faces.triangles].mean(axis=1)
        assert faces.triangle_face.tolist() == faces.faces_at(middles).tolist()
        assert [-1, -1] == faces.faces_at(np.array([[-1.0, 5.0], [1e4, 1e4]])).tolist()

    def test_a_sheet_held_in_two_goes_falls_into_the_same_parts(self, family: str) -> None:
        faces = shape_of(make(family, {})).faces
        rng = np.random.default_rng(5)
        for _ in range(10):
            held = faces.joined & (rng.random(len(faces.joined)) < 0.6)
            first = held & (rng.random(len(held)) < 0.5)
            assert parts_of(faces, held).tolist() == parts_of(faces, held & ~first, parts_of(faces, first)).tolist()

    def test_a_flap_reaches_as_far_as_the_cross_product_says(self, family: str) -> None:
        """Beside a line along a unit u through a: |(p - a) x u|."""
        shape = shape_of(make(family, {}))
        for flap in flaps_of(shape, np.ones(len(shape.turn), dtype=np.bool_)):
            want = np.linalg.norm(np.cross(shape.corners - flap.at, flap.axis), axis=2)
            assert 0.0 == pytest.approx(np.abs(want - reach(shape.corners, flap.at, flap.axis)).max(), abs=1e-9)

    def test_a_pinch_takes_hold_of_what_lies_within_five_millimetres(self, family: str) -> None:
        """Against places strewn over each triangle: none nearer than 5 mm is missed, and what is held has one near."""
        pattern = make(family, {})
        shape = shape_of(pattern)
        pinches = pinches_of(shape, pattern.crimps)
        share = np.array([(i, j, 60 - i - j) for i in range(61) for j in range(61 - i)]) / 60.0
        strewn = np.einsum("si,tij->tsj", share, shape.corners)
        step = np.linalg.norm(shape.corners - np.roll(shape.corners, 1, axis=1), axis=2).max(axis=1) / 60.0
        for place, holds in zip(pinches.places, pinches.holds, strict=True):
            nearest = np.linalg.norm(strewn - place, axis=2).min(axis=1)
            assert not (~holds & (nearest < 5.0 - 1e-9)).any()
            assert (nearest[holds] <= 5.0 + step[holds]).all()
