"""Pictures are plain data in mm, and lines follow the trade's notation."""

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import astuple

from folder.draw.picture import (
    Area,
    Box,
    Label,
    Line,
    Picture,
    arc,
    box_round,
    centred,
    dashes,
    disc,
    overlaid,
    stretch,
)
from folder.draw.style import STYLES, dash_phase_mm, dash_runs

finite = st.floats(-500, 500)
points = st.tuples(finite, finite)
lengths = st.floats(5, 500)

PICTURE = Picture.of(
    [
        Area((((0, 0), (40, 0), (40, 20)), ((10, 2), (20, 2), (20, 4)))),
        Line(((0.0, 0.0), (40.0, 20.0), (0.0, 20.0)), "valley", closed=True),
        Label("floor", (5.0, 5.0), anchor="middle"),
    ]
)


def places(picture: Picture) -> list[tuple[float, float]]:
    """Every place of a picture, in order."""
    found = []
    for item in picture.marks:
        match item:
            case Line():
                found += item.points
            case Area():
                found += [p for ring in item.rings for p in ring]
            case Label():
                found.append(item.at)
    return found


def test_dashes_have_the_lengths_of_iso_128_2_in_line_widths():
    """Dashed 12, 3; dash double dot 12, 3, .5, 3, .5, 3 (ISO 128-2). Which line means what: Randlett 1961."""
    assert (12, 3) == STYLES["valley"].dashes
    assert (12, 3, 0.5, 3, 0.5, 3) == STYLES["mountain"].dashes
    assert (0.5, 3) == STYLES["hidden"].dashes
    assert () == STYLES["crease"].dashes == STYLES["cut"].dashes == STYLES["edge"].dashes
    assert STYLES["crease"].width_mm < STYLES["valley"].width_mm


def test_valley_mountain_crease_hidden_cut_and_guide_differ_without_colour():
    looks = {(STYLES[name].width_mm, STYLES[name].dashes) for name in ("valley", "mountain", "crease", "hidden", "cut", "guide")}
    assert 6 == len(looks)


@given(lengths, st.sampled_from(["valley", "mountain", "hidden", "guide"]))
def test_a_dashed_line_looks_alike_from_both_ends(length, name):
    runs = dash_runs(length, STYLES[name])
    mirrored = [(length - end, length - start) for start, end in reversed(runs)]
    assert pytest.approx([v for run in runs for v in run], abs=1e-9) == [v for run in mirrored for v in run]


@given(lengths, st.sampled_from(["valley", "mountain"]))
def test_creases_begin_and_end_in_a_dash_so_that_they_meet_in_ink(length, name):
    runs = dash_runs(length, STYLES[name])
    assert 0 == runs[0][0]
    assert length == runs[-1][1]


@given(st.floats(60, 500), st.sampled_from(["valley", "mountain", "hidden", "guide"]))
def test_whole_dashes_and_gaps_keep_their_lengths(length, name):
    style = STYLES[name]
    runs = dash_runs(length, style)[1:-1]
    inked = {round((end - start) / style.width_mm, 6) for start, end in runs}
    blank = {round((b[0] - a[1]) / style.width_mm, 6) for a, b in itertools.pairwise(runs)}
    assert set(style.dashes[::2]) == inked
    assert set(style.dashes[1::2]) == blank


def test_a_thinner_line_keeps_its_pattern():
    thin = Line(((0, 0), (100, 0)), "mountain", weight=0.5)
    assert 0.25 == thin.look.width_mm
    whole = [round(b[0] - a[0], 9) for a, b in dashes(thin)]
    assert 12 * 0.25 in whole
    assert 0.5 * 0.25 in whole


def test_dashes_follow_a_line_round_its_corners():
    line = Line(((0, 0), (10, 0), (10, 10)), "valley")
    pieces = dashes(line)
    total = sum(math.dist(a, b) for piece in pieces for a, b in itertools.pairwise(piece))
    assert pytest.approx(sum(end - start for start, end in dash_runs(20.0, line.look))) == total
    assert all(p[1] == 0 or p[0] == 10 for piece in pieces for p in piece)
    assert (0, 0) == pieces[0][0]
    assert (10, 10) == pieces[-1][-1]


def test_the_phase_of_a_dash_lies_in_one_period():
    style = STYLES["mountain"]
    period = sum(style.dashes) * style.width_mm
    assert all(0 <= dash_phase_mm(length / 7, style) < period for length in range(1, 1000))


def test_a_closed_line_runs_back_to_its_start():
    assert 40.0 == Line(((0, 0), (10, 0), (10, 10), (0, 10)), closed=True).length_mm
    assert 30.0 == Line(((0, 0), (10, 0), (10, 10), (0, 10))).length_mm


def test_a_stretch_of_a_path_starts_and_ends_where_asked():
    assert ((3.0, 0.0), (10.0, 0.0), (10.0, 5.0)) == stretch(((0, 0), (10, 0), (10, 10)), 3.0, 15.0)


@given(st.floats(-200, 200), st.floats(-200, 200), st.floats(-7, 7), st.floats(0.05, 20))
def test_moving_and_turning_keep_distances_and_scaling_multiplies_them(dx, dy, turn, times):
    before = places(PICTURE)
    after = places(PICTURE.rotated(turn).moved(dx, dy).scaled(times))
    for (a, b), (c, d) in zip(itertools.combinations(before, 2), itertools.combinations(after, 2), strict=True):
        assert pytest.approx(times * math.dist(a, b), abs=1e-9) == math.dist(c, d)


def test_scaling_leaves_line_widths_and_text_sizes_alone():
    half = PICTURE.scaled(0.5)
    assert [i.look for i in PICTURE.marks if isinstance(i, Line)] == [i.look for i in half.marks if isinstance(i, Line)]
    assert [i.size_mm for i in PICTURE.marks if isinstance(i, Label)] == [i.size_mm for i in half.marks if isinstance(i, Label)]


def test_text_turns_with_its_picture():
    assert pytest.approx(math.pi / 2) == PICTURE.rotated(math.pi / 2).marks[-1].rotation_rad


def test_pictures_are_values_and_an_edit_leaves_the_first_one_alone():
    before = astuple(PICTURE)
    PICTURE.moved(1, 2).rotated(3).scaled(4).fitted(Box(0, 0, 9, 9))
    assert before == astuple(PICTURE)
    with pytest.raises(AttributeError):
        PICTURE.marks = ()


@given(points, st.floats(1, 400), st.floats(1, 400), st.floats(-7, 7))
def test_a_fitted_picture_lies_in_the_middle_of_its_box_and_touches_two_sides(corner, width, height, turn):
    into = Box(corner[0], corner[1], corner[0] + width, corner[1] + height)
    box = PICTURE.rotated(turn).fitted(into).box
    assert pytest.approx(into.middle, abs=1e-6) == box.middle
    assert pytest.approx(1.0) == max(box.width / into.width, box.height / into.height)


def test_a_fitted_picture_does_not_grow_past_its_bound():
    assert 40.0 == PICTURE.fitted(Box(0, 0, 1000, 1000), at_most=1.0).box.width


def test_pictures_are_joined_from_back_to_front():
    both = PICTURE + PICTURE.moved(100, 0)
    assert (0, 0, 140, 20) == both.box
    assert PICTURE.marks == both.marks[:3]
    assert both == overlaid([PICTURE, PICTURE.moved(100, 0)])


def test_an_empty_picture_has_an_empty_box():
    assert (0, 0, 0, 0) == Picture.of([]).box == box_round([])


def test_boxes_touch_only_when_they_share_more_than_an_edge():
    assert Box(0, 0, 2, 2).touches(Box(1, 1, 3, 3))
    assert not Box(0, 0, 2, 2).touches(Box(2, 0, 3, 3))
    assert (2, 1) == Box(0, 0, 2, 2).nearest((5, 1))
    assert Box(0, 0, 2, 2).holds((2, 2))


def test_an_arc_keeps_its_distance_and_a_disc_its_area():
    assert all(pytest.approx(7.0) == math.dist((1, 2), p) for p in arc((1, 2), 7.0, 0.3, 4.0))
    ring = disc((0, 0), 10.0).rings[0]
    shoelace = sum(a[0] * b[1] - a[1] * b[0] for a, b in itertools.pairwise((*ring, ring[0]))) / 2
    assert pytest.approx(math.pi * 100, rel=0.006) == shoelace


def test_a_centred_label_has_half_its_capitals_on_either_side():
    label = centred("8", (10, 20), 10.0)
    assert (10, 20 - 3.5) == label.at
    assert "middle" == label.anchor
