"""The whole trip of one pattern: published numbers, drawings with known faults, and moves that change nothing."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import asdict, fields, replace

from folder import study
from folder.cli import report as cli_report
from folder.cli.report import check_json, check_lines
from folder.findings import Point
from folder.pattern.edit import apply_remedy
from folder.pattern.pattern import Pattern, Sheet
from folder.search.mend.edits import point_report
from folder.studies import Study
from folder.units import TOLERANCES
from folder.verdict import verdict_of
from tests.drawings import (
    crossing_creases,
    diagonal_off,
    drawn,
    hand_rounded,
    line,
    slit_tray,
    tray,
    with_instead,
    with_more,
)
from tests.oracles import (
    best,
    closed_off,
    mirrored,
    reversed_crease,
    rolled,
    scaled,
    sliced_volume_mm3,
    split_crease,
    tray_volume_mm3,
    turned,
)
from tests.strategies import patterns, trays, tried

BEST_LEANING = (34.86, 57.914)
"""Wall, mm, and turn, deg, of the best leaning tray on a 15 cm square (CHECKS 4, closed form)."""

WATER_20_G_PER_MM3 = 998.2067e-6
"""Tanaka et al., Metrologia 38 (2001), 20 C."""


def codes(result: Study) -> list[str]:
    return [f.code for f in result.report.findings]


# The plain tray, and the open-tray table of the textbooks.


def test_the_plain_tray_measures_what_the_textbook_says() -> None:
    """Textbook: side a, wall x, V = x (a - 2x)^2. Foil 15 x 15 cm, 16 um, 2.70 g/cm3."""
    result = study(tray(25.0))
    m = result.measures
    assert pytest.approx(10_000.0, rel=1e-12) == m.floor_area_mm2
    assert pytest.approx((25.0, 25.0, 25.0)) == (m.wall_height_mm, m.wall_height_most_mm, m.rim_height_mm)
    assert pytest.approx(250_000.0, rel=1e-12) == m.volume_mm3
    assert pytest.approx(0.972, rel=1e-12) == m.foil_mass_g
    assert (1, 1, 13, 16) == (m.floor_layers, m.floor_layers_most, m.faces, m.creases)
    assert result.folded.closure_gap_mm < 1e-9
    assert (True, False, False, ()) == (result.folds, result.needs_cut, result.needs_tape, result.report.findings)


def test_the_plain_trays_brim_load_is_its_water_less_its_foil() -> None:
    assert pytest.approx(250_000.0 * WATER_20_G_PER_MM3 - 0.972, abs=0.001) == study(tray(25.0)).load.brim_g
    assert pytest.approx(248.6, abs=0.05) == study(tray(25.0)).load.brim_g


def test_warmer_water_carries_less() -> None:
    """Tanaka: 999.7027 kg/m3 at 10 C, 995.6488 at 30 C."""
    cold, warm = (study(tray(25.0), temp_c=t).load.brim_g for t in (10.0, 30.0))
    assert cold is not None
    assert warm is not None
    assert pytest.approx(250_000.0 * (999.7027 - 995.6488) * 1e-6, abs=1e-3) == cold - warm


@pytest.mark.parametrize(("wall", "volume"), [(10, 169), (15, 216), (20, 242), (25, 250), (30, 243), (35, 224), (40, 196)])
def test_the_open_tray_table_for_a_15_cm_square(wall: float, volume: float) -> None:
    """CHECKS 4: cm3 for walls of 1 to 4 cm."""
    assert pytest.approx(volume * 1000.0, rel=1e-9) == study(tray(wall)).measures.volume_mm3


def test_the_best_wall_of_a_square_tray_is_a_sixth_of_the_side() -> None:
    """Textbook: best x = a/6, V = 2 a^3 / 27; found here by trying walls, not from the formula."""
    found = best(lambda wall: study(tray(wall)).measures.volume_mm3, 5.0, 70.0, 0.02)
    assert pytest.approx(150.0 / 6.0, abs=0.05) == found
    assert pytest.approx(2.0 * 150.0**3 / 27.0, rel=1e-6) == study(tray(found)).measures.volume_mm3


@pytest.mark.parametrize(
    ("width", "height", "wall", "volume"),
    [
        (24.0, 36.0, 10.0 - 2.0 * math.sqrt(7.0), 1825.3),
        (18.0, 24.0, 3.39, 654.97),
        (3.0, 8.0, 2.0 / 3.0, 7.4074),
    ],
)
def test_rectangular_trays_hold_what_the_textbooks_say(width: float, height: float, wall: float, volume: float) -> None:
    """CHECKS 4, best walls of rectangles; drawn ten times as large so that every sheet is one of ours."""
    result = study(tray(10.0 * wall, 90.0, Sheet(10.0 * width, 10.0 * height)))
    assert pytest.approx(volume * 1000.0, rel=1e-4) == result.measures.volume_mm3
    assert result.folds


@pytest.mark.parametrize("tuck", ["ssss", "eeee", "eses", "sese", "sees"])
def test_the_leaning_tray_at_its_best_holds_more_and_closes_exactly(tuck: str) -> None:
    """CHECKS 4: s 3.486 cm, f 57.91 deg, V 291.67 cm3; on whichever wall the flaps lie."""
    wall, turn = BEST_LEANING
    result = study(tray(wall, turn, tuck=tuck))
    assert pytest.approx(291_670.0, abs=10.0) == result.measures.volume_mm3
    assert pytest.approx(wall * math.sin(math.radians(turn))) == result.measures.rim_height_mm
    assert result.folded.closure_gap_mm < 1e-9
    assert () == result.report.findings


@given(trays())
@tried(40)
def test_any_tray_folds_holds_its_closed_form_and_agrees_with_trimesh(pattern: Pattern) -> None:
    result = study(pattern)
    hull = result.hull
    assert hull is not None
    assert result.folds
    assert not result.needs_cut
    assert not result.needs_tape
    assert result.folded.closure_gap_mm < 1e-9
    floor = pattern.creases[0]
    sheet = pattern.sheet
    wall, turn = floor.start[0], floor.turn_rad
    assert turn is not None
    assert pytest.approx(tray_volume_mm3(sheet.width_mm, sheet.height_mm, wall, turn), rel=1e-9) == hull.volume_mm3
    assert pytest.approx(sliced_volume_mm3(hull, hull.rim_height_mm), rel=1e-9) == hull.volume_mm3
    part = 0.37 * hull.rim_height_mm
    assert pytest.approx(sliced_volume_mm3(hull, part), rel=1e-9) == hull.volume_to_mm3(part)


@pytest.mark.parametrize("sheet", [Sheet(), Sheet(100.0, 210.0), Sheet(300.0, 80.0)])
def test_a_square_tray_closed_off_at_its_rim_is_a_watertight_mesh_of_the_same_volume(sheet: Sheet) -> None:
    hull = study(tray(20.0, 90.0, sheet, "eses")).hull
    assert hull is not None
    whole = closed_off(hull)
    assert whole.is_watertight
    assert pytest.approx(whole.volume, rel=1e-9) == hull.volume_mm3


# Drawings with known faults.


def mended(pattern: Pattern) -> tuple[Pattern, list[str]]:
    """Carry out the first remedy offered until there is none: the pattern then, and the remedies' words."""
    words: list[str] = []
    for _ in range(20):
        offered = [f.remedy for f in point_report(study(pattern)).findings if f.remedy]
        if not offered:
            return pattern, words
        words.append(offered[0].text)
        pattern = apply_remedy(pattern, offered[0])
    raise AssertionError(words)


def test_four_crossing_creases_need_a_cut_at_all_four_corners() -> None:
    result = study(crossing_creases())
    assert (False, True) == (result.folds, result.needs_cut)
    assert {"will-not-close"} == set(codes(result))
    assert {(25.0, 25.0), (125.0, 25.0), (125.0, 125.0), (25.0, 125.0)} == set(result.report.stops[0].places)
    assert None is result.load.brim_g


def test_the_remedies_of_four_crossing_creases_make_the_plain_tray() -> None:
    pattern, words = mended(crossing_creases())
    result = study(pattern)
    assert ["Fold this corner to a flap, at 2 places."] * 2 == words
    assert (True, False, False, []) == (result.folds, result.needs_cut, result.needs_tape, codes(result))
    assert pytest.approx(250_000.0) == result.measures.volume_mm3
    assert result.folded.closure_gap_mm < 1e-9


def test_the_remedies_of_four_crossing_creases_of_60_deg_make_the_leaning_tray() -> None:
    crossed = crossing_creases()
    lean = with_instead(crossed, [replace(c, turn_rad=math.radians(60.0)) for c in crossed.creases])
    result = study(mended(lean)[0])
    assert result.folds
    expected = tray_volume_mm3(150.0, 150.0, 25.0, math.radians(60.0))
    assert pytest.approx(expected) == result.measures.volume_mm3


@pytest.mark.parametrize("corner", range(4))
@pytest.mark.parametrize("off_deg", [3.0, -3.0])
def test_a_diagonal_3_deg_off_will_not_close_there_and_only_there(off_deg: float, corner: int) -> None:
    pattern = diagonal_off(off_deg, corner)
    result = study(pattern)
    assert ["will-not-close"] == codes(result)
    finding = point_report(result).stops[0]
    assert pattern.creases[5 + 3 * corner].start == finding.at
    # A diagonal folded flat and d off turns what lies beyond it by 2 d.
    assert "6.00 deg" in finding.detail
    assert finding.remedy is not None
    assert "3.0 degrees" in finding.remedy.text
    assert [] == codes(study(apply_remedy(pattern, finding.remedy)))


def test_a_tray_with_slit_and_overlapped_corners_folds_but_needs_tape_and_a_cut() -> None:
    result = study(slit_tray())
    assert (True, True, True) == (result.folds, result.needs_cut, result.needs_tape)
    assert pytest.approx(0.0, abs=1e-9) == result.measures.rim_height_mm
    assert pytest.approx(25.0) == result.measures.wall_height_mm
    assert {"cut-drawn": 4, "open-seam": 4} == {f.code: f.count for f in result.report.findings}
    assert 0.0 == result.load.brim_g


def test_the_report_says_what_the_slits_cost() -> None:
    """All of the plain tray's load: 248.6 g."""
    cuts = study(slit_tray()).report.having("cut-drawn", "open-seam")
    assert ["249 g" in f.detail for f in cuts] == [True] * 2
    assert "100.0 mm of open edge" in study(slit_tray()).report.having("open-seam")[0].detail


def test_slits_half_way_down_leave_corners_that_will_not_close() -> None:
    result = study(slit_tray(depth=0.5))
    assert (False, True, False) == (result.folds, result.needs_cut, result.needs_tape)
    assert 4 == result.report.having("will-not-close")[0].count


@pytest.mark.parametrize("seed", range(12))
def test_a_tray_drawn_by_hand_to_a_tenth_of_a_millimetre_still_passes(seed: int) -> None:
    """The rounded places miss by up to 0.07 mm, and the turns stay those of the exact tray."""
    wall, turn = BEST_LEANING
    for exact in (tray(25.0), tray(27.35), tray(wall, turn)):
        result = study(hand_rounded(exact, seed=seed))
        assert () == result.report.stops
        assert (True, False, False) == (result.folds, result.needs_cut, result.needs_tape)
        assert result.folded.closure_gap_mm < TOLERANCES.take_up_mm
        assert pytest.approx(study(exact).measures.volume_mm3, rel=0.02) == result.measures.volume_mm3


def test_a_sheet_without_creases_is_all_floor_and_water_comes_straight_in() -> None:
    result = study(drawn([]))
    assert (True, False, False, ["open-side"]) == (result.folds, result.needs_cut, result.needs_tape, codes(result))
    assert pytest.approx(22_500.0) == result.measures.floor_area_mm2
    assert 0.0 == result.load.brim_g


def test_a_tray_folded_the_wrong_way_stands_on_its_rim_and_carries_nothing() -> None:
    other = {"valley": "mountain", "mountain": "valley"}
    down = with_instead(tray(), [replace(c, sense=other[c.sense]) for c in tray().creases])
    result = study(down)
    assert (True, ["open-side"], 0.0) == (result.folds, codes(result), result.load.brim_g)
    assert (0.0, 0.0) == (result.measures.rim_height_mm, result.measures.wall_height_mm)
    assert pytest.approx(10_000.0) == result.measures.floor_area_mm2


def test_guide_lines_change_nothing_but_are_no_creases() -> None:
    guided = with_more(tray(), line((10.0, 10.0), (90.0, 60.0), "guide"))
    assert summary(study(tray())) == summary(study(guided))


# Moves that change nothing.


def kept(value: object) -> object:
    """Numbers rounded to seven digits, so that they compare."""
    if isinstance(value, float):
        return float(f"{value:.6e}") if abs(value) > 1e-6 else 0.0
    if isinstance(value, tuple):
        return tuple(map(kept, value))
    return value


def summary(result: Study, unless: tuple[str, ...] = ()) -> dict[str, object]:
    """All that is said of a pattern, places and counts of lines aside."""
    measures = {k: kept(v) for k, v in asdict(result.measures).items() if k not in unless}
    load = [kept(result.brim.load_g), kept(result.brim.surface_tension_g)] if result.brim else []
    verdict = [result.folds, result.needs_cut, result.needs_tape]
    return {"verdict": verdict, "codes": sorted(codes(result)), "measures": measures, "load": load}


def same(pattern: Pattern, other: Pattern, *, but: tuple[str, ...] = (), places: bool = False) -> None:
    """Both studies say the same; of a sheet that does not fold, no more than that and why."""
    first, second = study(pattern), study(other)
    summaries = [summary(result, but) for result in (first, second)]
    if not first.folds:
        # What does not close has no one shape to measure.
        summaries = [{k: t[k] for k in ("verdict", "codes")} for t in summaries]
    assert summaries[0] == summaries[1]
    if places:
        assert at(first) == at(second)


def at(result: Study) -> list[Point]:
    """Where the findings are, to a micrometre."""
    return sorted((round(p[0], 3), round(p[1], 3)) for f in result.report.findings for p in f.everywhere)


FAULTY = (crossing_creases(), diagonal_off(3.0, 1), diagonal_off(-3.0, 2), slit_tray(), slit_tray(depth=0.5))
folding_or_faulty = trays() | st.sampled_from(FAULTY)


@given(folding_or_faulty)
@tried(20)
def test_turning_the_sheet_changes_nothing_else(pattern: Pattern) -> None:
    same(pattern, turned(pattern))


@given(folding_or_faulty)
@tried(20)
def test_mirroring_the_sheet_changes_nothing_else(pattern: Pattern) -> None:
    same(pattern, mirrored(pattern))


@given(folding_or_faulty, st.data())
@tried(20)
def test_where_the_list_of_creases_starts_changes_nothing(pattern: Pattern, data: st.DataObject) -> None:
    same(pattern, rolled(pattern, data.draw(st.integers(1, len(pattern.creases) - 1))), places=True)


@given(folding_or_faulty, st.data())
@tried(20)
def test_from_which_end_a_crease_is_drawn_changes_nothing(pattern: Pattern, data: st.DataObject) -> None:
    same(pattern, reversed_crease(pattern, data.draw(st.integers(0, len(pattern.creases) - 1))), places=True)


@given(trays() | st.sampled_from(FAULTY[:3]), st.data())
@tried(20)
def test_splitting_a_crease_in_two_changes_nothing_but_their_number(pattern: Pattern, data: st.DataObject) -> None:
    index = data.draw(st.integers(0, len(pattern.creases) - 1))
    other = split_crease(pattern, index, data.draw(st.floats(0.1, 0.9)))
    same(pattern, other, but=("creases",), places=True)
    assert study(pattern).measures.creases + 1 == study(other).measures.creases


@pytest.mark.parametrize("pattern", [tray(25.0), tray(22.0, 65.0, Sheet(120.0, 190.0), "eses")])
def test_what_a_real_build_carries_hardly_changes_with_the_way_the_sheet_lies(pattern: Pattern) -> None:
    """It comes from draws, which meet a turned hull another way round: within a twentieth."""
    load = study(pattern).load
    for other in (turned(pattern), mirrored(pattern), rolled(pattern, 5), split_crease(pattern, 0, 0.3)):
        again = study(other).load
        assert load.limited_by == again.limited_by
        for was, now in zip((load.low_g, load.likely_g, load.high_g), (again.low_g, again.likely_g, again.high_g), strict=True):
            assert pytest.approx(was, rel=0.05) == now


@given(trays(), st.floats(0.5, 3.0))
@tried(20)
def test_scaling_by_k_scales_areas_by_its_square_and_volumes_by_its_cube(pattern: Pattern, k: float) -> None:
    plain, other = study(pattern).measures, study(scaled(pattern, k)).measures
    assert pytest.approx(plain.floor_area_mm2 * k**2) == other.floor_area_mm2
    assert pytest.approx(plain.foil_mass_g * k**2) == other.foil_mass_g
    assert pytest.approx(plain.rim_height_mm * k) == other.rim_height_mm
    assert pytest.approx(plain.wall_height_mm * k) == other.wall_height_mm
    assert pytest.approx(plain.volume_mm3 * k**3) == other.volume_mm3
    assert study(scaled(pattern, k)).folds


@given(patterns(most=24))
@tried(60)
def test_folding_keeps_every_length(pattern: Pattern) -> None:
    folded = study(pattern).folded
    flat = folded.faces.vertices[folded.faces.triangles]
    sides = (np.roll(shape, -1, axis=1) - shape for shape in (flat, folded.corners))
    on_sheet, in_space = (np.sqrt((s**2).sum(axis=2)) for s in sides)
    assert np.abs(on_sheet - in_space).max(initial=0.0) < 1e-9


# Whatever is drawn.


@pytest.mark.parametrize("turn_deg", [3.0, 4.0])
def test_small_misses_that_add_up_across_the_sheet_do_not_fold(turn_deg: float) -> None:
    """Two lines that cross at right angles and both turn by q miss by q^2: little at each point, much after twelve."""
    uprights = [line((10.0 + 11.0 * k, 0.0), (10.0 + 11.0 * k, 150.0), "valley", turn_deg) for k in range(12)]
    result = study(drawn([line((0.0, 70.0), (150.0, 70.0), "valley", turn_deg), *uprights], floor_at=(3.0, 3.0)))
    assert result.folded.closure_gap_mm > TOLERANCES.take_up_mm
    assert (False, True) == (result.folds, result.needs_cut)
    assert ["will-not-close"] == [f.code for f in result.report.stops]


@given(patterns())
@tried(8)
def test_any_drawing_gets_a_report_and_none_is_said_to_fold_that_gapes(pattern: Pattern) -> None:
    before = Pattern(**{f.name: getattr(pattern, f.name) for f in fields(pattern)})
    result = study(pattern)
    with pytest.MonkeyPatch.context() as patch:  # its remedy is looked for once, and told twice
        patch.setattr(cli_report, "best_remedy", cache(cli_report.best_remedy))
        assert "\n".join(check_lines(result)).strip()
        data = check_json(result)
    assert before == pattern
    known, stops = verdict_of(result), {f.code for f in result.report.stops}
    assert (known.level == "good") == (not stops)
    assert known.level != "neutral" or known.code == "empty" or stops == {"open-side"}
    if data["folds"]:
        assert result.folded.closure_gap_mm <= TOLERANCES.take_up_mm
    for f in result.report.findings:
        assert f.text
        assert f.at is None or all(map(math.isfinite, f.at))
    measures = [*(v for v in asdict(result.measures).values() if isinstance(v, float | int)), *result.measures.footprint_mm]
    assert all(math.isfinite(v) and v >= 0 for v in measures)
    area = pattern.sheet.width_mm * pattern.sheet.height_mm
    if not result.report.having("off-sheet"):
        assert result.measures.floor_area_mm2 <= area * (1.0 + 1e-9)


@given(patterns(most=12))
@tried(30)
def test_carrying_out_a_remedy_that_was_tried_out_leaves_fewer_stops(pattern: Pattern) -> None:
    """Of those that it was tried for: what closes may still pass through itself, or let water in."""
    given_turns = with_instead(pattern, [replace(c, turn_rad=c.turn_rad or 0.0) for c in pattern.creases])

    def stops(of: Pattern) -> int:
        return sum(f.count for f in study(of).report.stops if f.code not in ("passes-through", "open-seam"))

    for f in point_report(study(given_turns)).having("will-not-close", "lone-line", "flat-rule")[:2]:
        if f.remedy is not None:
            mended_pattern = apply_remedy(given_turns, f.remedy)
            assert mended_pattern.creases != given_turns.creases
            assert stops(mended_pattern) < stops(given_turns)
