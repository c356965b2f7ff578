"""Folds carried through layers: the creases they leave on the flat sheet."""

import math
from collections import Counter

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from folder.errors import BadRequest
from folder.fold.layers.clash import clashes_of
from folder.fold.place import folded
from folder.fold.vertex import fans_of, misfits
from folder.pattern.faces.faces import faces_of
from folder.pattern.families.flat_stack import FlatStack, Motion
from folder.pattern.families.prefold import folded_in, hemmed, pleated, rectangle, rolled
from folder.pattern.families.weld import too_fine, welded
from folder.pattern.pattern import Crease, Pattern, Sheet
from tests.folds import flat_rule_breaks

SHEET = Sheet()


def layers_at(stack: FlatStack, point: tuple[float, float]) -> int:
    """How many layers lie at a point of the table."""
    return sum(layer.holds(point) for layer in stack.layers)


def folded_by_engine(creases, sheet=SHEET, floor_at=(75.0, 75.0)):
    faces = faces_of(Pattern(sheet=sheet, creases=creases, floor_at=floor_at))
    return faces, folded(faces)


def covered(polygons):
    """The union on a fine grid: without one shapely loses whole pieces where borders differ by rounding."""
    return shapely.union_all(polygons, grid_size=1e-7)


def turning_at(faces, row, fans):
    """Sectors and turns of the creases that turn at one inner vertex; unfolded lines joined away."""
    turns = fans.turns(faces.turn)[row]
    kept = np.nonzero(np.abs(turns) > 0.0)[0]
    start = np.cumsum(fans.sector[row]) - fans.sector[row]
    return np.diff(start[kept], append=start[kept[0]] + math.tau), turns[kept]


def assert_folds_flat(stack, sheet=SHEET):
    """Kawasaki and Maekawa at every inner vertex; the engine's folded sheet covers what the layers cover."""
    faces, sheet_folded = folded_by_engine(stack.marked([]), sheet, root_place(stack))
    fans = fans_of(faces)
    for row in range(len(fans.vertex)):
        sectors, turns = turning_at(faces, row, fans)
        assert pytest.approx(math.pi, abs=1e-9) == sectors[::2].sum()
        assert 2 == abs((turns > 0).sum() - (turns < 0).sum())
        assert (False, False, False) == flat_rule_breaks(sectors, turns, 1e-9)
    assert 1e-9 > misfits(fans.turns(faces.turn), fans.sector).max(initial=0.0)
    assert 1e-9 > sheet_folded.closure_gap_mm
    assert 0.0 == pytest.approx(np.abs(sheet_folded.corners[..., 2]).max(), abs=1e-9)
    by_engine = covered(shapely.polygons(sheet_folded.corners[..., :2]))
    by_layers = covered([shapely.Polygon(layer.on_table) for layer in stack.layers])
    assert 1e-4 > by_engine.symmetric_difference(by_layers).area


def root_place(stack):
    """The middle of a layer that was never moved."""
    root = next(layer for layer in stack.layers if layer.motion == Motion())
    x, y = np.array(root.outline).mean(axis=0)
    return (float(x), float(y))


@st.composite
def random_stacks(draw):
    """Up to four folds of all layers, over or under, along any line through the sheet that leaves its middle in place."""
    sheet = Sheet(draw(st.floats(60.0, 300.0)), draw(st.floats(60.0, 300.0)))
    stack = FlatStack.of(sheet)
    for step in range(1, draw(st.integers(1, 4)) + 1):
        # A line at some distance from the middle, on whose left the middle lies.
        angle = draw(st.integers(0, 23)) * math.tau / 24.0 + draw(st.sampled_from([0.0, 0.02, 0.1]))
        away = draw(st.floats(3.0, 60.0))
        normal = (math.cos(angle), math.sin(angle))
        start = (sheet.width_mm / 2.0 + away * normal[0], sheet.height_mm / 2.0 + away * normal[1])
        end = (start[0] - 10.0 * normal[1], start[1] + 10.0 * normal[0])
        stack = stack.fold(start, end, step, under=draw(st.booleans()))
    assume(stack.creases and too_fine(stack.marked([]), sheet) is None)
    return sheet, stack


@settings(deadline=None)
@given(random_stacks())
def test_folding_all_layers_again_and_again_keeps_the_rules_of_flat_folding(drawn):
    """Kawasaki-Justin: alternate sectors sum to 180 deg; Maekawa-Justin: |M - V| = 2. Silhouette against shapely."""
    sheet, stack = drawn
    assert_folds_flat(stack, sheet)


@settings(max_examples=25, deadline=None)
@given(random_stacks())
def test_folding_all_layers_never_passes_one_through_another(drawn):
    """An order of layers exists, found by the fold's own search from the creases alone."""
    sheet, stack = drawn
    assert 0 == len(clashes_of(folded_by_engine(stack.marked([]), sheet, root_place(stack))[1]).pairs)


@settings(deadline=None)
@given(random_stacks())
def test_the_layers_are_the_whole_sheet_and_nothing_else(drawn):
    """Areas by shapely: each layer keeps its area, and together they are the sheet."""
    sheet, stack = drawn
    on_sheet = [shapely.Polygon(layer.outline) for layer in stack.layers]
    assert sheet.width_mm * sheet.height_mm == pytest.approx(sum(p.area for p in on_sheet))
    assert sheet.width_mm * sheet.height_mm == pytest.approx(covered(on_sheet).area)
    for layer, polygon in zip(stack.layers, on_sheet, strict=True):
        assert polygon.area == pytest.approx(shapely.Polygon(layer.on_table).area)
        assert layer.up == shapely.LinearRing(layer.on_table).is_ccw


@settings(deadline=None)
@given(random_stacks(), st.floats(20.0, 150.0), st.floats(0.0, math.tau))
def test_a_bend_carried_through_all_layers_closes_at_any_turn(drawn, turn_deg, angle):
    """A stack bent along a line is the sheet bent along that line's image in every layer, so every vertex still closes."""
    sheet, stack = drawn
    middle = (sheet.width_mm / 2.0 + 1.7, sheet.height_mm / 2.0 - 1.3)
    far = (600.0 * math.cos(angle), 600.0 * math.sin(angle))
    bend = Crease(
        (middle[0] - far[0], middle[1] - far[1]), (middle[0] + far[0], middle[1] + far[1]), "valley", math.radians(turn_deg)
    )
    creases = stack.marked([bend])
    assume(too_fine(creases, sheet) is None)
    bent = folded_by_engine(creases, sheet)[1]
    assert 1e-9 > bent.closure_gap_mm
    # Only two planes remain: that of the root, and the bent one.
    heights = np.abs(bent.normals[:, 2])
    assert np.minimum(np.abs(heights - 1.0), np.abs(heights - abs(math.cos(math.radians(turn_deg))))).max() < 1e-9


@settings(deadline=None)
@given(st.complex_numbers(max_magnitude=100.0), st.complex_numbers(max_magnitude=100.0), st.complex_numbers(max_magnitude=100.0))
def test_turning_over_twice_about_one_line_changes_nothing(a, b, p):
    assume(abs(a - b) > 1.0)
    start, end, point = ((z.real, z.imag) for z in (a, b, p))
    once = Motion().mirrored(start, end)
    assert point == pytest.approx(once(once(point)), abs=1e-6)
    assert point == pytest.approx(once.back(once(point)), abs=1e-6)
    assert start == pytest.approx(once(start), abs=1e-6)


def test_a_valley_through_two_layers_is_a_mountain_on_the_one_turned_over():
    """Folded in half and in half again: four creases meet, three of one sense, one of the other (Maekawa-Justin)."""
    stack = FlatStack.of(SHEET).fold((75.0, 0.0), (75.0, 150.0), 1).fold((150.0, 75.0), (0.0, 75.0), 2)
    senses = {(c.start, c.end): c.sense for c in stack.marked([])}
    assert Counter(senses.values()) == {"valley": 2, "mountain": 1}
    (mountain,) = [c for c in stack.marked([]) if c.sense == "mountain"]
    assert {75.0, 150.0} == {mountain.start[0], mountain.end[0]}  # on the half that was turned over
    assert 4 == layers_at(stack, (30.0, 30.0))
    assert_folds_flat(stack)


def test_folded_under_is_the_mirror_of_folded_over():
    over = FlatStack.of(SHEET).fold((75.0, 0.0), (75.0, 150.0))
    under = FlatStack.of(SHEET).fold((75.0, 0.0), (75.0, 150.0), under=True)
    assert ("valley", "mountain") == (over.creases[0].sense, under.creases[0].sense)
    assert ([True, False], [False, True]) == ([x.up for x in over.layers], [x.up for x in under.layers])


def test_a_mitred_hem_meets_in_six_creases_four_valleys_two_mountains():
    """Sectors 90, 45, 45, 90, 45, 45 deg: alternate ones sum to 180 deg, and |4 - 2| = 2 (Kawasaki, Maekawa)."""
    stack, outline = hemmed(SHEET, 6.0)
    assert rectangle(6.0, 6.0, 144.0, 144.0) == outline
    faces, _ = folded_by_engine(stack.marked([]))
    fans = fans_of(faces)
    assert 4 == len(fans.vertex)
    for row, vertex in enumerate(fans.vertex):
        assert {6.0, 144.0} >= set(faces.vertices[vertex].round(9))
        sectors, turns = turning_at(faces, row, fans)
        assert [45.0, 45.0, 45.0, 45.0, 90.0, 90.0] == pytest.approx(sorted(np.degrees(sectors)))
        assert (4, 2) == ((turns > 0).sum(), (turns < 0).sum())
    assert_folds_flat(stack)


@settings(deadline=None)
@given(st.sets(st.sampled_from(["lower", "right", "upper", "left"]), min_size=1), st.floats(2.0, 30.0))
def test_a_hem_on_any_sides_leaves_two_layers_along_them_and_one_elsewhere(sides, depth):
    stack, outline = hemmed(SHEET, depth, sides)
    (left, bottom), _, (right, top), _ = outline
    middles = {
        "lower": (70.0, bottom + depth / 2), "upper": (70.0, top - depth / 2),
        "left": (left + depth / 2, 70.0), "right": (right - depth / 2, 70.0),
    }  # fmt: skip
    assert {side: 2 if side in sides else 1 for side in middles} == {s: layers_at(stack, p) for s, p in middles.items()}
    assert 1 == layers_at(stack, (74.0, 76.0))
    assert_folds_flat(stack)


@settings(deadline=None)
@given(st.floats(2.0, 20.0), st.floats(-20.0, 20.0))
def test_a_pleat_is_two_creases_of_opposite_sense_and_three_layers(depth, shift):
    stack, outline = pleated(SHEET, depth, shift)
    creases = stack.marked([])
    assert ["valley", "mountain"] == [c.sense for c in creases]
    assert depth == pytest.approx(abs(creases[0].start[0] - creases[1].start[0]))
    assert 150.0 - 2.0 * depth == pytest.approx(outline[1][0])
    middle = (150.0 - 2.0 * depth) / 2.0 + shift
    assert (3, 1) == (layers_at(stack, (middle, 60.0)), layers_at(stack, (middle + depth / 2.0 + 1.0, 60.0)))
    assert_folds_flat(stack)


@pytest.mark.parametrize(("across", "along"), [(1, 2), (2, 2), (3, 1), (2, 3), (4, 4)])
def test_a_sheet_rolled_to_strips_has_as_many_layers_everywhere(across, along):
    stack, outline = rolled(SHEET, across, along)
    polygon = shapely.Polygon(outline)
    assert 150.0 * 150.0 / (across * along) == pytest.approx(polygon.area)
    inside = [(x, y) for x in (1.3, 7.7, 30.1) for y in (1.1, 9.9, 31.3) if polygon.contains(shapely.Point(x, y))]
    assert {across * along} == {layers_at(stack, p) for p in inside}
    assert_folds_flat(stack)


@pytest.mark.parametrize("leg", [10.0, 43.93398282201787, 70.0])
def test_corners_folded_in_leave_the_outline_that_was_asked_for(leg):
    outline = ((leg, 0.0), (150.0 - leg, 0.0), (150.0, leg), (150.0, 150.0 - leg),
               (150.0 - leg, 150.0), (leg, 150.0), (0.0, 150.0 - leg), (0.0, leg))  # fmt: skip
    stack = folded_in(SHEET, outline, [(1, 3, 5, 7)])
    silhouette = covered([shapely.Polygon(layer.on_table) for layer in stack.layers])
    assert 1e-4 > silhouette.symmetric_difference(shapely.Polygon(outline)).area
    assert_folds_flat(stack)


def test_a_sheet_too_long_to_be_folded_in_once_is_refused():
    square = ((450.0, 0.0), (550.0, 0.0), (550.0, 100.0), (450.0, 100.0))
    with pytest.raises(BadRequest, match="sticks out"):
        folded_in(Sheet(1000.0, 100.0), square, [(1, 3)])


def test_the_top_layer_alone_can_be_folded_back():
    """Fold over at 100 mm, then only the top layer back at 80 mm: the lower layer is not creased."""
    stack = FlatStack.of(SHEET).fold((100.0, 0.0), (100.0, 150.0), 1).fold((80.0, 150.0), (80.0, 0.0), 2, most=1)
    assert [("valley", 100.0), ("mountain", 120.0)] == [(c.sense, c.start[0]) for c in stack.marked([])]
    assert [1, 3, 1] == [layers_at(stack, (x, 75.0)) for x in (40.0, 90.0, 105.0)]
    assert_folds_flat(stack)


def test_layers_that_hang_together_do_not_fold_apart():
    """Folded in half, the top layer cannot be turned about a line that crosses the first fold."""
    half = FlatStack.of(SHEET).fold((75.0, 0.0), (75.0, 150.0))
    with pytest.raises(BadRequest, match="hang together"):
        half.fold((0.0, 40.0), (75.0, 40.0), most=1)


def test_a_layer_cannot_be_folded_through_one_that_stays_above_it():
    """The left part lies on the sheet, the right edge on top of it: the left part alone cannot come up."""
    stack = FlatStack.of(SHEET).fold((60.0, 150.0), (60.0, 0.0)).fold((125.0, 0.0), (125.0, 150.0))
    assert 3 == layers_at(stack, (110.0, 75.0))
    with pytest.raises(BadRequest, match="in the way"):
        stack.fold((90.0, 0.0), (90.0, 150.0), most=1)
    assert_folds_flat(stack.fold((90.0, 0.0), (90.0, 150.0), most=2))


def test_stretches_of_one_fold_become_one_crease():
    pieces = [Crease((0.0, 0.0), (40.0, 0.0)), Crease((150.0, 0.0), (90.0, 0.0)), Crease((40.0, 1e-13), (90.0, 0.0))]
    (line,) = welded(pieces)
    assert {(0.0, 0.0), (150.0, 0.0)} == {line.start, line.end}
    assert 3 == len(welded([*pieces[:2], Crease((40.0, 0.0), (90.0, 0.0), "mountain")]))


def test_lines_that_nearly_touch_are_too_fine_to_fold():
    assert too_fine([Crease((0.0, 50.0), (150.0, 50.0)), Crease((75.0, 50.0), (75.0, 150.0))], SHEET) is None
    assert too_fine([Crease((0.0, 50.0), (150.0, 50.0)), Crease((75.0, 50.1), (75.0, 150.0))], SHEET) == (75.0, 50.1)
    assert too_fine([Crease((0.0, 0.1), (150.0, 50.0))], SHEET) is not None
