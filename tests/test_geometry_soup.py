import numpy as np
import pytest
import trimesh
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon

from folder.geometry.soup import (
    _BLOCK,
    Soup,
    area_vectors,
    areas,
    moments_below,
    moments_below_one,
    surface,
)
from tests.skins import box, lopsided, subdivided

SEEDS = st.integers(0, 10_000)


def a_unit_vector(chance: np.random.Generator) -> np.ndarray:
    vector = chance.normal(size=3)
    return vector / np.linalg.norm(vector)


def a_blob(seed: int) -> trimesh.Trimesh:
    return trimesh.convex.convex_hull(np.random.default_rng(seed).uniform(-40, 40, (20, 3)))


@given(SEEDS)
def test_area_and_centroid_are_those_trimesh_finds(seed: int) -> None:
    blob = a_blob(seed)
    corners = np.array(blob.triangles)
    assert areas(corners).sum() == pytest.approx(blob.area, rel=1e-12)
    assert surface(corners)[1] == pytest.approx(blob.centroid, abs=1e-9)


def test_a_closed_soup_has_no_area_vector() -> None:
    assert area_vectors(np.array(a_blob(3).triangles)).sum(axis=0) == pytest.approx(np.zeros(3), abs=1e-9)


def test_the_centroid_of_a_soup_without_area_is_its_plain_mean() -> None:
    line = np.array([[[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [5.0, 0.0, 0.0]]])
    assert surface(line)[1].tolist() == [2.0, 0.0, 0.0]


def test_the_moments_of_a_whole_rectangle_are_the_textbook_ones() -> None:
    """Rectangle b by h about its own middle: b h, b^3 h / 12, b h^3 / 12 (any mechanics text)."""
    floor = box(80, 30, 10)
    soup = Soup(floor.vertices[floor.triangles[floor.floor]])
    m = moments_below(soup, np.array([[0.0, 0.0, 1.0]]), np.array([1.0]))[0]
    assert m == pytest.approx(np.diag([2400.0, 80**3 * 30 / 12, 80 * 30**3 / 12, 0.0]), abs=1e-9)


@given(SEEDS)
def test_the_part_below_a_plane_has_the_area_and_moments_shapely_finds(seed: int) -> None:
    """Seen along the up, the closed skin below a plane covers what the plane cuts out of it, bottom side up."""
    chance = np.random.default_rng(seed)
    blob, up = a_blob(seed), a_unit_vector(chance)
    level = float(np.median(blob.vertices @ up))
    m = moments_below(Soup(np.array(blob.triangles)), up[None], np.array([level]))[0]
    section = blob.section(plane_normal=up, plane_origin=up * level)
    flat, to_space = section.to_2D(normal=up)
    outline = Polygon(flat.polygons_full[0])
    middle = to_space[:3, :3] @ [outline.centroid.x, outline.centroid.y, 0.0] + to_space[:3, 3]
    assert -m[0, 0] == pytest.approx(outline.area, rel=1e-9)
    across = np.eye(3) - np.outer(up, up)
    assert across @ m[0, 1:] / m[0, 0] == pytest.approx(across @ middle, abs=1e-7)


@given(SEEDS)
def test_cutting_triangles_in_four_changes_no_moment(seed: int) -> None:
    chance = np.random.default_rng(seed)
    hull, up = lopsided(chance), a_unit_vector(chance)
    levels = chance.uniform(-10, 30, 3)
    ups = np.tile(up, (3, 1))
    whole, fine = (moments_below(Soup(s.vertices[s.triangles]), ups, levels) for s in (hull, subdivided(hull, 2)))
    assert fine == pytest.approx(whole, rel=1e-9, abs=1e-5)


@given(SEEDS)
def test_many_planes_at_once_are_the_planes_one_by_one(seed: int) -> None:
    chance = np.random.default_rng(seed)
    soup = Soup(np.array(a_blob(seed).triangles))
    ups = np.array([a_unit_vector(chance) for _ in range(6)])
    levels = chance.uniform(-30, 30, 6)
    counted = chance.random((6, len(soup.area_vectors))) < 0.7
    together = moments_below(soup, ups, levels, counted)
    for i in range(6):
        alone = moments_below(soup, ups[i : i + 1], levels[i : i + 1], counted[i])[0]
        assert together[i] == pytest.approx(alone, rel=1e-12, abs=1e-6)


def test_more_planes_than_are_worked_on_at_once_are_the_planes_one_by_one() -> None:
    """And those of some triangles alone, marked for all planes or for each."""
    chance = np.random.default_rng(5)
    soup = Soup(np.array(a_blob(5).subdivide().subdivide().triangles))
    ups = np.array([a_unit_vector(chance) for _ in range(150)])
    levels, counted = chance.uniform(-45, 45, 150), chance.random((150, len(soup.area_vectors))) < 0.7
    assert ups.size // 3 * len(soup.area_vectors) > 2 * _BLOCK
    for marks in (None, counted[0], counted):
        together = moments_below(soup, ups, levels, marks)
        for i in range(150):
            own = marks if marks is None or marks.ndim == 1 else marks[i]
            assert together[i] == pytest.approx(moments_below_one(soup, ups[i], levels[i], own), rel=1e-11, abs=1e-6)
    alone = moments_below(soup, ups[:1], levels[:1], counted[:1])[0]
    assert alone == pytest.approx(moments_below(soup, ups[:2], levels[:2], counted[:2])[0], rel=1e-11, abs=1e-6)


def test_triangles_that_only_touch_the_plane_or_have_no_area_are_no_trouble() -> None:
    corners = np.array(
        [
            [[0, 0, 0], [1, 0, 0], [0, 1, 0]],
            [[0, 0, 0], [1, 0, 0], [2, 0, 0]],
            [[0, 0, 0], [1, 0, 0], [0, 1, 5]],
        ],
        dtype=float,
    )
    up, level = np.array([[0.0, 0.0, 1.0]]), np.array([0.0])
    assert np.zeros((4, 4)).tolist() == moments_below(Soup(corners), up, level)[0].tolist()


def test_a_soup_cannot_be_written_to() -> None:
    soup = Soup(np.zeros((1, 3, 3)))
    for array in (soup.points, soup.products, *vars(soup).values()):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 1.0


@given(SEEDS)
def test_one_plane_by_the_short_way_is_the_same(seed: int) -> None:
    chance = np.random.default_rng(seed)
    soup, up, level = Soup(np.array(a_blob(seed).triangles)), a_unit_vector(chance), chance.uniform(-45, 45)
    long = moments_below(soup, up[None], np.array([level]))[0]
    assert moments_below_one(soup, up, level) == pytest.approx(long, rel=1e-11, abs=1e-6)
