"""How fast the water is, as ratios against trimesh and scipy in the same run.

Run `python -m pytest tests/bench/bench_water.py`. Ratios do not depend on the machine; the few plain times are
promises to whoever drags a wall in the window.
"""

from __future__ import annotations

import math
import tracemalloc

import numpy as np
import trimesh
from scipy.optimize import fsolve
from shapely import constrained_delaunay_triangles

from folder.hull.rim import spill
from folder.hull.weight import Weight, foil_weight
from folder.water.displace import volumes
from folder.water.equilibrium.rest import rest
from folder.water.flooding.load import flooding_loads
from folder.water.fluid import Water
from folder.water.working_load import working_load
from tests.bench.clock import growth, seconds
from tests.bench.conftest import Report
from tests.boxes import folded_box
from tests.skins import bowl

FRESH = Water.of(20.0)


LARGE = bowl(sides=41, rings=12, radius=45.0, depth=22.0)
"""1,023 triangles."""

MIDDLING = bowl(sides=34, rings=4, radius=45.0, depth=22.0)
"""304 triangles."""


def sliced_and_capped(mesh: trimesh.Trimesh, height: float) -> trimesh.Trimesh:
    """What lies below a level, closed: trimesh's own slice, its own section as polygons, and a triangulated lid.

    This is what trimesh does for `slice_plane(cap=True)`, with shapely's triangulation for the engine it would want.
    """
    below = {"plane_origin": [0, 0, height], "plane_normal": [0, 0, -1]}
    under = mesh.slice_plane(cap=False, **below)
    flat, to_space = mesh.section(**below).to_2D()
    lids = [np.array(t.exterior.coords)[:3] for p in flat.polygons_full for t in constrained_delaunay_triangles(p).geoms]
    corners = np.column_stack([np.array(lids).reshape(-1, 2), np.zeros(3 * len(lids))])
    lid = trimesh.transform_points(corners, to_space).reshape(-1, 3, 3)
    across = np.cross(lid[:, 1] - lid[:, 0], lid[:, 2] - lid[:, 0])[:, 2]
    lid[across > 0] = lid[across > 0][:, ::-1]  # the skin's inside faces up, so its lid faces down
    return trimesh.Trimesh(**trimesh.triangles.to_kwargs(np.concatenate([under.triangles, lid])))


def test_volumes_at_200_drafts_of_1000_triangles_against_slicing_and_capping(report: Report) -> None:
    skin = LARGE
    levels = np.linspace(0.05, 0.99, 200) * spill(skin.vertices[:, 2], skin)[0]
    mesh = trimesh.Trimesh(np.array(skin.vertices), np.array(skin.triangles), process=False)

    def sliced() -> list[float]:
        return [-sliced_and_capped(mesh, level).volume for level in levels]

    assert np.allclose(volumes(skin, levels), sliced(), rtol=1e-9)
    ours, theirs = seconds(lambda: volumes(skin, levels), 10), seconds(sliced, 1)
    small = seconds(lambda: volumes(MIDDLING, levels), 10)
    text = f"volumes, {len(skin.triangles)} triangles, 200 drafts: {theirs / ours:.0f} times as fast, {ours * 1e3:.1f} ms"
    power = growth({len(MIDDLING.triangles): small, len(skin.triangles): ours})
    report(text, against="trimesh", ratio=ours / theirs, aim=1 / 50, growth=power)
    assert theirs / ours >= 50


def test_one_pose_at_rest_of_300_triangles_against_trimesh_and_fsolve(report: Report) -> None:
    skin, weight = MIDDLING, Weight(60.0, (3.0, 2.0, 6.0))

    def solved() -> np.ndarray:
        def out_of_balance(unknown: np.ndarray) -> list[float]:
            draft, heel, trim = unknown
            up = np.array([-math.sin(heel), -math.sin(trim), 0.0])
            up[2] = math.sqrt(1.0 - up @ up)
            turn = trimesh.geometry.align_vectors(up, [0, 0, 1])
            vertices = trimesh.transform_points(skin.vertices, turn)
            under = sliced_and_capped(trimesh.Trimesh(vertices, np.array(skin.triangles), process=False), draft)
            off = under.center_mass - trimesh.transform_points([weight.centre_mm], turn)[0]
            return [-under.volume * FRESH.density_g_per_mm3 / weight.mass_g - 1.0, off[0], off[1]]

        return fsolve(out_of_balance, [8.0, 0.0, 0.0])

    pose = rest(skin, weight, FRESH).pose
    assert pose is not None
    assert np.allclose([pose.draft_mm, pose.heel_rad, pose.trim_rad], solved(), atol=1e-6)
    ours, theirs = seconds(lambda: rest(skin, weight, FRESH), 50), seconds(solved, 3)
    text = f"rest, {len(skin.triangles)} triangles: {theirs / ours:.0f} times as fast, {ours * 1e3:.2f} ms"
    report(text, against="trimesh, fsolve", ratio=ours / theirs, aim=1 / 100)
    assert theirs / ours >= 100


def test_the_rim_of_a_plain_tray_and_of_1000_triangles(report: Report) -> None:
    taken = {}
    for skin in (folded_box(100, 100, 25).skin, LARGE):
        heights = skin.vertices @ np.array([0.05, 0.03, 0.998])
        taken[len(skin.triangles)] = seconds(lambda heights=heights, skin=skin: spill(heights, skin), 50)
    small, large = taken.values()
    report.limit(f"rim, {min(taken)} triangles: {small * 1e6:.0f} microseconds (limit 200)", small, 200e-6)
    text = f"rim, {max(taken):,} triangles: {large * 1e6:.0f} microseconds (limit 5,000)"
    report(text, against="its limit", ratio=large / 5e-3, aim=1.0, growth=growth(taken))
    assert small < 200e-6
    assert large < 5e-3


def test_2000_draws_of_the_working_load(report: Report) -> None:
    for hand in ("careful", "usual", "hurried"):
        tray = folded_box(100, 100, 25)
        ours = seconds(lambda hand=hand, tray=tray: working_load(tray.skin, tray.weight, FRESH, hand, count=2000), 3)
        tracemalloc.start()
        working_load(tray.skin, tray.weight, FRESH, hand, count=2000)
        peak = tracemalloc.get_traced_memory()[1] / 1e6
        tracemalloc.stop()
        many = seconds(lambda hand=hand, tray=tray: working_load(tray.skin, tray.weight, FRESH, hand, count=20_000), 3)
        text = f"working load, 2000 draws, {hand}: {ours * 1e3:.0f} ms (limit 100), {peak:.0f} MB at most"
        report(text, against="its limit", ratio=ours / 0.1, aim=1.0, growth=growth({2_000: ours, 20_000: many}))
        assert ours < 0.1
        assert peak < 20


def test_the_flooding_load_in_36_directions(report: Report) -> None:
    taken = {}
    for skin in (folded_box(100, 100, 25).skin, MIDDLING):
        own, turns = foil_weight(skin, 16.0), np.radians(np.arange(0.0, 360.0, 10.0))
        places = np.column_stack([10.0 * np.cos(turns), 10.0 * np.sin(turns), np.full(36, 5.0)])
        ours = seconds(lambda skin=skin, own=own, places=places: flooding_loads(skin, own, places, FRESH), 5)
        taken[len(skin.triangles)] = ours
        text = f"flooding load, {len(skin.triangles)} triangles, 36 directions: {ours * 1e3:.1f} ms (limit 100)"
        power = growth(taken) if len(taken) > 1 else None
        report(text, against="its limit", ratio=ours / 0.1, aim=1.0, growth=power)
        assert ours < 0.1
