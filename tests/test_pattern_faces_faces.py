"""Creases noded and cut into faces: against shapely alone, and near misses, slits, rings and odd places of the floor."""

from __future__ import annotations

import math
from collections import Counter

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import fields

from folder.findings import Point
from folder.pattern.faces.faces import BORDER, FLAT, Faces, cover_of, faces_of
from folder.pattern.pattern import Crease, Pattern, Sheet
from tests.drawings import crossing_creases, drawn, hand_rounded, line, slit_tray, tray
from tests.oracles import plain_areas
from tests.strategies import patterns, trays, tried

GRID = st.tuples(*(st.integers(0, 3).map(lambda i: 50.0 * i) for _ in range(2)))


@st.composite
def grid_patterns(draw: st.DrawFn) -> Pattern:
    """Up to 30 lines between points of a 50 mm grid.

    Their crossings are fractions of it with denominators up to 18: two of them are one, or over 0.1 mm apart.
    """
    ends = draw(st.lists(st.tuples(GRID, GRID).filter(lambda e: e[0] != e[1]), max_size=30))
    return drawn([line(a, b, "valley", 0.0) for a, b in ends])


def ring(low: float, high: float, sense: str = "valley", turn_deg: float = 0.0) -> list[object]:
    """Four lines round a square in mid-sheet."""
    corners = [(low, low), (high, low), (high, high), (low, high)]
    return [line(corners[k], corners[(k + 1) % 4], sense, turn_deg) for k in range(4)]


def sound(faces: Faces, pattern: Pattern) -> None:
    """What holds of every net: faces and triangles cover the sheet once, edges know their faces, arrays are read-only."""
    whole = pattern.sheet.width_mm * pattern.sheet.height_mm
    assert pytest.approx(whole, rel=1e-9) == faces.areas.sum()
    x, y = faces.vertices[faces.triangles].transpose(2, 0, 1)
    twice = (x[:, 1] - x[:, 0]) * (y[:, 2] - y[:, 0]) - (x[:, 2] - x[:, 0]) * (y[:, 1] - y[:, 0])
    assert (twice > -1e-6).all()
    covered = np.bincount(faces.triangle_face, twice / 2.0, minlength=faces.count)
    assert np.allclose(faces.areas, covered, rtol=1e-9, atol=1e-6)
    for edge in range(len(faces.edges)):
        a, b = faces.edges[edge].tolist()
        for side, (start, end) in enumerate([(a, b), (b, a)]):
            rows = faces.ring[(faces.ring[:, 1] == start) & (faces.ring[:, 2] == end), 0]
            assert rows.tolist() == ([] if faces.sides[edge, side] < 0 else [faces.sides[edge, side]])
    assert ((faces.sides >= 0).sum(axis=1) == np.where(faces.crease == BORDER, 1, 2)).all()
    arrays = [v for f in fields(faces) if isinstance(v := getattr(faces, f.name), np.ndarray)]
    assert not any(a.flags.writeable for a in arrays)


@given(trays() | grid_patterns())
@tried(60)
def test_faces_have_the_areas_that_shapely_gives(pattern: Pattern) -> None:
    assert np.allclose(plain_areas(pattern), np.sort(faces_of(pattern).areas), rtol=1e-9)


@given(grid_patterns())
@tried(40)
def test_every_edge_lies_on_its_crease_and_every_crease_is_found_along_its_length(pattern: Pattern) -> None:
    faces = faces_of(pattern)
    sound(faces, pattern)
    lines = [shapely.LineString([c.start, c.end]) for c in pattern.creases]
    for ends, crease in zip(faces.vertices[faces.edges], faces.crease.tolist(), strict=True):
        if crease != BORDER:
            assert shapely.distance(lines[crease], shapely.points(ends)).max() < 1e-9
    edge = shapely.box(0.0, 0.0, 150.0, 150.0).exterior
    drawn_mm = shapely.unary_union([edge, *lines]).length if lines else edge.length
    bounding, loose = (faces.vertices[pairs] for pairs in (faces.edges, faces.dangling[:, :2]))
    found_mm = sum(float(np.hypot(*(ends[:, 1] - ends[:, 0]).T).sum()) for ends in (bounding, loose))
    assert pytest.approx(drawn_mm) == found_mm


@given(patterns())
@tried(60)
def test_any_drawing_on_the_sheet_is_cut_into_faces_that_cover_it_once(pattern: Pattern) -> None:
    w, h = pattern.sheet.width_mm, pattern.sheet.height_mm
    inside = [c for c in pattern.creases if all(0 <= x <= w and 0 <= y <= h for x, y in (c.start, c.end))]
    pattern = drawn(inside, pattern.sheet, pattern.floor_at)
    sound(faces_of(pattern), pattern)


def test_the_plain_tray_has_13_faces_24_vertices_and_the_floor_for_root() -> None:
    """By hand: a floor, four walls, eight halves of flaps; 4 + 4 + 8 points on the floor, the corners and the edge."""
    faces = faces_of(tray(25.0))
    assert (13, 16) == (faces.count, len(faces.vertices))
    # Euler: vertices - edges + faces = 1 on a sheet.
    assert 1 == len(faces.vertices) - len(faces.edges) + faces.count
    assert pytest.approx(10_000.0) == faces.areas[faces.root]
    assert Counter({2500.0: 4, 312.5: 8, 10_000.0: 1}) == Counter(faces.areas.round(6).tolist())
    assert 4 == faces.inner.sum()
    assert 12 == (faces.crease == BORDER).sum()


# Near misses.


@pytest.mark.parametrize("gap", [0.01, 0.03, 0.049, -0.01, -0.03, -0.049])
def test_an_end_that_misses_another_line_by_less_than_the_snap_tolerance_meets_it(gap: float) -> None:
    """A gap when positive, an overshoot when negative; both ends of one floor line of a tray."""
    missing = list(tray().creases)
    missing[0] = line((25.0 + gap, 25.0), (125.0 - gap, 25.0))
    faces = faces_of(drawn(missing))
    sound(faces, drawn(missing))
    assert (13, 0, 0) == (faces.count, len(faces.dangling), len(faces.overlaps))
    assert pytest.approx(10_000.0, abs=25.0) == faces.areas[faces.root]


@pytest.mark.parametrize("gap", [0.08, 0.5])
def test_an_end_that_misses_by_more_stays_as_it_is_drawn(gap: float) -> None:
    missing = list(tray().creases)
    missing[0] = line((25.0 + gap, 25.0), (125.0 - gap, 25.0))
    faces = faces_of(drawn(missing))
    assert [0] == np.unique(faces.dangling[:, 2]).tolist()


@pytest.mark.parametrize("gap", [1e-12, 0.01, 0.049])
def test_a_corner_of_two_lines_that_all_but_touches_a_third_is_joined_to_it(gap: float) -> None:
    """Neither end of the corner is loose, and no two places are near each other: it is the corner that is near a line."""
    corner = (70.0, 75.0 + gap)
    pattern = drawn([line((0.0, 75.0), (150.0, 75.0)), line((20.0, 150.0), corner), line(corner, (110.0, 150.0))])
    faces = faces_of(pattern)
    sound(faces, pattern)
    assert (4, 1) == (faces.count, faces.inner.sum())
    assert 4 == (np.abs(faces.vertices[faces.edges] - corner) < 1e-9).all(axis=2).sum()


@pytest.mark.parametrize("seed", range(6))
def test_slivers_have_two_sides_and_triangles_as_any_face_has(seed: int) -> None:
    """Sixty lines, each all but on another: an end or both are off by 1e-3 to 1e-14 mm, where rounding decides what is left."""
    draw = np.random.default_rng(seed)
    creases = []
    for _ in range(30):
        a, b = (tuple(float(v) for v in draw.uniform(5.0, 145.0, 2)) for _ in range(2))
        off = 10.0 ** draw.uniform(-14.0, -3.0, 4) * draw.choice([-1.0, 1.0], 4)
        share = draw.uniform(0.0, 0.4, 2)
        c = (a[0] + share[0] * (b[0] - a[0]) + off[0], a[1] + share[0] * (b[1] - a[1]) + off[1])
        d = (b[0] - share[1] * (b[0] - a[0]) + off[2], b[1] - share[1] * (b[1] - a[1]) + off[3])
        creases += [line(a, b), line(c, d)]
    pattern = drawn(creases)
    faces = faces_of(pattern)
    sound(faces, pattern)


@pytest.mark.parametrize("gap", [0.01, 0.049, -0.01, -0.049])
def test_an_end_close_to_the_sheets_edge_goes_to_the_edge_and_the_edge_stays_straight(gap: float) -> None:
    near = drawn([line((gap, 40.0), (150.0 - gap, 60.0)), line((30.0, gap), (gap, gap))])
    faces = faces_of(near)
    sound(faces, near)
    assert 0 == len(faces.dangling)
    border = faces.vertices[faces.edges[faces.crease == BORDER]]
    on_side = (np.abs(border - 0.0) < 1e-12) | (np.abs(border - 150.0) < 1e-12)
    assert on_side.any(axis=2).all()


@given(st.floats(-0.06, 0.06), st.floats(-0.06, 0.06))
@tried(60)
def test_an_end_close_to_a_corner_of_the_sheet_never_bends_the_sheet(x: float, y: float) -> None:
    pattern = drawn([line((75.0, 75.0), (x, y), "valley", 0.0), line((75.0, 75.0), (150.0, 75.0), "valley", 0.0)])
    faces = faces_of(pattern)
    assert pytest.approx(22_500.0, abs=1e-9) == faces.areas.sum()


@pytest.mark.parametrize("off", [0.0, 0.005, 0.02, 0.045])
def test_three_lines_through_nearly_one_point_meet_in_one(off: float) -> None:
    star = [line((0.0, 75.0), (150.0, 75.0)), line((75.0, 0.0), (75.0, 150.0)), line((0.0, off), (150.0, 150.0))]
    faces = faces_of(drawn(star))
    sound(faces, drawn(star))
    assert 6 == faces.count
    assert (1, 6) == (faces.inner.sum(), len(faces.fans[1][slice(*faces.fans[0][np.nonzero(faces.inner)[0][0] :][:2])]))


@given(st.integers(0, 1000))
@tried(20)
def test_a_hand_rounded_tray_keeps_the_faces_of_the_exact_one(seed: int) -> None:
    exact = tray(34.86, 57.914)
    rounded = faces_of(hand_rounded(exact, seed=seed))
    assert faces_of(exact).count == rounded.count
    assert np.allclose(np.sort(faces_of(exact).areas), np.sort(rounded.areas), atol=20.0)


# Slits, rings, and lines that are none.


def lips(faces: Faces) -> int:
    """How many edges are slit."""
    return int(faces.cut.sum())


def test_a_slit_wholly_inside_a_face_gives_each_lip_a_face_of_its_own() -> None:
    pattern = drawn([*tray().creases, line((60.0, 60.0), (90.0, 80.0), "cut")])
    faces = faces_of(pattern)
    sound(faces, pattern)
    assert 1 == lips(faces)
    left, right = faces.sides[faces.cut][0]
    assert left != right
    helpers = faces.crease == FLAT
    assert helpers.any()
    assert (faces.joined[helpers]).all()
    assert (faces.turn[helpers] == 0.0).all()
    # The ends of the slit are not inner points: nothing needs to close there.
    ends = np.unique(faces.edges[faces.cut])
    assert not faces.inner[ends].any()


def test_a_slit_from_the_edge_into_a_face_is_open_to_the_edge() -> None:
    pattern = drawn([*tray().creases, line((60.0, 0.0), (60.0, 15.0), "cut")])
    faces = faces_of(pattern)
    sound(faces, pattern)
    assert 1 == lips(faces)
    assert 0 == len(faces.dangling)


def test_a_slit_from_edge_to_edge_parts_the_sheet() -> None:
    faces = faces_of(drawn([line((0.0, 80.0), (150.0, 80.0), "cut")]))
    assert (2, 1, False) == (faces.count, lips(faces), bool(faces.joined.any()))


def test_slit_corners_leave_nine_faces_and_four_slits() -> None:
    faces = faces_of(slit_tray())
    assert (9, 4) == (faces.count, lips(faces))
    assert not faces.inner.any()


def test_a_closed_ring_makes_a_face_with_a_hole() -> None:
    pattern = drawn(ring(50.0, 100.0))
    faces = faces_of(pattern)
    sound(faces, pattern)
    assert [2500.0, 20_000.0] == np.sort(faces.areas).tolist()
    outer = int(faces.areas.argmax())
    assert {(0.0, 0.0), (150.0, 0.0), (150.0, 150.0), (0.0, 150.0)} == set(
        map(tuple, faces.vertices[faces.outer_ring(outer)].tolist())
    )


def test_a_ring_that_touches_the_edge_in_one_point_has_an_outer_ring_all_the_same() -> None:
    """A hole that hangs on the outer border by a point; and two holes that share a point."""
    diamond = [(75.0, 0.0), (100.0, 30.0), (75.0, 60.0), (50.0, 30.0)]
    upper = [(75.0, 60.0), (100.0, 90.0), (75.0, 120.0), (50.0, 90.0)]
    lines = [line(d[k], d[(k + 1) % 4], "valley", 0.0) for d in (diamond, upper) for k in range(4)]
    faces = faces_of(drawn(lines))
    sound(faces, drawn(lines))
    around = faces.vertices[faces.outer_ring(int(faces.areas.argmax()))]
    assert pytest.approx(22_500.0) == shapely.Polygon(around).area
    assert shapely.is_ccw(shapely.LinearRing(around))


@given(trays() | grid_patterns())
@tried(40)
def test_the_outer_ring_of_every_face_is_its_polygon_without_holes(pattern: Pattern) -> None:
    faces = faces_of(pattern)
    for face in range(faces.count):
        outer = shapely.Polygon(faces.vertices[faces.outer_ring(face)])
        assert outer.exterior.is_ccw
        holes = sum(
            float(faces.areas[other]) for other in range(faces.count) if other != face and outer.contains(_inside(faces, other))
        )
        assert pytest.approx(float(faces.areas[face]) + holes) == outer.area


def _inside(faces: Faces, face: int) -> shapely.Point:
    corners = faces.vertices[faces.triangles[faces.triangle_face == face]]
    x, y = corners.transpose(2, 0, 1)
    sizes = np.abs((x[:, 1] - x[:, 0]) * (y[:, 2] - y[:, 0]) - (x[:, 2] - x[:, 0]) * (y[:, 1] - y[:, 0]))
    return shapely.Point(corners[sizes.argmax()].mean(axis=0))


def test_guides_and_dots_are_not_noded() -> None:
    extra = [
        line((10.0, 10.0), (140.0, 90.0), "guide"),
        line((60.0, 60.0), (60.0, 60.0)),
        line((60.0, 25.0), (60.03, 25.0)),
    ]
    assert (13, 16) == (faces_of(drawn([*tray().creases, *extra])).count, len(faces_of(tray()).vertices))


def test_a_line_on_the_sheets_edge_is_the_sheets_edge() -> None:
    for sense in ("valley", "cut"):
        faces = faces_of(drawn([*tray().creases, line((0.0, 0.0), (150.0, 0.0), sense)]))
        assert (13, 0, 0) == (faces.count, len(faces.overlaps), lips(faces))


def test_a_line_that_ends_in_mid_sheet_dangles() -> None:
    faces = faces_of(drawn([line((0.0, 20.0), (100.0, 60.0))]))
    assert (1, [0]) == (faces.count, faces.dangling[:, 2].tolist())


def test_two_lines_on_one_stretch_are_told_and_the_earlier_owns_it() -> None:
    faces = faces_of(drawn([*tray().creases, line((40.0, 25.0), (90.0, 25.0), "mountain")]))
    assert [[0, 16]] == faces.overlaps.tolist()
    assert 16 not in faces.crease


def test_lines_that_only_cross_or_follow_each_other_do_not_overlap() -> None:
    follow = [line((0.0, 75.0), (60.0, 75.0)), line((60.0, 75.0), (150.0, 75.0)), line((0.0, 70.0), (150.0, 80.0))]
    assert 0 == len(faces_of(drawn(follow)).overlaps)


@pytest.mark.parametrize("elsewhere", [[], [line((0.0, 20.0), (149.97, 20.0), "valley", 0.0)]], ids=["exact", "snapped"])
def test_lines_that_cross_close_to_one_point_do_not_overlap_and_keep_their_own_folds(elsewhere: list[Crease]) -> None:
    """Too far apart to be snapped to one point, and yet each edge between them belongs to the line it lies on.

    Also where a near miss elsewhere on the sheet has to be snapped.
    """
    star = [*elsewhere, line((0.0, 75.0), (150.0, 75.0), "valley", 0.0), line((75.0, 0.0), (75.0, 150.0), "valley", 90.0),
            line((0.0, 0.1), (149.9, 150.0), "mountain", 180.0)]  # fmt: skip
    faces = faces_of(drawn(star))
    assert 0 == len(faces.overlaps)
    lines = [shapely.LineString([c.start, c.end]) for c in star]
    for ends, crease in zip(faces.vertices[faces.edges], faces.crease.tolist(), strict=True):
        if crease >= 0:
            assert shapely.distance(lines[crease], shapely.points(ends)).max() < 0.05


# The floor.


@pytest.mark.parametrize("at", [(75.0, 75.0), (25.1, 25.1), (124.9, 60.0)])
def test_the_root_is_the_face_under_the_floor_point(at: Point) -> None:
    faces = faces_of(drawn(tray().creases, floor_at=at))
    assert pytest.approx(10_000.0) == faces.areas[faces.root]


@pytest.mark.parametrize("at", [(75.0, 25.0), (25.0, 75.0), (75.0, 125.0), (25.0, 25.0), (125.0, 125.0)])
def test_on_a_crease_the_larger_face_is_the_floor(at: Point) -> None:
    faces = faces_of(drawn(tray().creases, floor_at=at))
    assert pytest.approx(10_000.0) == faces.areas[faces.root]


@pytest.mark.parametrize("at", [(-1.0, 75.0), (151.0, 75.0), (75.0, 1e4)])
def test_outside_the_sheet_there_is_no_face(at: Point) -> None:
    assert -1 == faces_of(drawn(tray().creases, floor_at=at)).root


def test_a_corner_of_the_sheet_belongs_to_a_face() -> None:
    faces = faces_of(tray())
    assert all(faces.face_at(corner) >= 0 for corner in Sheet().corners)


def test_lines_beside_the_sheet_enclose_no_foil() -> None:
    beside = [line((-20.0, 20.0), (20.0, -20.0)), line((160.0, 10.0), (190.0, 10.0)),
              line((190.0, 10.0), (160.0, 40.0)), line((160.0, 40.0), (160.0, 10.0))]  # fmt: skip
    faces = faces_of(drawn(beside, floor_at=(170.0, 15.0)))
    assert pytest.approx(22_500.0) == faces.areas.sum()
    assert -1 == faces.root


# What flat pieces cover.


def square(x: float, y: float, side: float = 10.0) -> np.ndarray:
    return np.array([(x, y), (x + side, y), (x + side, y + side), (x, y + side)])


def test_pieces_side_by_side_are_one_part_of_one_layer() -> None:
    cover = cover_of([square(0.0, 0.0), square(10.0, 0.0)])
    assert (200.0, (10.0, 5.0), 1, 1, 1) == (
        cover.area_mm2, cover.centre, cover.parts, cover.layers_least, cover.layers_most
    )  # fmt: skip


def test_pieces_that_overlap_count_their_layers() -> None:
    cover = cover_of([square(0.0, 0.0), square(5.0, 0.0), square(5.0, 5.0)])
    assert (1, 3) == (cover.layers_least, cover.layers_most)
    assert pytest.approx(shapely.unary_union([shapely.box(0, 0, 10, 10), shapely.box(5, 0, 15, 15)]).area) == cover.area_mm2


def test_pieces_apart_are_parts_and_the_largest_gives_the_outline() -> None:
    cover = cover_of([square(0.0, 0.0), square(20.0, 0.0, 15.0)])
    assert (2, 4) == (cover.parts, len(cover.outline))
    assert (20.0, 0.0) in cover.outline


def test_a_thousand_layers_on_one_place_are_counted() -> None:
    noise = np.random.default_rng(1).normal(0.0, 1e-12, (1000, 4, 2))
    cover = cover_of([square(0.0, 0.0) + n for n in noise])
    assert (1000, 1000) == (cover.layers_least, cover.layers_most)


def test_nothing_covers_nothing() -> None:
    assert 0.0 == cover_of([np.zeros((3, 2))]).area_mm2
    assert 1 == cover_of([square(0.0, 0.0, 0.01), square(0.0, 0.0, 0.01)]).layers_least


def test_crossing_creases_are_split_where_they_cross() -> None:
    faces = faces_of(crossing_creases())
    assert (9, 16) == (faces.count, len(faces.vertices))
    assert 4 == faces.inner.sum()
    assert math.isclose(10_000.0, float(faces.areas[faces.root]))


@given(st.lists(st.floats(5.0, 50.0), min_size=3, max_size=9), st.booleans(), st.tuples(*[st.floats(-500, 500)] * 2))
def test_one_piece_covers_what_shapely_says_whichever_way_it_turns(
    radii: list[float], backward: bool, off: tuple[float, float]
) -> None:
    around = np.arange(len(radii)) * 2.0 * np.pi / len(radii)
    ring = np.stack([radii * np.cos(around), radii * np.sin(around)], axis=1) + off
    cover, expected = cover_of([ring[::-1] if backward else ring]), shapely.Polygon(ring)
    assert expected.area == pytest.approx(cover.area_mm2, rel=1e-9)
    assert (expected.centroid.x, expected.centroid.y) == pytest.approx(cover.centre, abs=1e-9)
    assert (1, 1, 1) == (cover.parts, cover.layers_least, cover.layers_most)
    assert shapely.LinearRing(cover.outline).is_ccw
    assert shapely.equals(expected, shapely.Polygon(cover.outline))
