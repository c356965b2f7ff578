"""Edits give a new pattern, leave the old one alone, and drop the family that no longer describes it."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from folder.errors import BadRequest
from folder.findings import Point, Remedy, Stroke
from folder.pattern import edit
from folder.pattern.faces.faces import faces_of
from folder.pattern.families.catalogue import make
from folder.pattern.file import parse_pattern, pattern_bytes
from folder.pattern.pattern import MOST_CREASES, Crease, Pattern
from folder.studies import study
from tests.drawings import crossing_creases, drawn, floor_corners, line, tray
from tests.strategies import patterns, tried

ADDED = line((40.0, 40.0), (90.0, 60.0), "mountain", 30.0)

EDITS: dict[str, Callable[[Pattern], Pattern]] = {
    "with_creases": lambda p: edit.with_creases(p, p.creases[::-1]),
    "lay": lambda p: edit.lay(p, [ADDED]),
    "drop": lambda p: edit.drop(p, [0, 2]),
    "change": lambda p: edit.change(p, [0], turn_rad=1.0),
    "move": lambda p: edit.move_creases(p, [0, 1], (1.0, -2.0)),
    "stretch": lambda p: edit.stretch_crease(p, [(0, True)], (30.0, 30.0)),
    "name_floor": lambda p: edit.name_floor(p, (10.0, 75.0)),
    "remedy": lambda p: edit.apply_remedy(p, Remedy("", (0,), (Stroke((1.0, 2.0), (3.0, 4.0), "valley", 1.0),))),
}


@pytest.mark.parametrize("name", EDITS)
def test_an_edit_makes_a_new_pattern_and_drops_the_family(name: str) -> None:
    made = make("square-tray", note="a note", name="A name")
    before = replace(made)
    edited = EDITS[name](made)
    assert before == made
    assert edited != made
    assert None is edited.family
    assert (made.name, made.note, made.sheet) == (edited.name, edited.note, edited.sheet)


@pytest.mark.parametrize("name", EDITS)
def test_an_edited_pattern_is_kept_in_a_file(name: str) -> None:
    edited = EDITS[name](make("square-tray"))
    assert edited == parse_pattern(pattern_bytes(edited))


def test_crimps_are_marks_and_leave_the_family_alone() -> None:
    made = make("square-tray")
    pinched = edit.add_crimp(made, (10.0, 20.0))
    assert ((*made.crimps, (10.0, 20.0)), made.family) == (pinched.crimps, pinched.family)
    assert made == edit.drop_crimp(pinched, len(made.crimps))
    assert made.family == edit.apply_remedy(made, Remedy("", crimps=((1.0, 1.0),))).family


def test_laid_creases_come_last_in_order() -> None:
    assert (*tray().creases, ADDED, tray().creases[0]) == edit.lay(tray(), [ADDED, tray().creases[0]]).creases


@given(patterns(most=10), st.data())
@tried(30)
def test_laying_then_dropping_gives_the_pattern_back(pattern: Pattern, data: st.DataObject) -> None:
    laid = edit.lay(pattern, [ADDED] * data.draw(st.integers(0, 3)))
    added = range(len(pattern.creases), len(laid.creases))
    assert pattern == edit.drop(laid, added)


@pytest.mark.parametrize("end", [(40.0, 40.0), (40.05, 40.0), (math.nan, 0.0), (math.inf, 0.0)])
def test_a_line_needs_two_different_ends(end: Point) -> None:
    with pytest.raises(BadRequest, match="two different ends"):
        edit.lay(tray(), [line((40.0, 40.0), end)])
    with pytest.raises(BadRequest, match="two different ends"):
        edit.stretch_crease(drawn([line((40.0, 40.0), (90.0, 40.0))]), [(0, False)], end)


def test_a_full_sheet_takes_no_more() -> None:
    full = drawn([ADDED] * MOST_CREASES)
    with pytest.raises(BadRequest, match="full"):
        edit.lay(full, [ADDED])


def test_change_changes_what_is_named_and_nothing_else() -> None:
    changed = edit.change(tray(), [1, 5], sense="cut", turn_rad=0.5, step=7)
    for index, (was, now) in enumerate(zip(tray().creases, changed.creases, strict=True)):
        expected = Crease(was.start, was.end, "cut", 0.5, 7) if index in (1, 5) else was
        assert expected == now
    assert None is edit.change(tray(), [0], free=True).creases[0].turn_rad
    assert tray().creases == edit.change(tray(), [0]).creases


@pytest.mark.parametrize("turn", [-0.1, 3.2, math.nan])
def test_a_turn_lies_between_flat_and_folded_flat(turn: float) -> None:
    with pytest.raises(BadRequest, match="between 0 and 180"):
        edit.change(tray(), [0], turn_rad=turn)


def test_moving_there_and_back_gives_the_pattern_back() -> None:
    there = edit.move_creases(tray(), [3, 4], (0.5, -0.25))
    assert (25.5, 124.75) == there.creases[3].start
    assert tray() == edit.move_creases(there, [3, 4], (-0.5, 0.25))


@pytest.mark.parametrize("by", [(math.nan, 0.0), (0.0, math.inf)])
def test_nothing_is_moved_to_nowhere(by: Point) -> None:
    with pytest.raises(BadRequest):
        edit.move_creases(tray(), [0], by)


def test_stretching_drags_several_ends_to_one_place() -> None:
    corner = (30.0, 30.0)
    ends = [(i, at == c.start) for i, c in enumerate(tray().creases) for at in (c.start, c.end) if at == (25.0, 25.0)]
    dragged = edit.stretch_crease(tray(), ends, corner)
    assert 5 == sum(corner in (c.start, c.end) for c in dragged.creases)
    assert not any((25.0, 25.0) in (c.start, c.end) for c in dragged.creases)


def test_both_ends_of_a_line_do_not_go_to_one_place() -> None:
    with pytest.raises(BadRequest, match="two different ends"):
        edit.stretch_crease(tray(), [(0, True), (0, False)], (30.0, 30.0))


def test_alike_are_lines_of_one_sense_turn_and_length() -> None:
    assert (0, 1, 2, 3) == edit.alike(tray(), 0)
    assert (5, 8, 11, 14) == edit.alike(tray(), 5)


def test_the_floor_lies_on_the_sheet() -> None:
    assert (0.0, 150.0) == edit.name_floor(tray(), (0.0, 150.0)).floor_at
    for off in ((-0.1, 10.0), (10.0, 150.1), (math.nan, 1.0)):
        with pytest.raises(BadRequest, match="on the sheet"):
            edit.name_floor(tray(), off)


@pytest.mark.parametrize("tuck_on_first", [True, False])
def test_folding_all_four_corners_of_crossing_lines_makes_the_tray(tuck_on_first: bool) -> None:
    pattern = crossing_creases()
    for corner in floor_corners(25.0, pattern.sheet):
        pattern = edit.fold_corner(pattern, (corner[0] + 3.0, corner[1] - 2.0), tuck_on_first=tuck_on_first)
    result = study(pattern)
    assert result.folds
    assert pytest.approx(250_000.0) == result.measures.volume_mm3
    assert 16 == len(pattern.creases)


def test_a_sheet_without_walls_has_no_corner_to_fold() -> None:
    for bare in (drawn([]), drawn([line((0.0, 40.0), (150.0, 40.0))]), drawn([], floor_at=(-5.0, 0.0))):
        assert [] == edit.floor_corners(faces_of(bare))
        with pytest.raises(BadRequest, match="no two walls meet here"):
            edit.fold_corner(bare, (75.0, 75.0))


def test_walls_that_fold_away_cannot_share_a_flap() -> None:
    down = drawn([replace(c, sense="mountain") for c in crossing_creases().creases])
    with pytest.raises(BadRequest, match="cannot share a flap"):
        edit.fold_corner(down, (25.0, 25.0))


def test_a_remedy_keeps_the_step_of_what_it_replaces() -> None:
    stepped = drawn([replace(c, step=2) for c in tray().creases])
    remedy = Remedy("", (5,), (Stroke((25.0, 25.0), (0.0, 0.0), "valley", math.pi),))
    assert 2 == edit.apply_remedy(stepped, remedy).creases[-1].step


def test_a_sense_that_is_none_is_a_bug() -> None:
    with pytest.raises(ValueError, match="not a sense"):
        edit.apply_remedy(tray(), Remedy("", (), (Stroke((0.0, 0.0), (1.0, 1.0), "hill", None),)))
