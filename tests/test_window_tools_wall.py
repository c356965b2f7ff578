"""Walls and hems as the hand makes them, tried without pygame: whole gestures from place to place."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from folder.errors import BadRequest
from folder.pattern.families.catalogue import make
from folder.pattern.pattern import Crease, Pattern, Sheet
from folder.pattern.walls.reading import read_plan
from folder.studies import study
from folder.verdict import verdict_of
from folder.window.tools import gesture
from folder.window.tools.mirror import maps
from folder.window.tools.tool import Setting, SheetPointer, Tool, ToolContext
from folder.window.tools.walls.hemming import hem_rim
from folder.window.tools.walls.measures import (
    lean_wall,
    lean_walls,
    measures_of_walls,
    on_sheet_of,
    push_walls,
    raise_walls,
    take_walls_away,
)
from tests.drawings import crossing_creases, line, tray, with_more
from tests.strokes import whole_stroke

REACH_MM = 4.0


def stroked(pattern, tool, *places, shift=False, **setting):
    """The drawing after one gesture."""
    context = ToolContext(pattern, setting=Setting(**setting))
    result = whole_stroke(Tool(tool), context, [SheetPointer(place, REACH_MM, shift) for place in places])
    return result.pattern


def is_hull(pattern):
    return "hull" == verdict_of(study(pattern)).code


def floor_of(pattern):
    return sorted((round(x, 6), round(y, 6)) for x, y in read_plan(pattern).plan.floor[0])


def test_a_tray_is_one_gesture_from_an_empty_sheet():
    """Drawn in from the middle of an edge to 25 mm. The load: displaced water less the foil's own mass."""
    drawn = stroked(Pattern(), "wall", (75, 1), (75, 12), (76, 24.3))
    made = study(drawn)
    assert "hull" == verdict_of(made).code
    assert 100 * 100 * 25 * 0.9982 / 1000 - 0.972 == pytest.approx(made.load.brim_g, abs=0.05)


def test_a_leaning_hemmed_tray_is_three_gestures():
    """A wall, a press on the rim, and a lean; against the family, which counts the hem into the wall."""
    drawn = stroked(Pattern(), "wall", (75, 0), (75, 25))
    drawn = stroked(drawn, "hem", (75, 0), (75, 0))
    drawn = lean_wall(
        drawn, next(i for i, c in enumerate(drawn.creases) if "valley" == c.sense and 1.6 > c.turn_rad), math.radians(30)
    )
    family = study(make("hemmed-tray", {"wall": 30, "hem": 5, "turn": 60}))
    assert is_hull(drawn)
    assert family.load.brim_g == pytest.approx(study(drawn).load.brim_g, rel=1e-9)


@pytest.mark.parametrize(
    ("mirrors", "walls"),
    [
        ("none", {"lower"}),
        ("left-right", {"lower"}),
        ("top-bottom", {"lower", "upper"}),
        ("four", {"lower", "upper", "left", "right"}),
    ],
)
def test_the_mirror_says_which_walls_come_up(mirrors, walls):
    names = {(0, -1): "lower", (1, 0): "right", (0, 1): "upper", (-1, 0): "left"}
    plan = read_plan(stroked(Pattern(), "wall", (75, 0), (75, 25), mirrors=mirrors)).plan
    assert walls == {names[tuple(round(v) for v in wall.outward)] for wall in plan.walls}


def test_all_round_means_all_four_sides_of_a_sheet_that_is_no_square_too():
    oblong = Pattern(sheet=Sheet(200, 120), floor_at=(100, 60))
    assert [(25, 25), (25, 95), (175, 25), (175, 95)] == floor_of(stroked(oblong, "wall", (100, 0), (100, 25)))


@pytest.mark.parametrize("off_deg", range(1, 9))
@pytest.mark.parametrize("way", [1, -1])
def test_a_wall_drawn_along_crookedly_stands_straight_and_all_round(off_deg, way):
    """From edge to edge, off by 1 to 8 deg: the tray that a straight hand draws."""
    up = 140 * math.tan(math.radians(off_deg)) * way
    drawn = stroked(Pattern(), "wall", (1, 30), (70, 30 + up / 2), (141, 30 + up))
    assert [(30, 30), (30, 120), (120, 30), (120, 120)] == floor_of(drawn)
    assert is_hull(drawn)


def test_a_wall_drawn_at_a_slant_stands_at_that_slant():
    """Across a corner at 45 deg, all round: a floor with eight sides, which folds."""
    drawn = stroked(stroked(Pattern(), "wall", (75, 0), (75, 25)), "wall", (33, 47), (52, 27))
    assert 8 == len(read_plan(drawn).plan.walls)
    assert is_hull(drawn)


def test_a_wall_line_dragged_moves_the_wall_and_its_corners():
    for places in (((60, 25), (60, 35)), ((60, 25), (90, 34))):
        assert floor_of(make("square-tray", {"wall": 35})) == floor_of(stroked(tray(), "wall", *places))
        assert floor_of(make("square-tray", {"wall": 35})) == floor_of(stroked(tray(), "pick", *places))
    one = stroked(tray(), "wall", (60, 25), (60, 35), mirrors="none")
    assert [(25, 35), (25, 125), (125, 35), (125, 125)] == floor_of(one)
    assert is_hull(one)


def test_a_hemmed_wall_moves_as_a_plain_one_does():
    hemmed = hem_rim(tray(), 5.0)
    moved = stroked(hemmed, "pick", (75, 30), (75, 40))
    assert floor_of(make("hemmed-tray", {"wall": 40, "hem": 5})) == floor_of(moved)
    assert is_hull(moved)


def test_a_wall_pushed_off_its_edge_goes_away_and_the_rest_stays_in_order():
    drawn = stroked(tray(), "wall", (75, 25), (75, 1), mirrors="none")
    assert 3 == len(read_plan(drawn).plan.walls)
    assert "open" == verdict_of(study(drawn)).code


def test_a_wall_dragged_too_far_stops_where_a_floor_is_left():
    """5 mm of floor: half of 150 less 5."""
    assert 72.5 == measures_of_walls(stroked(Pattern(), "wall", (75, 0), (75, 74.9))).height_mm
    assert 120 == pytest.approx(read_plan(stroked(tray(), "wall", (75, 25), (75, 149), mirrors="none")).plan.width_mm(0), abs=0.5)


def test_shift_draws_exactly():
    assert 23.37 == measures_of_walls(stroked(Pattern(), "wall", (75, 0), (75, 23.37), shift=True)).height_mm


def test_corners_that_were_only_crossing_lines_fold_when_a_wall_is_moved():
    assert is_hull(stroked(crossing_creases(), "wall", (75, 25), (75, 30)))


def test_a_drawing_without_a_ring_of_walls_is_left_alone_with_a_sentence():
    odd = with_more(crossing_creases(), line((50, 60), (90, 100)))
    result = whole_stroke(Tool("wall"), ToolContext(odd), [SheetPointer(p, REACH_MM) for p in ((75, 0), (75, 30))])
    assert odd is result.pattern
    assert "Take Line" in result.message


def test_a_press_on_an_edge_hems_it_and_another_takes_the_hem_away():
    hemmed = stroked(tray(), "hem", (75, 1), (75, 1))
    assert 44 == len(hemmed.creases)
    assert (5.0, 4) == (read_plan(hemmed).plan.hem_mm, len(read_plan(hemmed).plan.hem_sides))
    assert is_hull(hemmed)
    assert floor_of(tray()) == floor_of(stroked(hemmed, "hem", (75, 1), (75, 1)))


def test_a_hem_is_as_deep_as_the_drag_and_on_one_side_without_the_mirror():
    hemmed = stroked(tray(), "hem", (75, 0), (75, 8.2), mirrors="none")
    assert (8.0, ("lower",)) == (read_plan(hemmed).plan.hem_mm, read_plan(hemmed).plan.hem_sides)
    assert is_hull(hemmed)


def test_a_hem_deeper_than_its_wall_is_refused_and_nothing_changes():
    before = tray(12)
    result = whole_stroke(Tool("hem"), ToolContext(before), [SheetPointer(p, REACH_MM) for p in ((75, 0), (75, 20))])
    assert before is result.pattern
    assert "deeper than the wall" in result.message


def test_height_and_lean_are_read_and_set():
    """A wall 25 mm wide at 30 deg from upright stands 25 cos 30 deg high."""
    leaned = lean_walls(tray(25), math.radians(30))
    assert 25 * math.cos(math.radians(30)) == pytest.approx(measures_of_walls(leaned).height_mm, abs=0.01)
    assert math.radians(30) == pytest.approx(measures_of_walls(leaned).lean_rad)
    higher = raise_walls(leaned, 26.0)
    assert (26.0, pytest.approx(math.radians(30))) == (measures_of_walls(higher).height_mm, measures_of_walls(higher).lean_rad)
    assert is_hull(higher)
    assert 18.0 == measures_of_walls(raise_walls(Pattern(), 18.0)).height_mm
    assert 30.0 == measures_of_walls(push_walls(tray(), [0], (0.0, 5.0))).height_mm


def test_a_lean_is_refused_past_60_deg_and_of_what_is_no_wall():
    with pytest.raises(BadRequest, match="0 to 60"):
        lean_walls(tray(), math.radians(70))
    with pytest.raises(BadRequest, match="no wall to lean"):
        lean_walls(Pattern(), 0.1)
    with pytest.raises(BadRequest, match="no wall"):
        lean_wall(tray(), 5, 0.1)


def test_a_wall_taken_away_takes_its_corners_with_it():
    left = take_walls_away(tray(), [1])
    assert 9 == len(left.creases)
    assert "open" == verdict_of(study(left)).code
    assert take_walls_away(tray(), [5]) is None


def test_another_sheet_keeps_the_walls_or_what_else_is_drawn_in_proportion():
    assert 25.0 == measures_of_walls(on_sheet_of(tray(), Sheet(200, 200))).height_mm
    loose = on_sheet_of(Pattern(creases=(Crease((50, 60), (90, 100)),)), Sheet(300, 75)).creases[0]
    assert ((100, 30), (180, 50)) == (loose.start, loose.end)


PLACES = st.tuples(st.floats(0, 150), st.floats(0, 150))


@settings(max_examples=40)
@given(st.lists(st.tuples(st.sampled_from(["wall", "hem", "corner"]), PLACES, PLACES), min_size=1, max_size=4))
def test_what_is_done_all_round_is_the_same_on_all_sides(gestures):
    """However the hand draws: the floor's creases are their own mirror images, left and right, top and bottom."""
    pattern = Pattern()
    for tool, start, end in gestures:
        pattern = stroked(pattern, tool, start, end)
    reading = read_plan(pattern)
    assert reading is not None
    floor = {tuple(round(v, 3) for v in p) for p in reading.plan.floor[0]}
    for carry in maps(pattern.sheet, "four"):
        assert floor == {tuple(round(v, 3) + 0.0 for v in carry(p)) for p in floor}


@given(PLACES, PLACES, st.sampled_from(["wall", "hem", "line", "pick", "corner"]))
def test_a_gesture_never_breaks_off_and_leaves_no_tool_half_done(start, end, tool):
    context = ToolContext(tray(), setting=Setting())
    result = whole_stroke(Tool(tool), context, [SheetPointer(p, REACH_MM) for p in (start, end)])
    settled = replace(context, pattern=result.pattern, picked=result.picked)
    assert not gesture.home(result.tool, settled).tool.busy
    assert all(i < len(result.pattern.creases) for i in result.picked)
