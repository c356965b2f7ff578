"""One verdict for all: what it is, and that command line, window and paper say the same."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from pathlib import Path

import pytest

from folder.hull.seam import Seams
from folder.pattern.file import write_pattern
from folder.pattern.pattern import Pattern, Sheet
from folder.studies import Study, study
from folder.verdict import Verdict, design_of, verdict_of
from folder.window.background.worker import with_study
from folder.window.compare.compared import measured
from folder.window.verdict import verdict as seen
from tests.drawings import crossing_creases, drawn, floor_corners, hand_rounded, line, slit_tray, tray, with_more
from tests.hulls import on_floor, pointed, random_hull, regular, slit_at, with_one_wrong, wrapped_box

HULL = Verdict("hull", "good", "Folds from one sheet, no cut, no tape.")
CUT = Verdict("cut", "stop", "Needs a cut: not allowed.")
TAPE = Verdict("tape", "stop", "Holds water only with tape: not allowed.")
EMPTY = Verdict("empty", "neutral", "A flat sheet. Fold a wall!")
HEM = line((0.0, 140.0), (150.0, 140.0), "valley", 180.0)
TROUGH = [line((25.0, 0.0), (25.0, 150.0)), line((125.0, 0.0), (125.0, 150.0))]


def open_with(sides: str) -> Verdict:
    return Verdict("open", "neutral", f"Not a hull yet: {sides} no wall.")


def seams(result: Study) -> Seams:
    assert result.hull is not None
    return result.hull.seams


# What each is.

STATES: dict[str, tuple[Verdict, Pattern]] = {
    "nothing": (EMPTY, drawn([])),
    "guides alone": (EMPTY, drawn([line((0.0, 10.0), (150.0, 10.0), "guide")])),
    "a line that stays flat": (EMPTY, drawn([line((0.0, 10.0), (150.0, 10.0), "valley", 0.0)])),
    "a lone hem": (open_with("four sides have"), drawn([HEM])),
    "one wall": (open_with("three sides have"), drawn([line((0.0, 120.0), (150.0, 120.0))])),
    "two walls": (open_with("two sides have"), drawn(TROUGH)),
    "walls 0.9 mm high": (open_with("four sides have"), tray(0.9)),
    "walls 1.1 mm high": (HULL, tray(1.1)),
    "a tray": (HULL, tray()),
    "corners that are not folded": (Verdict("not-closed", "stop", "4 points will not close yet."), crossing_creases()),
    "a line that stops": (
        Verdict("unfinished-line", "stop", "A line is not finished yet."), with_more(tray(), line((60.0, 60.0), (90.0, 60.0)))
    ),
    "a line across the edge": (
        Verdict("off-sheet", "stop", "A line leaves the sheet."), with_more(tray(), line((-20.0, 60.0), (-5.0, 60.0)))
    ),
    "slit corners": (CUT, slit_tray()),
    "a wrapped box": (TAPE, wrapped_box()),
    "a cut that nothing needs": (
        Verdict("cut", "stop", "Has a cut: not allowed."), with_more(tray(), line((60.0, 0.0), (60.0, 15.0), "cut"))
    ),
    "a floor of 22 mm2": (
        Verdict("no-floor", "stop", "It folds, but there is no flat floor to load."),
        drawn([line((0.15, 0.0), (0.15, 150.0))], floor_at=(0.07, 10.0)),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", STATES)
def test_the_verdict_is_the_first_that_is_true(name: str) -> None:
    expected, pattern = STATES[name]
    assert expected == verdict_of(study(pattern))


@pytest.mark.parametrize("name", STATES)
def test_command_line_window_and_paper_say_the_same(name: str, cli: Callable[..., tuple[int, str, str]], tmp_path: Path) -> None:
    expected, pattern = STATES[name]
    path = tmp_path / "pattern.json"
    write_pattern(pattern, path)
    code, out, _ = cli("check", "--json", str(path))
    assert (int(expected.level != "good"), {"code": expected.code, "level": expected.level, "text": expected.text}) == (
        code, json.loads(out)["verdict"],
    )  # fmt: skip
    assert expected.text == cli("check", str(path))[1].splitlines()[1].strip()
    assert (expected.text, {"neutral": "note"}.get(expected.level, expected.level)) == seen(with_study(pattern))
    result = study(pattern)
    assert expected == measured(result, first=True).verdict
    assert (expected.text, "" if expected.level == "good" else expected.text) == (
        design_of(result).verdict, design_of(result).warning,
    )  # fmt: skip


# Seams: what needs tape.


@pytest.mark.parametrize("taken_off", [False, True])
@pytest.mark.parametrize("corners", [(0,), (0, 2), (1, 2, 3), (0, 1, 2, 3)])
def test_slit_corners_need_a_cut_and_tape_all_the_way_down(corners: tuple[int, ...], taken_off: bool) -> None:
    """A slit beside a wall of 25 mm at each corner; with tape the rim would be that of the tray."""
    result = study(slit_at(corners, taken_off=taken_off))
    assert (CUT, True, True) == (verdict_of(result), result.needs_cut, result.needs_tape)
    assert (pytest.approx(0.0), pytest.approx(25.0)) == (seams(result).rim_mm, seams(result).joined_mm)
    assert pytest.approx(25.0 * len(corners)) == seams(result).length_below_mm(25.0)
    floor = floor_corners(25.0, Sheet())
    assert {floor[k] for k in corners} == set(result.report.having("open-seam")[0].places)


def test_the_same_corners_folded_make_a_hull() -> None:
    assert HULL == verdict_of(study(slit_at(())))


def test_a_box_whose_walls_are_wrapped_round_its_ends_needs_tape_where_their_edges_meet() -> None:
    """Two edges of 30 mm meet at each end, and below them the two edges of what stands inside; taped, the rim is 30 mm."""
    result = study(wrapped_box())
    assert (TAPE, False, True) == (verdict_of(result), result.needs_cut, result.needs_tape)
    assert (pytest.approx(0.0), pytest.approx(30.0)) == (seams(result).rim_mm, seams(result).joined_mm)
    (seam,) = result.report.having("open-seam")
    assert [0.0, 150.0] == sorted(y for _, y in seam.places)


def test_the_same_box_with_folded_corners_is_a_hull() -> None:
    assert HULL == verdict_of(study(wrapped_box(joined=True)))


def test_a_seam_above_the_lowest_wall_needs_no_tape() -> None:
    """One wall is 10 mm high; a slit in the wall across from it ends 16 mm up, or 5 mm."""
    whole = on_floor([(25.0, 10.0), (125.0, 10.0), (125.0, 125.0), (25.0, 125.0)], [90.0] * 4)
    result = study(with_more(whole, line((75.0, 150.0), (75.0, 141.0), "cut")))
    assert (False, pytest.approx(10.0)) == (result.needs_tape, result.measures.rim_height_mm)
    deeper = study(with_more(whole, line((75.0, 150.0), (75.0, 130.0), "cut")))
    assert (True, pytest.approx(5.0), pytest.approx(10.0)) == (deeper.needs_tape, seams(deeper).rim_mm, seams(deeper).joined_mm)


@pytest.mark.parametrize(("slit_mm", "needs"), [(4.0, False), (6.0, True)])
def test_a_seam_is_5_mm_or_more(slit_mm: float, needs: bool) -> None:
    assert needs == study(with_more(tray(), line((60.0, 0.0), (60.0, slit_mm), "cut"))).needs_tape


def test_a_gap_wider_than_a_millimetre_is_no_seam() -> None:
    """A wedge taken out of a wall, 0.8 or 6 mm wide at the rim."""
    narrow, wide = (
        study(with_more(tray(), line((60.0, 0.0), (60.0, 15.0), "cut"), line((60.0 + gap, 0.0), (60.0, 15.0), "cut")))
        for gap in (0.8, 6.0)
    )
    assert (True, False) == (narrow.needs_tape, wide.needs_tape)


# What folds from one sheet is told so, however its edge runs.

NAMED: dict[str, Pattern] = {
    **{f"{sides} sides": regular(sides, 90.0) for sides in (3, 5, 6, 8)},
    **{f"{sides} sides, walls at 100 deg": regular(sides, 100.0) for sides in (4, 5, 6, 8)},
    **{f"bow of {tip} mm": pointed(tip) for tip in (5.0, 15.0, 25.0, 35.0)},
    "a floor turned by half a degree": regular(4, 90.0, 45.0 * math.sqrt(2.0), 45.5),
}


@pytest.mark.parametrize("name", NAMED)
def test_a_hull_whose_edge_is_lower_in_places_is_a_hull_and_its_price_a_note(name: str) -> None:
    result = study(NAMED[name])
    assert (HULL, ()) == (verdict_of(result), result.report.stops)
    assert {"note"} >= {f.level for f in result.report.having("edge-dips")}


def test_a_low_place_costs_what_the_walls_at_their_mean_height_would_carry_more() -> None:
    """A bow 25 mm long: the flap at its tip comes down to 19.2 mm where the walls are higher."""
    (dip,) = study(pointed(25.0)).report.having("edge-dips")
    assert "19.2 mm high here, the walls 42.8 mm on average. It costs 117 g of load." == dip.detail


@pytest.mark.parametrize("pattern", [drawn([HEM]), drawn(TROUGH), drawn([])])
def test_a_price_is_told_only_where_there_are_walls_all_round(pattern: Pattern) -> None:
    result = study(pattern)
    assert () == result.report.having("edge-dips")
    assert all("costs" not in f.detail for f in result.report.findings)


def test_any_floor_with_walls_of_any_lean_is_a_hull(many: Callable[[int, int], int]) -> None:
    """Exact by construction: the walls' common edges are found in space, and what is left over is halved."""
    tried = [hull for hull in map(random_hull, range(many(40, 600))) if hull is not None]
    assert len(tried) > many(20, 300)
    for hull in tried:
        result = study(hull)
        assert (False, False) == (result.needs_cut, result.needs_tape)
        # A steep narrow one may turn over; that is no fault of its folds.
        assert verdict_of(result) == HULL or verdict_of(result).code == "tips-over"


@pytest.mark.parametrize("what", ["turn", "sense", "diagonal"])
def test_no_floor_with_one_thing_wrong_is_a_hull(what: str, many: Callable[[int, int], int]) -> None:
    for seed in range(many(12, 300)):
        hull = random_hull(seed)
        if hull is not None:
            assert "stop" == verdict_of(study(with_one_wrong(hull, what, seed))).level


def test_no_hull_that_is_drawn_on_a_coarse_grid_needs_tape(many: Callable[[int, int], int]) -> None:
    """Put on a 0.5 mm grid its folds still close, to 1.5 mm, or they do not: a flap that gapes by a hair is no seam."""
    seeds = [28, 177, 192, *range(many(0, 600))]
    drawn_coarsely = [hand_rounded(hull, grid=0.5) for hull in map(random_hull, seeds) if hull is not None]
    results = [study(pattern) for pattern in drawn_coarsely]
    assert {False} == {result.needs_tape for result in results}
    assert {"hull", "not-closed", "tips-over"} >= {verdict_of(result).code for result in results}
    assert any(result.folds for result in results)
