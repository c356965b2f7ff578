"""How long packing and ordering take, each against a plain way or its limit, in the same run.

Run `python -m pytest tests/bench/bench_cargo.py`; it writes the ratios. The plain way takes minutes.
"""

from __future__ import annotations

import numpy as np
import pytest
import shapely
import trimesh
from scipy.optimize import minimize

from folder.cargo.item_list import find_item
from folder.cargo.order.order import load_order
from folder.cargo.packing.floor import as_places, inside_floor, margin
from folder.cargo.packing.packing import pack_discs, pack_rows
from folder.cargo.packing.room import room_of
from folder.cargo.packing.stack import centres, fill
from folder.cargo.predict import predict
from folder.cargo.vessel import vessel_of
from folder.hull.weight import Weight
from folder.water.equilibrium.rest import rest
from tests.bench.clock import timed
from tests.bench.conftest import Report
from tests.discs import widest_discs
from tests.prisms import FLOORS, afloat
from tests.rooms import stack_item
from tests.studied import ready_study

DISCS, STARTS = 40, 20
HEXAGON = np.array(FLOORS["hexagon"][0])
TRAY = np.array(FLOORS["square"][0], dtype=float)


def plain(floor: np.ndarray, count: int, starts: int) -> float:
    """The largest radius SLSQP finds from random starts: every pair and every side a constraint, slopes by hand."""
    side = np.roll(floor, -1, axis=0) - floor
    normal = np.column_stack([-side[:, 1], side[:, 0]]) / np.linalg.norm(side, axis=1)[:, None]
    first, second = np.triu_indices(count, 1)
    pairs, walls = np.arange(len(first)), len(floor)
    random = np.random.default_rng(1)

    def slack(v: np.ndarray) -> np.ndarray:
        places = v[:-1].reshape(count, 2)
        apart = ((places[first] - places[second]) ** 2).sum(axis=1)
        to_walls = ((places[:, None] - floor) * normal).sum(axis=2).ravel()
        return np.concatenate([apart - 4 * v[-1] ** 2, to_walls - v[-1]])

    def slope(v: np.ndarray) -> np.ndarray:
        places = v[:-1].reshape(count, 2)
        apart = 2 * (places[first] - places[second])
        rows = np.zeros((len(first) + count * walls, len(v)))
        for axis in (0, 1):
            rows[pairs, 2 * first + axis], rows[pairs, 2 * second + axis] = apart[:, axis], -apart[:, axis]
        rows[: len(first), -1] = -8 * v[-1]
        for disc in range(count):
            rows[len(first) + disc * walls :][:walls, 2 * disc : 2 * disc + 2] = normal
        rows[len(first) :, -1] = -1
        return rows

    best = 0.0
    outward = np.zeros(2 * count + 1)
    outward[-1] = -1.0
    for _ in range(starts):
        tried = random.uniform(floor.min(axis=0), floor.max(axis=0), (20 * count, 2))
        start = tried[inside_floor(as_places(tried), as_places(floor))][:count]
        found = minimize(
            lambda v: -v[-1],
            np.append(start.ravel(), margin(as_places(start), as_places(floor))),
            jac=lambda _: outward,
            constraints={"type": "ineq", "fun": slack, "jac": slope},
            method="SLSQP",
            options={"maxiter": 200},
        )
        best = max(best, margin(as_places(found.x[:-1].reshape(count, 2)), as_places(floor)))
    return best


def test_packing_forty_discs_against_slsqp_from_twenty_starts(report: Report) -> None:
    """At least 20 times as fast, and no worse. The plain way is given its slopes, which makes it far faster than without."""
    ours, our_s = timed(lambda: widest_discs(HEXAGON, DISCS, rounds=2), 3)
    theirs, their_s = timed(lambda: plain(HEXAGON, DISCS, STARTS))
    report(
        f"{DISCS} discs: ours {ours.size_mm[0]:.4f} mm in {our_s:.2f} s, SLSQP {theirs:.4f} mm in {their_s:.1f} s",
        against="SLSQP, 20 starts",
        ratio=our_s / their_s,
        aim=1 / 20,
    )
    assert ours.size_mm[0] >= theirs * (1 - 1e-9)
    assert their_s >= 20 * our_s


@pytest.mark.parametrize(("diameter", "count"), [(19.05, 27), (20.3, 23), (17.91, 30)])
def test_packing_coins_while_a_pupil_waits(report: Report, diameter: float, count: int) -> None:
    """Rows in 20 ms, the search in 1 s."""
    _, rows_s = timed(lambda: pack_rows(TRAY, diameter / 2), 10)
    packing, search_s = timed(lambda: pack_discs(TRAY, diameter / 2), 3)
    report.limit(f"{diameter} mm: rows {1000 * rows_s:.1f} ms (limit 20)", rows_s, 0.02)
    report.limit(f"{diameter} mm: search {1000 * search_s:.0f} ms (limit 1000)", search_s, 1.0)
    assert packing.count >= count
    assert rows_s < 0.02
    assert search_s < 1.0


@pytest.mark.parametrize("name", ["square", "hexagon"])
def test_ordering_sixty_objects(report: Report, name: str) -> None:
    """A loading order of 60 objects under 500 ms, the water asked after every one."""
    floor, height, lie, level_at, _ = afloat(name)
    cent = find_item("us-cent")
    stack = stack_item(floor, cent, wall_height_mm=height, rounds=0, enough=60)
    loading, order_s = timed(lambda: load_order(stack.places_mm, stack.layer, 60, 2.5, lie, level_at), 3)
    text = f"60 objects on a {name}: {1000 * order_s:.0f} ms (limit 500), least freeboard {loading.least_mm:.2f} mm"
    report.limit(text, order_s, 0.5)
    assert order_s < 0.5


SLOW = [
    ("six-sided-bowl", "paper-clip-50"),
    ("pinched-barge", "paper-clip-28"),
    ("bevelled-tray", "nut-m8"),
    ("six-sided-bowl", "washer-m5"),
]


@pytest.mark.parametrize(("name", "item"), SLOW)
def test_the_first_places_while_a_pupil_waits_and_better_ones_after(report: Report, name: str, item: str) -> None:
    """Rows in the room of a hull under 0.3 s and the search under 2 s, room and all; never fewer than rows."""
    hull, thing = ready_study(name).hull, find_item(item)
    first, first_s = timed(lambda: fill(room_of(hull), thing, enough=400, rounds=0), 3)
    better, better_s = timed(lambda: fill(room_of(hull), thing, enough=400))
    report.limit(f"{item} in {name}: first {1000 * first_s:.0f} ms (limit 300)", first_s, 0.3)
    report.limit(f"{item} in {name}: searched {better_s:.2f} s (limit 2)", better_s, 2.0)
    assert better.first.count >= first.first.count
    assert first_s < 0.3
    assert better_s < 2.0


def test_the_room_is_sliced_faster_than_by_trimesh(report: Report) -> None:
    """Against trimesh's cut of the same sheet and shapely's polygons of its lines, in the same run."""
    hull = ready_study("six-sided-bowl").hull
    heights = np.linspace(0.5, hull.rim_height_mm - 0.5, 20).tolist()
    mesh = trimesh.Trimesh(hull.skin.vertices, hull.skin.triangles, process=False)

    def plain_area(z: float) -> float:
        lines = trimesh.intersections.mesh_plane(mesh, (0.0, 0.0, 1.0), (0.0, 0.0, z))[:, :, :2]
        noded = shapely.union_all(shapely.linestrings(lines), grid_size=1e-6)
        return float(shapely.union_all(shapely.polygonize(list(shapely.get_parts(noded)))).area)

    theirs, their_s = timed(lambda: [plain_area(z) for z in heights], 3)
    ours, our_s = timed(lambda: [room_of(hull).section(z).area for z in heights])  # once: sections are kept
    text = f"20 slices: ours {1000 * our_s:.0f} ms, trimesh {1000 * their_s:.0f} ms"
    report(text, against="trimesh", ratio=our_s / their_s, aim=2.0)
    assert ours == pytest.approx(theirs, rel=1e-6)
    assert their_s >= 0.5 * our_s


@pytest.mark.parametrize(
    ("name", "item", "each"),
    [("six-sided-bowl", "washer-m5", None), ("six-sided-bowl", "letter-tile", "1.9"), ("plain-tray", "nut-m3", None)],
)
def test_many_small_objects_are_counted_while_a_pupil_waits(report: Report, name: str, item: str, each: str | None) -> None:
    """At least 20 times as fast as to follow every build object by object, pose by pose; refined under 2 s.

    One build is followed so and counted for all. These pairs took 15, 14 and 6 s once.
    """
    known, thing = ready_study(name), find_item(item)
    assert known.hull is not None
    assert known.working is not None
    vessel, hull = vessel_of(known.hull, known.water, known.working), known.hull
    first, first_s = timed(lambda: predict(vessel, thing, mass_each=each, rounds=0), 2)
    better, better_s = timed(lambda: predict(vessel, thing, mass_each=each))
    places = centres(first.loading.places_mm).tolist()
    grams = float(each or thing.mass_g or 0.0)
    _, plain_s = timed(
        lambda: [rest(hull.skin, hull.weight + Weight(grams * n, tuple(at)), known.water) for n, at in enumerate(places, 1)]
    )
    plain_s *= len(first.counts)
    text = f"{first.count} {item} in {name}: first {first_s:.2f} s, {len(first.counts)} builds pose by pose {plain_s:.0f} s"
    report(text, against="pose by pose", ratio=first_s / plain_s, aim=1 / 20)
    report.limit(f"{item} in {name}: first {first_s:.2f} s (limit 0.3)", first_s, 0.3)
    report.limit(f"{item} in {name}: refined {better_s:.2f} s (limit 2)", better_s, 2.0)
    assert plain_s >= 20.0 * first_s
    assert first_s < 0.3
    assert better_s < 2.0
    assert better.count >= 0.9 * first.count


LONG = [
    ("eight-sided-bowl", "steel-ball-6", None, 1.54),
    ("pinched-barge", "steel-ball-6", None, 1.22),
    ("eight-sided-bowl", "golf-ball", None, 1.16),
    ("hemmed-tray", "washer-m6", None, 1.13),
    ("pinched-barge", "nut-m3", None, 1.10),
    ("long-barge", "steel-ball-6", None, 1.04),
    ("pinched-barge", "washer-m4", None, 1.02),
    ("eight-sided-bowl", "nut-m3", None, 1.00),
    ("leaning-hemmed-tray", "steel-ball-6", None, 0.99),
    ("double-sheet-tray", "washer-m6", None, 0.97),
    ("bevelled-tray", "golf-ball", None, 0.97),
    ("pinched-barge", "marble-14", None, 0.95),
    ("plain-tray", "us-cent", None, 0.77),
    ("plain-tray", "baking-cup", "1.4", 1.00),
]
"""The slowest of 262 pairs, two common ones, and the processor seconds that one count took once, searched or not."""


@pytest.mark.parametrize(("name", "item", "each", "once_s"), LONG)
def test_the_first_count_is_there_at_once_and_near_the_refined_one(
    report: Report, name: str, item: str, each: str | None, once_s: float
) -> None:
    """Within an object or 5 % of the refined one, likely and either end, in 0.3 s; refined in 2 s."""
    known, thing = ready_study(name), find_item(item)
    assert known.hull is not None
    assert known.working is not None
    vessel = vessel_of(known.hull, known.water, known.working)
    first, first_s = timed(lambda: predict(vessel, thing, mass_each=each, rounds=0), 3)
    better, better_s = timed(lambda: predict(vessel, thing, mass_each=each), 2)
    text = f"{item} in {name}: first {first_s:.2f} s (limit 0.3), once {once_s:.2f} s"
    report.limit(text, first_s, 0.3)
    report.limit(f"{item} in {name}: refined {better_s:.2f} s (limit 2)", better_s, 2.0)
    assert [better.count_low, better.count, better.count_high] == pytest.approx(
        [first.count_low, first.count, first.count_high], rel=0.05, abs=1.0
    )
    assert first_s < 0.3
    assert better_s < 2.0
