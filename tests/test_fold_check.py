"""Does it fold with no cut: one vertex against published values, the closure gap, flat folding, and cuts."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from folder.findings import Finding
from folder.fold.check import fold_report
from folder.fold.place import Folded, folded
from folder.fold.vertex import fans_of, misfits
from folder.pattern.faces.faces import faces_of
from folder.pattern.pattern import Pattern
from tests.drawings import crossing_creases, diagonal_off, drawn, line, slit_tray, tray
from tests.strategies import trays, tried


def star(sectors_deg: Sequence[float], turns_deg: Sequence[float], reach: float = 60.0) -> Pattern:
    """One vertex in the middle of a sheet: creases `reach` long and led on to the edge, with signed turns; the floor lies
    in the first sector."""
    lines, heading = [], 7.0
    for sector, turn in zip(sectors_deg, turns_deg, strict=True):
        c, s = math.cos(math.radians(heading)), math.sin(math.radians(heading))
        to_edge = 75.0 / max(abs(c), abs(s))
        end = (75.0 + to_edge * c, 75.0 + to_edge * s)
        lines.append(line((75.0, 75.0), end, "valley" if turn >= 0 else "mountain", abs(turn)))
        heading += sector
    middle = math.radians(7.0 + sectors_deg[0] / 2.0)
    floor_at = (75.0 + reach * math.cos(middle), 75.0 + reach * math.sin(middle))
    return drawn(lines, floor_at=floor_at)


def shape(pattern: Pattern) -> Folded:
    return folded(faces_of(pattern))


def report(pattern: Pattern) -> tuple[list[Finding], bool]:
    found, needs_cut = fold_report(pattern, shape(pattern))
    return list(found.findings), needs_cut


def closes(pattern: Pattern) -> None:
    """Folds exactly: nothing found, and every point has one place."""
    assert ([], False) == report(pattern)
    assert shape(pattern).closure_gap_mm < 1e-9


def half_tan_turns(a_deg: float, b_deg: float, drive_deg: float) -> list[list[float]]:
    """Both ways a degree-4 vertex of sectors a, b, 180 - a, 180 - b folds, signed turns in deg.

    Akitaya et al., arXiv:1812.01160, Th. 6: half-angle tangents (T, -p_a T, T, p_a T) and (-p_b T, T, p_b T, T).
    """
    t, u = math.tan(math.radians(a_deg) / 2.0), math.tan(math.radians(b_deg) / 2.0)
    p_a, p_b = (1.0 - t * u) / (1.0 + t * u), (u - t) / (u + t)
    drive = math.tan(math.radians(drive_deg) / 2.0)
    ways = [(drive, -p_a * drive, drive, p_a * drive), (-p_b * drive, drive, p_b * drive, drive)]
    return [[2.0 * math.degrees(math.atan(x)) for x in way] for way in ways]


# One vertex.


@pytest.mark.parametrize("way", [0, 1])
def test_a_degree_4_vertex_of_atan_3_4_and_90_deg_folds_at_90_and_53_1301(way: int) -> None:
    """CHECKS 5: p = 1/2; turns 90, -53.1301, 90, 53.1301."""
    a = math.degrees(math.atan(0.75))
    turns = half_tan_turns(a, 90.0, 90.0)[way]
    assert pytest.approx([53.1301, 53.1301, 90.0, 90.0], abs=1e-4) == sorted(abs(t) for t in turns)
    closes(star([a, 90.0, 180.0 - a, 90.0], turns))


def test_a_degree_4_vertex_of_60_and_120_deg_driven_by_120_answers_with_81_7868() -> None:
    """CHECKS 5: p = cos 60."""
    turns = half_tan_turns(60.0, 120.0, 120.0)
    assert pytest.approx(81.7868, abs=1e-4) == turns[1][2]
    for way in turns:
        if max(map(abs, way)) > 1e-6:
            closes(star([60.0, 120.0, 120.0, 60.0], way))


@given(st.floats(20.0, 160.0), st.floats(20.0, 160.0), st.floats(5.0, 175.0))
@tried(60)
def test_any_flat_foldable_degree_4_vertex_closes_on_both_its_ways(a: float, b: float, drive: float) -> None:
    for way in half_tan_turns(a, b, drive):
        pattern = star([a, b, 180.0 - a, 180.0 - b], way)
        assert shape(pattern).closure_gap_mm < 1e-9
        assert not report(pattern)[1]


@given(st.floats(10.0, 170.0), st.floats(10.0, 170.0))
@tried(30)
def test_two_lines_that_cross_squarely_cannot_both_turn(first: float, second: float) -> None:
    """CHECKS 5: p = 0. The product of quarter-sector turns is off by acos of (1 + c1 + c2 - c1 c2)/2 and more."""
    pattern = star([90.0] * 4, [first, second, first, second])
    findings, needs_cut = report(pattern)
    assert (["will-not-close"], True) == ([f.code for f in findings], needs_cut)
    closes(star([90.0] * 4, [first, 0.0, first, 0.0]))


@pytest.mark.parametrize(
    ("floor", "side", "diagonal"),
    [(30.0, -12.66647, 60.0), (45.0, -19.47122, 90.0), (60.0, -26.89895, 120.0), (90.0, -45.0, 180.0)],
)
def test_the_tray_corner_of_five_creases_closes_on_its_symmetric_path(floor: float, side: float, diagonal: float) -> None:
    """CHECKS 5, sectors 90, 90, 45, 45, 90; the values have five digits."""
    pattern = star([90.0, 90.0, 45.0, 45.0, 90.0], [floor, floor, side, diagonal, side])
    assert ([], False) == report(pattern)
    assert shape(pattern).closure_gap_mm < 1e-4
    if floor == 45.0:
        exact = -math.degrees(math.asin(1.0 / 3.0))
        closes(star([90.0, 90.0, 45.0, 45.0, 90.0], [45.0, 45.0, exact, 90.0, exact]))


@pytest.mark.parametrize("sides", [(-180.0, 90.0), (-45.0, -45.0), (0.0, -90.0), (90.0, -180.0)])
def test_at_a_square_corner_the_doubled_flap_swings_freely(sides: tuple[float, float]) -> None:
    """CHECKS 5."""
    closes(star([90.0, 90.0, 45.0, 45.0, 90.0], [90.0, 90.0, sides[0], 180.0, sides[1]]))


@pytest.mark.parametrize("free", [(-168.978, 180.0, 62.589), (-53.195, 180.0, -53.195)])
def test_the_leaning_corner_closes_with_its_flap_anywhere(free: tuple[float, float, float]) -> None:
    """CHECKS 5: floor turns 57.914, sides 27.98 deg from square; the values have three digits."""
    lean = math.degrees(math.atan(math.cos(math.radians(57.914))))
    assert pytest.approx(27.98, abs=0.005) == lean
    half = (90.0 - 2.0 * lean) / 2.0
    sectors = [90.0, 90.0 + lean, half, half, 90.0 + lean]
    pattern = star(sectors, [57.914, 57.914, *free])
    assert ([], False) == report(pattern)
    assert shape(pattern).closure_gap_mm < 0.01


def test_the_misfit_is_the_angle_that_remains() -> None:
    """One crease alone about a point: the sheet misses by just its turn."""
    for turn in (1e-6, 0.3, 3.0):
        assert pytest.approx(turn, rel=1e-9) == misfits(np.array([[turn, 0.0]]), np.array([[math.pi, math.pi]]))[0]


@given(trays())
@tried(20)
def test_every_inner_point_of_a_tray_closes_to_rounding(pattern: Pattern) -> None:
    faces = faces_of(pattern)
    fans = fans_of(faces)
    assert 4 == len(fans.vertex)
    assert misfits(fans.turns(faces.turn), fans.sector).max() < 1e-9


# How bad it is.


@pytest.mark.parametrize(("turn_deg", "level"), [(180.0, None), (179.6, None), (179.0, "note"), (177.0, "stop")])
def test_a_turn_that_is_a_little_off_is_taken_up_and_one_that_is_far_off_stops(turn_deg: float, level: str | None) -> None:
    """A diagonal 35.36 mm long, turned d too little, opens by 2 sin(d / 2) 35.36: 0.25, 0.62 and 1.85 mm."""
    creases = list(tray().creases)
    creases[5] = replace(creases[5], turn_rad=math.radians(turn_deg))
    findings, needs_cut = report(drawn(creases))
    assert ([] if level is None else [("will-not-close", level)]) == [(f.code, f.level) for f in findings]
    assert (level == "stop") == needs_cut
    if level is not None:
        opens = 2.0 * math.sin(math.radians(180.0 - turn_deg) / 2.0) * 25.0 * math.sqrt(2.0)
        assert f"{180.0 - turn_deg:.2f} deg off, which opens by {opens:.2f} mm" in findings[0].detail


def test_crossing_creases_are_120_deg_off() -> None:
    """The two square turns about the two walls' lines leave a third of a full turn."""
    assert all("120.00 deg" in f.detail for f in report(crossing_creases())[0])


def test_the_gap_is_where_the_fault_is() -> None:
    gaps = shape(diagonal_off(3.0, 0)).gaps
    worst = shape(diagonal_off(3.0, 0)).faces.edges[int(gaps.argmax())]
    assert (faces_of(diagonal_off(3.0, 0)).vertices[worst] <= 25.0).all()
    assert gaps.max() > 1.5


def test_folds_round_a_hole_that_do_not_come_together_are_told_once() -> None:
    """A ring of folds about an unfolded middle: every point of it is a lone line, which the drawing itself tells."""
    corners = [(50.0, 50.0), (100.0, 50.0), (100.0, 100.0), (50.0, 100.0)]
    findings, needs_cut = report(drawn([line(corners[k], corners[k - 1]) for k in range(4)]))
    assert ([], True) == (findings, needs_cut)


# Flat folding.

WATERBOMB = [90.0, 45.0, 22.5, 22.5, 45.0, 90.0, 22.5, 22.5]
"""CHECKS 5: alternate sectors sum to 180."""


def flat_findings(sectors: Sequence[float], signs: str) -> list[Finding]:
    turns = [180.0 if s == "v" else -180.0 if s == "m" else 0.0 for s in signs]
    return [f for f in report(star(sectors, turns))[0] if f.code == "flat-rule"]


@pytest.mark.parametrize(
    ("sectors", "signs"),
    [([90.0] * 4, "vvvm"), ([60.0, 120.0, 120.0, 60.0], "vmvv"), ([60.0] * 6, "vvvvmm"), ([90.0] * 4, "v-v-")],
)
def test_a_vertex_that_keeps_the_rules_of_flat_folding_passes(sectors: list[float], signs: str) -> None:
    assert [] == flat_findings(sectors, signs)


def test_eight_creases_with_alternate_sectors_of_180_fold_flat() -> None:
    """CHECKS 5. Some choice of five against three closes; every choice of four against four breaks the count."""
    assert [] == [f for f in flat_findings(WATERBOMB, "vvvmvvmm") if "Kawasaki" in f.detail]
    assert "Maekawa" in flat_findings(WATERBOMB, "vvvvmmmm")[0].detail


@pytest.mark.parametrize(
    ("sectors", "signs", "rule"),
    [
        ([80.0, 100.0, 90.0, 90.0], "vvvm", "Kawasaki"),
        ([120.0, 120.0, 120.0], "vvv", "Kawasaki"),
        ([90.0] * 4, "vvvv", "Maekawa"),
        ([90.0] * 4, "vvmm", "Maekawa"),
        ([100.0, 40.0, 80.0, 140.0], "mvvv", "needs one valley and one mountain"),
    ],
)
def test_a_vertex_that_breaks_a_rule_of_flat_folding_is_told_which(sectors: list[float], signs: str, rule: str) -> None:
    findings = flat_findings(sectors, signs)
    assert any(rule in f.detail for f in findings)
    assert {(75.0, 75.0)} == {f.at for f in findings}
    assert {"stop"} == {f.level for f in findings}


def test_an_unfolded_line_through_a_vertex_does_not_count() -> None:
    """The sectors on both its sides are one."""
    assert [] == flat_findings([45.0, 45.0, 90.0, 90.0, 90.0], "v-vvm")


# Cuts.


def cut_findings(pattern: Pattern) -> tuple[list[Finding], bool]:
    findings, needs_cut = report(pattern)
    assert {"cut-drawn"} == {f.code for f in findings}
    return findings, needs_cut


def test_slit_corners_fold_only_because_they_are_slit() -> None:
    findings, needs_cut = cut_findings(slit_tray())
    assert (4, True) == (len(findings), needs_cut)
    assert {(25.0, 12.5), (125.0, 12.5), (125.0, 137.5), (25.0, 137.5)} == {f.at for f in findings}
    assert all("25.0 mm long; it lets water in 0.0 mm above the floor" in f.detail for f in findings)


@pytest.mark.parametrize(
    ("cut", "depth"),
    [
        (line((60.0, 0.0), (60.0, 15.0), "cut"), "10.0 mm above"),
        (line((60.0, 10.0), (90.0, 15.0), "cut"), "10.0 mm above"),
        (line((60.0, 60.0), (90.0, 80.0), "cut"), "0.0 mm above"),
        (line((60.0, 10.0), (60.0, 40.0), "cut"), "0.0 mm above"),
    ],
)
def test_a_slit_in_a_tray_that_folds_without_it_lets_water_in_but_is_not_needed(cut, depth: str) -> None:
    findings, needs_cut = cut_findings(drawn([*tray().creases, cut]))
    assert (1, False) == (len(findings), needs_cut)
    assert depth in findings[0].detail


def test_a_cut_from_edge_to_edge_parts_the_sheet_and_only_the_floors_half_is_placed() -> None:
    halves = drawn([line((0.0, 80.0), (150.0, 80.0), "cut")])
    findings, needs_cut = cut_findings(halves)
    assert (1, False) == (len(findings), needs_cut)
    assert [False, True] == sorted(shape(halves).placed.tolist())


def test_a_cut_on_the_sheets_edge_cuts_nothing() -> None:
    assert ([], False) == report(drawn([*tray().creases, line((10.0, 0.0), (90.0, 0.0), "cut")]))


def test_the_remedy_of_a_cut_is_to_take_it_away() -> None:
    assert (16,) == tuple(
        i for f in cut_findings(drawn([*tray().creases, line((60.0, 0.0), (60.0, 15.0), "cut")]))[0]
        for i in (f.remedy.drop if f.remedy else ())
    )  # fmt: skip
