import numpy as np
import pytest
import trimesh
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Point, Polygon

from folder.hull.skin import Skin, neighbours_of
from tests.skins import box, lopsided, ring_hull, subdivided


def test_neighbours_lie_across_shared_edges_as_trimesh_sees_it() -> None:
    skin = subdivided(box(70, 50, 20), 1)
    pairs = {tuple(sorted((t, n))) for t, row in enumerate(neighbours_of(skin.triangles).tolist()) for n in row if n >= 0}
    mesh = trimesh.Trimesh(skin.vertices, skin.triangles, process=False)
    assert {tuple(sorted(p)) for p in mesh.face_adjacency.tolist()} == pairs


def test_the_edge_line_is_one_round_along_the_top_of_the_walls() -> None:
    skin = box(100, 60, 25)
    assert skin.edge_lines == ((4, 5, 6, 7),)
    assert np.nonzero(skin.on_edge)[0].tolist() == [4, 5, 6, 7]
    assert np.nonzero(skin.on_floor)[0].tolist() == [0, 1, 2, 3]


def test_a_slit_is_part_of_the_edge_line_with_both_lips() -> None:
    """A flat square of four triangles about its middle, slit from one corner to the middle."""
    vertices = np.array([(0, 0, 0), (1, 0, 0), (1, 1, 0), (0, 1, 0), (0.5, 0.5, 0), (0, 0, 0)], dtype=float)
    skin = Skin.of(vertices, np.array([(0, 1, 4), (1, 2, 4), (2, 3, 4), (3, 5, 4)]), np.array([0, 1, 2, 3]))
    assert [sorted(r) for r in skin.edge_lines] == [[0, 1, 2, 3, 4, 5]]


def test_a_hole_has_an_edge_line_of_its_own() -> None:
    ring = [(2, 2, 0), (2, -2, 0), (-2, -2, 0), (-2, 2, 0), (1, 1, 0), (1, -1, 0), (-1, -1, 0), (-1, 1, 0)]
    triangles = [t for i in range(4) for t in ((i, 4 + i, (i + 1) % 4), ((i + 1) % 4, 4 + i, 4 + (i + 1) % 4))]
    skin = Skin.of(np.array(ring, dtype=float), np.array(triangles), np.array([0]))
    assert sorted(sorted(r) for r in skin.edge_lines) == [[0, 1, 2, 3], [4, 5, 6, 7]]


@given(st.integers(0, 10_000))
def test_points_over_the_floor_are_those_shapely_finds(seed: int) -> None:
    chance = np.random.default_rng(seed)
    skin = subdivided(lopsided(chance), 1)
    outline = Polygon(skin.vertices[:4, :2])
    points = chance.uniform(-60, 60, (50, 2))
    assert [outline.covers(Point(p)) for p in points] == skin.over_floor(points).tolist()


def test_the_border_of_the_floor_is_floor_and_a_sliver_without_area_is_not() -> None:
    skin = box(100, 60, 25)
    assert skin.over_floor(np.array([[50.0, 30.0], [50.0, 0.0], [50.1, 0.0]])).tolist() == [True, True, False]
    vertices = np.array([(0, 0, 0), (10, 0, 0), (20, 0, 0), (0, 10, 0)], dtype=float)
    sliver = Skin.of(vertices, np.array([(0, 1, 2), (0, 2, 3)]), np.array([0, 1]))
    assert sliver.over_floor(np.array([[25.0, 0.0], [15.0, 1.0]])).tolist() == [False, True]
    assert sliver.floor_area_mm2 == 100.0


def test_each_vertex_is_linked_with_itself_and_along_each_edge() -> None:
    skin = ring_hull([(10, 10, 0), (10, 10, 5)])
    starts, ends = skin.adjacency
    assert sorted(ends[starts[4] : starts[5]].tolist()) == [0, 3, 4, 5, 7]


def test_a_skin_cannot_be_written_to() -> None:
    skin = box(10, 10, 5)
    for array in (skin.vertices, skin.triangles, skin.neighbours, skin.floor, skin.on_edge, skin.on_floor):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 0
