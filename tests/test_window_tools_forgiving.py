"""The forgiving hand: crooked lines come out straight, near misses meet, doubles become one; with shift all is as drawn."""

import math

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from folder.pattern.pattern import Crease, Pattern
from folder.studies import study
from folder.verdict import verdict_of
from folder.window.tools.forgiving import extension, intended_line
from folder.window.tools.straighten import straightened
from folder.window.tools.tool import Setting, SheetPointer, Tool, ToolContext
from tests.drawings import crossing_creases, line, tray, with_instead
from tests.first_tries import crooked
from tests.strokes import whole_stroke

REACH_MM = 4.0


def stroke(pattern, *places, tool="line", shift=False, mirrors="none", grid_mm=0.0, **setting):
    context = ToolContext(pattern, setting=Setting(mirrors=mirrors, grid_mm=grid_mm, **setting))
    return whole_stroke(Tool(tool), context, [SheetPointer(place, REACH_MM, shift) for place in places])


def ends(pattern):
    return [(c.start, c.end) for c in pattern.creases]


@given(st.floats(-8.0, 8.0), st.sampled_from([0, 45, 90, 135, 180, 225, 270, 315]))
def test_a_line_within_8_deg_of_the_sheet_s_directions_is_turned_to_them(off, direction):
    """The end keeps its distance from the start, which stays."""
    turn = math.radians(direction + off)
    straight = straightened(((75, 75), (75 + 40 * math.cos(turn), 75 + 40 * math.sin(turn))))
    meant_end = (75 + 40 * math.cos(math.radians(direction)), 75 + 40 * math.sin(math.radians(direction)))
    assert straight.straight
    assert meant_end == pytest.approx(straight.end, abs=1e-9)
    assert abs(math.radians(off)) == pytest.approx(straight.by_rad, abs=1e-9)


@pytest.mark.parametrize("off", [8.5, 15.0, 22.5, 30.0])
def test_a_line_further_off_is_meant_as_it_is(off):
    line_drawn = ((75, 75), (75 + 40 * math.cos(math.radians(off)), 75 + 40 * math.sin(math.radians(off))))
    assert line_drawn == (straightened(line_drawn).start, straightened(line_drawn).end)


def test_a_line_beside_another_takes_its_direction():
    """At 20 deg, where the sheet has no direction of its own."""
    slope = math.tan(math.radians(20))
    there = Pattern(creases=(Crease((0, 40), (150, 40 + 150 * slope)),))
    (ax, ay), (bx, by) = ends(stroke(there, (0, 50), (150, 50 + 150 * math.tan(math.radians(24)))).pattern)[1]
    assert 20 == pytest.approx(math.degrees(math.atan2(by - ay, bx - ax)))


@pytest.mark.parametrize("off", range(1, 9))
def test_four_crooked_lines_from_edge_to_edge_and_their_corners_make_a_straight_hull(off):
    """No mirror: each line drawn by itself, each off another way; the tray is that of a straight hand."""
    up = 150 * math.tan(math.radians(off))
    pattern = Pattern()
    for places in (
        ((0, 25), (150, 25 + up)),
        ((0, 125), (150, 125 - up)),
        ((25, 0), (25 + up, 150)),
        ((125, 0), (125 - up, 150)),
    ):
        pattern = stroke(pattern, *places).pattern
    assert 4 == len(pattern.creases)
    for corner in ((23, 20), (127, 20), (127, 130), (23, 130)):
        pattern = stroke(pattern, corner, tool="corner").pattern
    made = study(pattern)
    assert "hull" == verdict_of(made).code
    assert 100 * 100 == pytest.approx(made.measures.floor_area_mm2)


@pytest.mark.parametrize("off", [(8, -8, 8, -8), (8, 8, -8, -8), (-7, 8, 6, -7), (-5, -6, 7, 8)])
def test_four_lines_crooked_about_their_middles_become_walls_of_one_height(off):
    """Where the first line began is where it is laid; the others cross its mirror images and are meant to be those."""
    pattern = Pattern()
    for wall, deg in zip(crossing_creases().creases, off, strict=True):
        drawn = crooked(wall, deg)
        pattern = stroke(pattern, drawn.start, drawn.end, grid_mm=1.0).pattern
    heights = [min(p, 150 - p) for c in pattern.creases for p, q in zip(c.start, c.end, strict=True) if p == q]
    assert 4 * [heights[0]] == heights


def test_a_crooked_line_is_not_drawn_onto_an_image_that_is_there_already():
    """All round there are four walls at 25 mm; a hem that slants across one of them stays a hem."""
    hem = stroke(crossing_creases(), (0, 16), (150, 32)).pattern
    assert 5 == len(hem.creases)
    assert ((0, 16), (150, 16)) == ends(hem)[-1]


def test_a_crooked_line_begun_on_the_edge_or_by_it_is_laid_where_it_was_on_average():
    """Straightened about its start it would be the edge itself, and no wall at all."""
    assert [((0, 143), (150, 143))] == ends(stroke(Pattern(), (36, 150), (150, 136)).pattern)
    assert [((0, 13), (150, 13))] == ends(stroke(Pattern(), (0, 5), (150, 21)).pattern)
    assert [((0, 8), (150, 8))] == ends(stroke(Pattern(), (0, 0), (150, 16)).pattern)


def test_with_shift_a_line_is_exactly_as_drawn():
    result = stroke(Pattern(), (3, 25), (149, 27.3), shift=True, grid_mm=5.0)
    assert [((3, 25), (149, 27.3))] == ends(result.pattern)
    assert result.correction is None


def test_ends_within_the_hand_s_reach_meet():
    there = Pattern(creases=(Crease((0, 40), (80, 40)),))
    assert ((80, 40), (80, 150)) == ends(stroke(there, (83, 42), (80, 148)).pattern)[1]


def test_a_line_nearly_on_another_becomes_one_with_it():
    there = Pattern(creases=(Crease((0, 40), (150, 40)),))
    result = stroke(there, (0, 42.4), (150, 38.1))
    assert [((0, 40), (150, 40))] == ends(result.pattern)
    turned = stroke(there, (0, 42.4), (150, 38.1), sense="mountain")
    assert [("mountain", ((0, 40), (150, 40)))] == [(c.sense, (c.start, c.end)) for c in turned.pattern.creases]


def test_a_line_further_away_stays_another_line():
    there = Pattern(creases=(Crease((0, 40), (150, 40)),))
    assert 2 == len(stroke(there, (0, 46), (150, 46)).pattern.creases)


def test_a_line_nearly_its_own_mirror_image_is_made_that():
    """An upright line 1.2 mm off the middle would have an image 2.4 mm beside it."""
    even = intended_line(Pattern(), ((76.2, 0), (76.2, 150)), "left-right")
    assert (((75, 0), (75, 150)), "the same on both sides") == (even.line, even.words)
    assert ((76.2, 0), (76.2, 150)) == intended_line(Pattern(), ((76.2, 0), (76.2, 150)), "top-bottom").line


def test_the_other_side_s_wall_drawn_by_hand_lands_where_the_first_stands():
    there = Pattern(creases=(Crease((0, 25), (150, 25)),))
    assert {((0, 125), (150, 125)), ((150, 125), (0, 125))} & set(ends(stroke(there, (0, 127.1), (150, 126.2)).pattern))


def test_a_diagonal_that_stops_short_is_led_on_to_the_corner_that_it_closes():
    plain = tray()
    index = next(i for i, c in enumerate(plain.creases) if (0.0, 0.0) in (c.start, c.end))
    without = with_instead(plain, [c for i, c in enumerate(plain.creases) if i != index])
    result = stroke(without, (25, 25), (9, 9), turn_rad=math.pi)
    assert {(25, 25), (0, 0)} == set(ends(result.pattern)[-1])
    assert "led on" in result.correction.words
    assert "hull" == verdict_of(study(result.pattern)).code


def test_a_line_is_not_led_on_where_that_closes_nothing():
    """In the middle of a tray's floor: led on to the walls it would open two places more."""
    short = line((60, 70), (90, 70))
    assert ((60, 70), (90, 70)) == extension(tray(), short, "none")


def test_a_line_is_not_led_on_over_more_than_its_own_length():
    """A corner line is no diagonal of the whole sheet, though that would end at the edge."""
    assert ((0, 0), (35, 35)) == extension(Pattern(), line((0, 0), (35, 35)), "none")
    assert ((0, 0), (150, 150)) == extension(Pattern(), line((0, 0), (100, 100)), "none")


@pytest.mark.parametrize("drawn", [((20, 60), (130, 60)), ((20, 60), (120, 60)), ((0, 60), (75, 60))])
def test_a_line_across_the_sheet_that_is_mirrored_is_one_line_with_its_images(drawn):
    """Its right end is led on by the image of its left one: no two of them lie on each other."""
    laid = stroke(Pattern(), *drawn, mirrors="four").pattern
    across = [tuple(sorted(two)) for two in ends(laid)]
    expected = [((0, 60), (150, 60)), ((0, 90), (150, 90)), ((60, 0), (60, 150)), ((90, 0), (90, 150))]
    assert expected == sorted(across)


def test_images_that_do_not_reach_each_other_stay_two_lines():
    crossing = tuple(line((x, 0), (x, 150)) for x in (30, 120))
    assert ((0, 60), (30, 60)) == extension(Pattern(creases=crossing), line((0, 60), (30, 60)), "four")


def test_a_line_between_two_places_of_the_drawing_is_meant():
    there = tray()
    assert ((25, 25), (0, 0)) == intended_line(there, ((25, 25), (0, 0))).line
    assert ((25, 25), (125, 125)) == intended_line(there, ((25, 25), (125, 125))).line


def test_a_correction_keeps_the_line_as_drawn_one_undo_away():
    result = stroke(Pattern(), (0, 25), (150, 33), mirrors="none")
    assert [((0, 25), (150, 33))] == ends(result.as_drawn)
    assert [((0, 25), (150, 25))] == ends(result.pattern)
    assert ("straightened", ((0, 25), (150, 33))) == (result.correction.words, result.correction.drawn)


@settings(max_examples=25)
@example([(80.0, 0.0, 0.0, 27.0), (5.0, 70.0, 113.0, 92.0), (1.0, 119.0, 77.0, 98.0)], "four")  # a turned end ran off the sheet
@given(st.lists(st.tuples(*[st.floats(0, 150)] * 4), min_size=1, max_size=3), st.sampled_from(["none", "left-right", "four"]))
def test_however_lines_are_drawn_they_stay_on_the_sheet_and_none_lies_on_another(strokes, mirrors):
    pattern = Pattern()
    for ax, ay, bx, by in strokes:
        pattern = stroke(pattern, (ax, ay), (bx, by), mirrors=mirrors).pattern
    for crease in pattern.creases:
        assert all(-1e-9 <= v <= 150 + 1e-9 for p in (crease.start, crease.end) for v in p)
    assert len(pattern.creases) == len(
        {frozenset(((round(x, 3), round(y, 3)) for x, y in (c.start, c.end))) for c in pattern.creases}
    )
