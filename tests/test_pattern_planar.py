"""What can be said of a drawing while it lies flat: every planar finding, its place and its remedy."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pytest
from hypothesis import given

from folder.findings import Finding, Point
from folder.pattern.edit import apply_remedy
from folder.pattern.faces.faces import faces_of
from folder.pattern.pattern import Crease, Pattern, Sheet
from folder.pattern.planar import planar_findings
from tests.drawings import crossing_creases, drawn, line, tray
from tests.strategies import patterns, trays, tried


def found(pattern: Pattern, *codes: str) -> list[Finding]:
    return [f for f in planar_findings(pattern, faces_of(pattern)) if not codes or f.code in codes]


def over_tray(*creases: Crease) -> Pattern:
    return drawn([*tray().creases, *creases])


def only(findings: Sequence[Finding], code: str, level: str = "stop") -> Finding:
    assert [(code, level)] == [(f.code, f.level) for f in findings]
    return findings[0]


def mended(pattern: Pattern, finding: Finding) -> Pattern:
    assert finding.remedy is not None
    return apply_remedy(pattern, finding.remedy)


@given(trays())
@tried(20)
def test_a_tray_has_nothing_to_say_while_it_lies_flat(pattern: Pattern) -> None:
    assert [] == found(pattern)
    assert [] == found(crossing_creases())


# off-sheet


@pytest.mark.parametrize(
    ("start", "end", "inside"),
    [
        ((-10.0, 40.0), (150.0, 40.0), ((0.0, 40.0), (150.0, 40.0))),
        ((-10.0, 40.0), (170.0, 40.0), ((0.0, 40.0), (150.0, 40.0))),
        ((75.0, -75.0), (75.0, 225.0), ((75.0, 0.0), (75.0, 150.0))),
        ((-30.0, 30.0), (30.0, -30.0), None),
        ((-30.0, 60.0), (60.0, -30.0), ((0.0, 30.0), (30.0, 0.0))),
        ((160.0, 10.0), (190.0, 80.0), None),
    ],
)
def test_a_line_that_runs_off_the_sheet_is_stopped_at_its_edge(
    start: Point, end: Point, inside: tuple[Point, Point] | None
) -> None:
    pattern = drawn([line(start, end)])
    finding = only(found(pattern, "off-sheet"), "off-sheet")
    assert finding.at in (start, end)
    rest = mended(pattern, finding).creases
    assert [] == found(drawn(rest), "off-sheet")
    if inside is None:
        assert () == rest
    else:
        assert pytest.approx([*inside[0], *inside[1]]) == [*rest[0].start, *rest[0].end]
        assert (pattern.creases[0].sense, pattern.creases[0].turn_rad) == (rest[0].sense, rest[0].turn_rad)


def test_it_says_by_how_much_a_line_leaves_the_sheet() -> None:
    assert "20.0 mm" in found(drawn([line((-10.0, 40.0), (170.0, 40.0))]), "off-sheet")[0].detail


def test_a_hair_over_the_edge_and_guides_beside_the_sheet_are_no_fault() -> None:
    hair = drawn([line((-0.04, 40.0), (150.04, 40.0)), line((-50.0, -50.0), (-60.0, 900.0), "guide")])
    assert [] == found(hair)


# stops-short


def test_a_loose_line_is_led_on_to_the_edge() -> None:
    pattern = drawn([line((20.0, 20.0), (100.0, 60.0))])
    finding = only(found(pattern), "stops-short")
    assert finding.at in ((20.0, 20.0), (100.0, 60.0))
    assert "89.4 mm" in finding.detail  # hypot(80, 40)
    whole = mended(pattern, finding)
    assert [] == found(whole)
    (crease,) = whole.creases
    assert pytest.approx(10.0 + 150.0 / 2.0) == max(crease.start[1], crease.end[1])
    assert pytest.approx(10.0) == min(crease.start[1], crease.end[1])


def test_a_line_from_the_edge_that_stops_in_mid_sheet_is_led_on_across_it() -> None:
    pattern = drawn([line((0.0, 20.0), (100.0, 60.0))])
    finding = only(found(pattern), "stops-short")
    assert (100.0, 60.0) == finding.at
    (crease,) = mended(pattern, finding).creases
    assert ((0.0, 20.0), pytest.approx((150.0, 80.0))) == (crease.start, crease.end)


def test_a_loose_line_with_a_fold_in_its_way_is_taken_away() -> None:
    pattern = over_tray(line((60.0, 60.0), (90.0, 90.0)))
    finding = only(found(pattern), "stops-short")
    assert tray().creases == mended(pattern, finding).creases


def test_a_line_that_overshoots_is_stopped_at_the_last_fold_it_meets() -> None:
    long = line((25.0, 25.0), (125.0, 25.0))
    pattern = drawn([*tray().creases[1:], line((25.0, 25.0), (130.0, 30.0)), long])
    short = [f for f in found(pattern) if f.code == "stops-short"]
    assert (130.0, 30.0) == only(short, "stops-short").at
    assert "Stop the line" in (short[0].remedy.text if short[0].remedy else "")
    assert [] == found(mended(pattern, short[0]), "stops-short")


def test_a_slit_may_end_in_mid_sheet() -> None:
    assert [] == found(over_tray(line((60.0, 60.0), (90.0, 80.0), "cut")), "stops-short")


@pytest.mark.parametrize("at", [(60.0, 60.0), (60.0, 25.0), (0.0, 0.0)])
def test_a_dot_is_taken_away(at: Point) -> None:
    for end in (at, (at[0] + 0.03, at[1])):
        pattern = over_tray(line(at, end))
        finding = only(found(pattern), "stops-short")
        assert at == finding.at
        assert tray().creases == mended(pattern, finding).creases


# lone-line


def test_two_folds_that_meet_at_an_angle_in_mid_sheet_are_lone() -> None:
    pattern = drawn([line((10.0, 0.0), (50.0, 50.0)), line((50.0, 50.0), (100.0, 0.0))])
    assert (50.0, 50.0) == only(found(pattern), "lone-line").at


def test_a_straight_line_drawn_in_parts_is_not_lone() -> None:
    assert [] == found(drawn([line((0.0, 40.0), (50.0, 40.0)), line((50.0, 40.0), (150.0, 40.0))]))


def test_a_fold_that_ends_on_an_unfolded_line_is_lone() -> None:
    ends = drawn([line((0.0, 40.0), (150.0, 40.0), "valley", 0.0), line((70.0, 0.0), (70.0, 40.0))])
    assert (70.0, 40.0) == only(found(ends), "lone-line").at


def test_a_ring_of_folds_is_lone_at_its_corners_and_a_ring_of_unfolded_lines_is_not() -> None:
    corners = [(50.0, 50.0), (100.0, 50.0), (100.0, 100.0), (50.0, 100.0)]
    folds = [line(corners[k], corners[k - 1]) for k in range(4)]
    assert set(corners) == {f.at for f in found(drawn(folds), "lone-line")}
    flat = [line(corners[k], corners[k - 1], "valley", 0.0) for k in range(4)]
    assert [] == found(drawn(flat))


# two-senses


@pytest.mark.parametrize(
    "second",
    [
        line((25.0, 25.0), (125.0, 25.0), "mountain", 90.0),
        line((125.0, 25.0), (25.0, 25.0), "valley", 45.0),
        line((40.0, 25.0), (90.0, 25.0), "mountain", 90.0),
        line((40.0, 25.02), (90.0, 24.98), "mountain", 90.0),
        line((40.0, 25.0), (90.0, 25.0), "cut"),
        line((40.0, 25.0), (90.0, 25.0), "valley", None),
    ],
)
def test_two_lines_on_one_stretch_that_want_different_folds_are_told(second: Crease) -> None:
    finding = only(found(over_tray(second), "two-senses"), "two-senses")
    assert finding.at is not None
    assert pytest.approx(25.0, abs=0.05) == finding.at[1]
    assert 25.0 <= finding.at[0] <= 125.0


def test_of_two_lines_on_one_stretch_the_longer_is_kept() -> None:
    """The tray leans on it."""
    pattern = over_tray(line((40.0, 25.0), (90.0, 25.0), "mountain"))
    assert tray().creases == mended(pattern, found(pattern, "two-senses")[0]).creases


def test_of_two_lines_as_long_the_later_is_kept() -> None:
    later = line((25.0, 25.0), (125.0, 25.0), "mountain")
    pattern = over_tray(later)
    kept = mended(pattern, found(pattern, "two-senses")[0]).creases
    assert later in kept
    assert len(tray().creases) == len(kept)


def test_two_lines_on_one_stretch_that_want_the_same_fold_are_no_fault() -> None:
    assert [] == found(over_tray(tray().creases[0], line((90.0, 25.0), (40.0, 25.0))))


def test_a_guide_on_a_fold_is_no_fault() -> None:
    assert [] == found(over_tray(line((40.0, 25.0), (90.0, 25.0), "guide")))


# too-close


@pytest.mark.parametrize(("gap", "count"), [(0.5, 1), (2.9, 1), (3.1, 0)])
def test_parallel_lines_under_3_mm_apart_are_hard_for_fingers(gap: float, count: int) -> None:
    pattern = drawn([line((0.0, 40.0), (150.0, 40.0)), line((150.0, 40.0 + gap), (0.0, 40.0 + gap), "mountain")])
    close = found(pattern)
    assert count == len(close)
    if count:
        assert f"{gap:.1f} mm" in only(close, "too-close", "warn").detail


@pytest.mark.parametrize("turn_deg", [0.0, 17.0, 45.0, 90.0, 133.3])
def test_lines_that_are_too_close_are_found_in_every_direction(turn_deg: float) -> None:
    c, s = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))

    def put(x: float, y: float) -> Point:
        return (75.0 + c * x - s * y, 75.0 + s * x + c * y)

    pair = [line(put(-40.0, -1.0), put(40.0, -1.0)), line(put(30.0, 1.0), put(-30.0, 1.0))]
    assert "2.0 mm" in found(drawn(pair), "too-close")[0].detail


def test_lines_that_end_before_they_come_beside_each_other_are_not_close() -> None:
    pattern = drawn([line((0.0, 40.0), (60.0, 40.0)), line((70.0, 41.0), (150.0, 41.0))])
    assert [] == found(pattern, "too-close")


def test_each_of_many_close_lines_is_told_with_its_neighbour_only() -> None:
    pleats = [line((0.0, 40.0 + 0.5 * k), (150.0, 40.0 + 0.5 * k)) for k in range(10)]
    assert 9 == len(found(drawn(pleats), "too-close"))


@given(patterns())
@tried(60)
def test_whatever_is_drawn_every_finding_has_a_place_and_its_remedy_can_be_carried_out(pattern: Pattern) -> None:
    for f in found(pattern):
        assert f.text
        assert f.at is not None
        assert all(map(math.isfinite, f.at))
        if f.remedy is not None:
            assert all(0 <= i < len(pattern.creases) for i in f.remedy.drop)
            assert pattern.creases != apply_remedy(pattern, f.remedy).creases


def test_the_sheet_may_be_any_rectangle() -> None:
    narrow = Sheet(20.0, 1000.0)
    assert [] == found(drawn([line((0.0, 999.0), (20.0, 999.0))], narrow))
    assert 1 == len(found(drawn([line((0.0, 999.0), (150.0, 999.0))], narrow)))
