import networkx
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from folder.hull.rim import corners, rim_at, spill, spill_elevations, spills, wet_triangles
from folder.hull.skin import Skin
from tests.skins import bowl, box, frustum, lopsided, ring_hull, subdivided

SEEDS = st.integers(0, 10_000)


def level(skin: Skin) -> np.ndarray:
    return skin.vertices[:, 2]


def wet(skin: Skin, water_mm: float) -> np.ndarray:
    flags = wet_triangles(level(skin)[None], np.array([water_mm]), skin)
    return np.ones(len(skin.triangles), dtype=bool) if flags is None else flags[0]


def slit_box() -> Skin:
    """A box whose corner at (50, 50) is slit from the top to the floor: the slit's lips have their own upper ends."""
    whole = box(100, 100, 25)
    vertices = np.concatenate([whole.vertices, whole.vertices[6:7]])
    triangles = whole.triangles.copy()
    on_one_wall = [t for t, corners in enumerate(triangles) if 6 in corners and (whole.vertices[corners, 0] == 50).all()]
    triangles[on_one_wall] = np.where(triangles[on_one_wall] == 6, 8, triangles[on_one_wall])
    return Skin.of(vertices, triangles, whole.floor)


def two_valleys() -> Skin:
    """A W of two troughs with a ridge of 10 mm between them; only one side of the first trough is the floor."""
    profile = [(-60, 20), (-30, 0), (0, 10), (30, 0), (60, 20)]
    ends = [(x, y, z) for y in (-40, 40) for x, z in profile] + [(x, y, 20) for y in (-40, 40) for x in (-30, 30)]
    triangles = []
    for i in range(4):
        triangles += [(i, i + 1, i + 6), (i, i + 6, i + 5)]
    # The two ends: a fan from the ends' upper points down to the profile.
    for start, (left, right), flip in ((0, (10, 11), False), (5, (12, 13), True)):
        a, b, c, d, e = range(start, start + 5)
        for corner in ((a, left, b), (left, c, b), (left, right, c), (right, d, c), (right, e, d)):
            triangles.append(corner[::-1] if flip else corner)
    return Skin.of(np.array(ends, dtype=float), np.array(triangles), np.array([2, 3]))


def test_the_rim_of_a_box_is_its_wall() -> None:
    height, vertex = spill(level(box(80, 60, 20)), box(80, 60, 20))
    assert height == 20.0
    assert box(80, 60, 20).vertices[vertex, 2] == 20.0


@pytest.mark.parametrize("hangs_to", [20.0, 8.0, 0.0, -5.0])
def test_the_rim_of_a_hem_is_its_fold_however_low_the_edge_hangs(hangs_to: float) -> None:
    hemmed = ring_hull([(100, 100, 0), (120, 120, 25), (120, 120, hangs_to)])
    height, vertex = spill(level(hemmed), hemmed)
    assert height == 25.0
    assert hemmed.vertices[vertex, 2] == 25.0


def test_a_hem_takes_no_part_in_what_a_hull_displaces_though_its_layers_would_cancel_the_wall() -> None:
    hemmed = ring_hull([(100, 100, 0), (120, 120, 25), (121, 121, 5)])
    assert [True] * 10 + [False] * 8 == wet(hemmed, 20.0).tolist()


def test_a_slit_down_to_the_floor_lets_water_in_at_the_floor() -> None:
    height, vertex = spill(level(slit_box()), slit_box())
    assert height == 0.0
    assert [50.0, 50.0, 0.0] == slit_box().vertices[vertex].tolist()


def test_a_cut_in_the_middle_of_the_floor_lets_water_in_though_both_lips_share_their_ends() -> None:
    whole = box(100, 100, 25)
    neighbours = whole.neighbours.copy()
    first, second = whole.floor
    neighbours[first][neighbours[first] == second] = -1
    neighbours[second][neighbours[second] == first] = -1
    cut = Skin.of(whole.vertices, whole.triangles, whole.floor, neighbours)
    assert spill(level(cut), cut)[0] == 0.0


def test_a_gutter_outside_carries_until_its_own_edge_goes_under() -> None:
    gutter = ring_hull([(100, 100, 0), (100, 100, 25), (120, 120, 5), (130, 130, 15)])
    assert spill(level(gutter), gutter)[0] == 25.0
    assert wet(gutter, 14.0).all()
    assert [True] * 10 + [False] * 16 == wet(gutter, 16.0).tolist()


def test_the_hollow_of_a_hem_rolled_inward_stays_dry() -> None:
    rolled = ring_hull([(100, 100, 0), (100, 100, 25), (90, 90, 15), (98, 98, 20)])
    assert spill(level(rolled), rolled)[0] == 25.0
    assert [True] * 10 + [False] * 16 == wet(rolled, 18.0).tolist()


def test_the_second_of_two_troughs_carries_before_the_water_is_over_the_ridge_between() -> None:
    double = two_valleys()
    assert (double.neighbours >= 0).sum() == 3 * len(double.triangles) - len(double.edge_lines[0])
    assert spill(level(double), double)[0] == 20.0
    reached = wet(double, 5.0)
    middles = double.vertices[double.triangles].mean(axis=1)
    assert reached[(np.abs(middles[:, 0]) > 5) & (middles[:, 2] < 5)].all()


@given(SEEDS)
def test_pass_heights_are_the_minimax_ways_networkx_finds(seed: int) -> None:
    """On a minimum spanning tree of the links every way is minimax (Hu 1961)."""
    chance = np.random.default_rng(seed)
    skin = subdivided(lopsided(chance), 1)
    heights = chance.normal(size=len(skin.vertices))
    graph = networkx.Graph()
    for a, b, c in skin.triangles.tolist():
        for p, q in ((a, b), (b, c), (c, a)):
            graph.add_edge(p, q, weight=max(heights[p], heights[q]))
    floor = np.nonzero(skin.on_floor)[0].tolist()
    for v in floor:
        graph.add_edge("floor", v, weight=heights[v])
    tree = networkx.minimum_spanning_tree(graph)
    ways = networkx.single_source_shortest_path(tree, "floor")
    expected = [max(heights[v] for v in way[1:]) for _, way in sorted((v, w) for v, w in ways.items() if v != "floor")]
    assert spill_elevations(heights[None], skin)[0].tolist() == expected


@given(SEEDS)
def test_the_rim_of_many_poses_is_that_of_each(seed: int) -> None:
    chance = np.random.default_rng(seed)
    skin = lopsided(chance)
    heights = chance.normal(size=(5, len(skin.vertices)))
    rims, vertices = spills(heights, skin)
    for i in range(5):
        assert (rims[i], vertices[i]) == spill(heights[i], skin)
        assert heights[i, vertices[i]] == rims[i]


@given(SEEDS)
def test_pass_heights_that_are_known_need_not_be_found_again(seed: int) -> None:
    chance = np.random.default_rng(seed)
    skin = ring_hull([(100, 100, 0), (120, 120, 25), (121, 121, chance.uniform(5, 20))])
    heights, levels = skin.vertices[:, 2] + chance.normal(size=(5, len(skin.vertices))), chance.uniform(5, 26, 5)
    passes = spill_elevations(heights, skin)
    for known, found in zip(spills(heights, skin, passes), spills(heights, skin), strict=True):
        assert known.tolist() == found.tolist()
    known, found = wet_triangles(heights, levels, skin, passes), wet_triangles(heights, levels, skin)
    assert (known is None) == (found is None)
    assert known is None or known.tolist() == found.tolist()


def test_the_wet_triangles_of_many_poses_are_those_of_each() -> None:
    chance = np.random.default_rng(3)
    for skin in (two_valleys(), ring_hull([(100, 100, 0), (100, 100, 25), (90, 90, 15), (98, 98, 20)])):
        ups = chance.normal(size=(20, 3)) * 0.1 + [0.0, 0.0, 1.0]
        heights, levels = ups @ skin.vertices.T, chance.uniform(2.0, 26.0, 20)
        together = wet_triangles(heights, levels, skin)
        assert together is not None
        for i in range(20):
            alone = wet_triangles(heights[i : i + 1], levels[i : i + 1], skin)
            assert together[i].tolist() == ([True] * len(skin.triangles) if alone is None else alone[0].tolist())


@given(SEEDS, st.floats(0.1, 0.5), st.floats(0, 6.28))
def test_tilting_a_box_brings_the_rim_to_its_lowest_corner(seed: int, tilt: float, toward: float) -> None:
    skin = lopsided(np.random.default_rng(seed))
    up = np.array([-np.sin(tilt) * np.cos(toward), -np.sin(tilt) * np.sin(toward), np.cos(tilt)])
    heights = skin.vertices @ up
    assert spill(heights, skin)[0] == heights[4:].min()


def test_the_corners_of_an_even_rim_are_its_corners_and_not_what_lies_between() -> None:
    fine = subdivided(frustum(80, 60, 100, 90, 20), 2)
    places = [fine.vertices[v].tolist() for v in corners(fine)]
    assert places == [[-50, -45, 20], [50, -45, 20], [50, 45, 20], [-50, 45, 20]]
    assert rim_at(level(fine), fine)[1] in corners(fine)


def test_a_dip_in_the_middle_of_a_wall_is_a_corner_of_the_rim() -> None:
    fine = subdivided(box(100, 100, 25), 1)
    vertices = fine.vertices.copy()
    dip = int(np.nonzero((vertices == [0, -50, 25]).all(axis=1))[0][0])
    vertices[dip, 2] = 24.0
    dented = Skin.of(vertices, fine.triangles, fine.floor)
    assert (24.0, dip) == rim_at(level(dented), dented)
    assert dip in corners(dented)


@given(SEEDS)
def test_one_pose_has_the_rim_that_many_at_once_have(seed: int) -> None:
    """Two ways to the same: step by step from the floor, and array by array."""
    chance = np.random.default_rng(seed)
    hulls = (lopsided(chance), slit_box(), ring_hull([(90, 90, 0), (110, 110, 20), (105, 105, 4)]), bowl(8, 3, 45.0, 20.0))
    for skin in hulls:
        up = chance.normal([0.0, 0.0, 1.0], 0.4)
        heights = skin.vertices @ up + chance.choice([0.0, 1.0]) * chance.normal(0.0, 3.0, len(skin.vertices))
        rims, vertices = spills(heights[None], skin)
        assert spill(heights, skin) == (rims[0], vertices[0])
