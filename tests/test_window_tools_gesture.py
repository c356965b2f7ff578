"""The pointer's state machine, tried without pygame: every tool, by presses, drags and releases on the sheet."""

import math
import subprocess
import sys

import pytest
from msgspec.structs import replace

from folder.pattern.pattern import Crease, Pattern
from folder.studies import study
from folder.window.tools import gesture
from folder.window.tools.laying import lay_typed
from folder.window.tools.tool import TOOLS, Setting, SheetPointer, Tool, ToolContext, TypedLine


class Bench:
    """A table with a tool in hand."""

    def __init__(self, pattern=None, tool="pick", **setting):
        self.context = ToolContext(pattern or Pattern(), frozenset(), Setting(**{"mirrors": "none", **setting}))
        self.tool, self.message = Tool(tool), ""

    def take(self, name):
        self.tool = Tool(name)

    def _do(self, what, at, shift=False):
        move = what(self.tool, self.context, SheetPointer(at, 2.0, shift))
        self.tool, self.message = move.tool, self.message + move.message
        self.context = replace(self.context, pattern=move.pattern, picked=move.picked)
        return move

    def press(self, at, shift=False):
        self._do(gesture.press, at, shift)
        return self._do(gesture.release, at, shift)

    def draw(self, start, end):
        self._do(gesture.press, start)
        self._do(gesture.drag, end)
        return self._do(gesture.release, end)

    def look(self, at):
        return gesture.look(self.tool, self.context, SheetPointer(at, 2.0))

    @property
    def ends(self):
        return [(c.start, c.end) for c in self.context.pattern.creases]

    @property
    def picked(self):
        return sorted(self.context.picked)


def test_the_tools_need_no_drawing_library():
    code = "import sys, folder.window.tools.gesture, folder.window.editor; sys.exit('pygame' in sys.modules)"
    assert 0 == subprocess.run([sys.executable, "-c", code], check=False).returncode


def test_a_line_is_drawn_in_one_stroke_or_with_two_presses():
    stroke, presses = Bench(tool="line"), Bench(tool="line")
    stroke.draw((20, 30), (80, 30))
    presses.press((20, 30))
    assert presses.tool.points == ((20, 30),)
    presses.press((80, 30))
    assert [((20, 30), (80, 30))] == stroke.ends == presses.ends


def test_what_will_be_laid_is_shown_before_the_press():
    bench = Bench(tool="long")
    bench.press((0, 25))
    preview = bench.look((100, 25.6))
    assert [((0, 25), (150, 25))] == [(c.start, c.end) for c in preview.strokes]
    assert 100 == pytest.approx(preview.length_mm)
    assert 0 == pytest.approx(preview.angle_rad)
    bench.press((100, 25.6))
    assert bench.ends == [((0, 25), (150, 25))]


def test_one_long_line_with_the_four_corner_mirror_gives_four_walls():
    bench = Bench(tool="long", mirrors="four")
    bench.draw((0, 25), (150, 25))
    assert 4 == len(bench.ends)
    assert {25.0, 125.0} == {p[0] for c in bench.context.pattern.creases if c.start[0] == c.end[0] for p in (c.start, c.end)}


def test_a_tray_takes_four_gestures_at_most_and_folds():
    """It folds with no cut and no tape. The load: displaced water less the foil's own mass."""
    bench = Bench(tool="long", mirrors="four")
    bench.draw((0, 25), (150, 25))
    bench.take("corner")
    bench.press((22, 20))
    result = study(bench.context.pattern)
    assert () == result.report.stops
    assert not result.needs_cut
    assert not result.needs_tape
    assert 100 * 100 * 25 * 0.9982 / 1000 - 0.972 == pytest.approx(result.load.brim_g, abs=0.05)


def test_the_flap_lies_on_the_wall_the_hand_is_nearer_to():
    for at, sideways in (((24, 10), True), ((10, 24), False)):
        bench = Bench(tool="long", mirrors="four")
        bench.draw((0, 25), (150, 25))
        bench = Bench(bench.context.pattern, "corner")
        bench.press(at)
        mountains = [c for c in bench.context.pattern.creases if c.sense == "mountain"]
        assert 1 == len(mountains)
        # The mountain is the side line of the wall it is tucked on.
        (x0, _), (x1, _) = mountains[0].start, mountains[0].end
        assert sideways == (x0 == x1)


def test_corner_folds_are_right_where_walls_lean_and_are_not_square():
    """Walls at 60 deg on a floor whose corner is not square: the fold must close all the same."""
    turn = math.radians(60)
    walls = (Crease((0, 30), (150, 30), "valley", turn), Crease((30, 0), (60, 150), "valley", turn))
    bench = Bench(Pattern(creases=walls, floor_at=(100, 100)), "corner")
    bench.press((28, 20))
    assert 5 == len(bench.ends)
    assert () == study(bench.context.pattern).report.having("will-not-close")


def test_a_line_square_to_another_goes_through_the_point_at_right_angles():
    bench = Bench(Pattern(creases=(Crease((0, 0), (150, 75)),)), "square")
    bench.press((60, 30))
    bench.press((50, 100))
    (ax, ay), (bx, by) = bench.ends[1]
    assert 0 == pytest.approx((bx - ax) * 150 + (by - ay) * 75, abs=1e-6)
    assert 0 == pytest.approx((bx - ax) * (100 - ay) - (by - ay) * (50 - ax), abs=1e-6)


def test_a_halved_angle_is_the_one_between_the_pressed_sides():
    """Between the lower and the left side of the sheet lies the diagonal."""
    bench = Bench(tool="angle")
    bench.press((60, 0))
    bench.press((0, 70))
    assert bench.ends == [((0, 0), (150, 150))]


def test_the_line_half_way_between_two_points_folds_one_onto_the_other():
    bench = Bench(tool="halve")
    bench.draw((0, 75), (100, 75))
    (ax, _), (bx, _) = bench.ends[0]
    assert (50, 50) == (ax, bx)


def test_a_line_beside_another_keeps_its_distance_and_the_side_of_the_hand():
    bench = Bench(Pattern(creases=(Crease((0, 40), (150, 40)),)), "beside")
    bench.press((60, 40))
    preview = bench.look((62, 58))
    assert 20 == pytest.approx(preview.length_mm)
    bench.press((62, 58))
    assert bench.ends[1] == ((0, 60), (150, 60))


def test_length_and_angle_can_be_typed():
    bench = Bench(tool="line")
    bench.press((10, 10))
    bench.tool = replace(bench.tool, typed=TypedLine(length_mm=50.0, angle_rad=math.radians(30)))
    move = lay_typed(bench.tool, bench.context, SheetPointer((99, 1), 2.0))
    end = move.pattern.creases[0].end
    assert (10 + 50 * math.cos(math.pi / 6), 35) == pytest.approx(end)


def test_a_typed_place_wins_over_the_hand():
    bench = Bench(tool="line")
    bench.press((10, 10))
    bench.tool = replace(bench.tool, typed=TypedLine(x_mm=33.3))
    assert (33.3, 60) == bench.look((80, 60)).at


def test_a_line_of_no_length_is_refused_with_a_sentence_and_the_drawing_stays():
    bench = Bench(tool="line")
    bench.press((20, 30))
    bench.press((20, 30))
    assert bench.ends == []
    assert "different ends" in bench.message


def test_the_same_line_is_not_laid_twice():
    bench = Bench(tool="long", mirrors="four")
    bench.draw((0, 25), (150, 25))
    bench.draw((0, 125), (150, 125))
    assert 4 == len(bench.ends)
    assert "there already" in bench.message


def test_picking_one_several_by_shift_and_several_by_a_box():
    creases = (Crease((20, 20), (40, 20)), Crease((20, 60), (40, 60)), Crease((100, 100), (120, 120)))
    bench = Bench(Pattern(creases=creases))
    bench.press((30, 20.5))
    assert bench.picked == [0]
    bench.press((30, 60), shift=True)
    assert bench.picked == [0, 1]
    bench.press((30, 60), shift=True)
    assert bench.picked == [0]
    bench.draw((90, 90), (130, 130))
    assert bench.picked == [2]
    bench.press((140, 20))
    assert bench.picked == []


def test_a_loose_line_moves_with_the_hand_and_rests_on_the_grid():
    bench = Bench(Pattern(creases=(Crease((20, 20), (60, 20)),)))
    bench.press((30, 20))
    bench.draw((30, 20), (41.2, 33.9))
    assert bench.ends == [((30, 35), (70, 35))]


def test_nothing_is_settled_until_the_hand_lets_go():
    bench = Bench(Pattern(creases=(Crease((20, 20), (60, 20)),)))
    pointer = SheetPointer((30, 20), 2.0)
    move = gesture.press(bench.tool, bench.context, pointer)
    context = replace(bench.context, picked=move.picked)
    dragged = gesture.drag(move.tool, context, SheetPointer((30, 60), 2.0))
    assert dragged.pattern is bench.context.pattern
    assert (20, 60) == dragged.drag_pattern.creases[0].start


def test_an_end_of_a_picked_line_can_be_stretched():
    bench = Bench(Pattern(creases=(Crease((20, 20), (60, 20)),)))
    bench.press((40, 20))
    bench.draw((60, 20), (91, 52))
    assert bench.ends == [((20, 20), (90, 50))]


def test_pinches_are_set_and_taken_away_by_a_press():
    bench = Bench(tool="pinch", mirrors="left-right")
    bench.press((40, 0))
    assert bench.context.pattern.crimps == ((40, 0), (110, 0))
    bench.press((40, 0))
    assert bench.context.pattern.crimps == ((110, 0),)


def test_the_floor_is_named_by_a_press_and_refused_off_the_sheet():
    bench = Bench(tool="floor")
    bench.press((20, 30))
    assert bench.context.pattern.floor_at == (20, 30)
    bench.take("floor")
    bench.press((-5, 30))
    assert bench.context.pattern.floor_at == (20, 30)
    assert "on the sheet" in bench.message


@pytest.mark.parametrize("name", TOOLS)
def test_escape_comes_home_from_every_tool_in_three_steps(name):
    bench = Bench(Pattern(creases=(Crease((20, 20), (60, 20)),)), name)
    bench.press((40, 20))
    for _ in range(3):
        move = gesture.home(bench.tool, bench.context)
        bench.tool = move.tool
        bench.context = replace(bench.context, pattern=move.pattern, picked=move.picked)
    assert Tool() == bench.tool
    assert bench.picked == []


@pytest.mark.parametrize("name", TOOLS)
def test_places_that_are_no_numbers_change_nothing(name):
    bench = Bench(Pattern(creases=(Crease((20, 20), (60, 20)),)), name)
    before = bench.context.pattern
    bench.press((math.nan, math.inf))
    assert bench.context.pattern is before
