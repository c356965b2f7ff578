"""Each number of the sheet, the fold and the hull that is common practice: a case on either side of it, none farther off than half."""

import pytest

from folder.errors import BadRequest
from folder.findings import Finding
from folder.fold.layers.clash import clashes_of
from folder.fold.layers.held import loose_findings
from folder.fold.layers.thick import stack_findings
from folder.fold.place import folded
from folder.hull.hull import hull_of
from folder.hull.seam import Seams
from folder.hull.shape import hull_findings
from folder.pattern.faces.faces import faces_of
from folder.pattern.families.catalogue import make
from folder.pattern.pattern import Pattern
from tests.drawings import tray
from tests.folds import crease, strip
from tests.hulls import on_floor


def codes(pattern: Pattern) -> list[str]:
    found: list[Finding] = hull_findings(hull_of(folded(faces_of(pattern)), 16.0), pattern)
    return [f.code for f in found]


def flap(depth_mm: float, *crimps: tuple[float, float]) -> Pattern:
    """A strip of that width along the whole left edge, folded over flat; its rim then lies at twice that from the edge."""
    return Pattern(creases=(crease((depth_mm, 0.0), (depth_mm, 150.0), 180.0),), crimps=crimps, floor_at=(140.0, 75.0))


def is_loose(pattern: Pattern) -> bool:
    shape = folded(faces_of(pattern))
    return bool(loose_findings(shape, clashes_of(shape).layering, pattern.crimps))


@pytest.mark.parametrize(
    ("family", "fits", "too_much"),
    [
        ("square-tray", {"wall": 3.2}, {"wall": 2.8}),  # the lowest wall: 3 mm
        ("square-tray", {"wall": 72.2}, {"wall": 72.8}),  # the narrowest floor: 5 mm of 150
        ("pinched-barge", {"strip": 2.2}, {"strip": 1.8}),  # the narrowest strip: 2 mm
    ],
)
def test_what_a_hand_cannot_fold_is_refused(family: str, fits: dict[str, float], too_much: dict[str, float]) -> None:
    assert make(family, fits).creases
    with pytest.raises(BadRequest):
        make(family, too_much)


@pytest.mark.parametrize(("layers", "thick"), [(5, False), (6, False), (7, True)])
def test_more_than_six_layers_are_thick(layers: int, thick: bool) -> None:
    shape = folded(faces_of(strip([20.0] * layers, ([180.0, -180.0] * 3)[: layers - 1])))
    assert thick == bool(stack_findings(shape, clashes_of(shape).layering))


@pytest.mark.parametrize(("beside_mm", "holds"), [(4.0, True), (6.0, False)])
def test_a_pinch_takes_hold_five_millimetres_around(beside_mm: float, holds: bool) -> None:
    """The flap's rim lies at 120 mm; the mark is on the sheet beyond it."""
    assert is_loose(flap(60.0, (120.0 + beside_mm, 75.0))) != holds


@pytest.mark.parametrize(("depth_mm", "hem"), [(35.0, True), (40.0, False)])
def test_a_hem_is_a_quarter_as_wide_as_it_is_long(depth_mm: float, hem: bool) -> None:
    """37.5 mm on an edge of 150."""
    assert is_loose(flap(depth_mm)) != hem


@pytest.mark.parametrize(("won_mm", "tape"), [(0.4, False), (0.6, True)])
def test_tape_that_wins_half_a_millimetre_is_not_missed(won_mm: float, tape: bool) -> None:
    assert tape == Seams(20.0 + won_mm, 20.0).needs_tape


@pytest.mark.parametrize(("floor_mm", "is_floor"), [(4.5, False), (5.5, True)])
def test_a_floor_of_25_square_millimetres_is_one(floor_mm: float, is_floor: bool) -> None:
    assert ("no-floor" not in codes(tray((150.0 - floor_mm) / 2.0))) == is_floor


@pytest.mark.parametrize(("off_mm", "dips"), [(0.4, False), (0.6, True)])
def test_walls_within_half_a_millimetre_of_their_mean_are_one_height(off_mm: float, dips: bool) -> None:
    """A floor off the middle both ways: two walls lower and two higher by as much."""
    low, high = 25.0 - off_mm, 125.0 - off_mm
    assert dips == ("edge-dips" in codes(on_floor([(low, low), (high, low), (high, high), (low, high)], [90.0] * 4)))
