"""What of a picture lies inside a box. The second truth is shapely's own intersection."""

import itertools
import math

import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from folder.draw.clip import clipped, holds, part_inside
from folder.draw.picture import Area, Box, Label, Line, Picture

place = st.tuples(st.floats(-20, 30).map(lambda v: round(v, 3)), st.floats(-20, 30).map(lambda v: round(v, 3)))
BOX = Box(0.0, 0.0, 10.0, 12.0)
RING = ((0.0, 0.0), (9.0, 2.0), (7.0, 11.0), (1.0, 8.0))


@given(place, place, st.sampled_from([BOX.corners, RING]))
def test_the_part_of_a_segment_inside_is_the_intersection(a, b, ring):
    assume(a != b)
    part = part_inside(a, b, ring)
    cut = shapely.LineString([a, b]).intersection(shapely.Polygon(ring))
    assert pytest.approx(cut.length, abs=1e-6) == (math.dist(*part) if part else 0.0) or not part
    if not part:
        # A segment that runs along a side only touches.
        assert shapely.LineString([a, b]).intersection(shapely.Polygon(ring).buffer(-1e-6)).is_empty


@given(st.lists(place, min_size=3, max_size=6))
def test_a_clipped_area_covers_what_of_it_lies_in_the_box(ring):
    polygon = shapely.Polygon(ring)
    assume(polygon.is_valid and polygon.area > 0.1)
    picture = clipped(Picture.of([Area((tuple(ring),))]), BOX)
    area = sum(shapely.Polygon(r).area for item in picture.marks for r in item.rings)
    assert pytest.approx(polygon.intersection(shapely.box(*BOX)).area, abs=1e-6) == area


@given(st.lists(place, min_size=2, max_size=6))
def test_a_clipped_line_is_as_long_as_what_of_it_lies_in_the_box(path):
    assume(all(math.dist(a, b) > 0.1 for a, b in itertools.pairwise(path)))
    inside = shapely.box(*BOX).buffer(-1e-9)
    lengths = [shapely.LineString(pair).intersection(inside).length for pair in itertools.pairwise(path)]
    picture = clipped(Picture.of([Line(tuple(path), "valley")]), BOX)
    assert pytest.approx(sum(lengths), abs=1e-5) == sum(line.length_mm for line in picture.marks)


@given(st.lists(place, min_size=3, max_size=6), place)
def test_a_ring_holds_what_the_polygon_contains(ring, point):
    polygon = shapely.Polygon(ring)
    assume(polygon.is_valid and polygon.exterior.distance(shapely.Point(point)) > 1e-6)
    assert polygon.contains(shapely.Point(point)) == holds((tuple(ring),), point)


def test_a_label_is_kept_only_when_all_of_it_is_inside():
    labels = Picture.of([Label("ab", (1.0, 5.0), 3.0), Label("ab", (8.0, 5.0), 3.0)])
    assert labels.marks[:1] == clipped(labels, BOX).marks


def test_a_line_across_the_box_stays_in_one_piece():
    bent = Line(((-5.0, 6.0), (5.0, 6.0), (5.0, 20.0)), "mountain")
    assert (Line(((0.0, 6.0), (5.0, 6.0), (5.0, 12.0)), "mountain"),) == clipped(Picture.of([bent]), BOX).marks
