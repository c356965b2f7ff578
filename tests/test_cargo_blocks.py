"""Blocks and lying tubes on floors of any outline, against plain rows laid with shapely and against layouts by hand."""

import math

import numpy as np
import pytest
import shapely
from scipy.optimize import approx_fprime

from folder.cargo.item_list import find_item
from folder.cargo.packing import block_rows
from folder.cargo.packing.block_search import push_blocks
from folder.cargo.packing.packing import pack_blocks
from folder.cargo.packing.room import room_of
from folder.cargo.packing.stack import fill
from tests.rooms import straight_room
from tests.studied import ready_study
from tests.test_cargo_packing_packing import SHAPES, TRAY, check_blocks

FLOORS = {
    **SHAPES,
    "octagon": [(49 * math.cos((k + 0.5) * math.pi / 4), 49 * math.sin((k + 0.5) * math.pi / 4)) for k in range(8)],
    "seventy": [(0, 0), (70, 0), (70, 70), (0, 70)],
    "kite": [(0, -50), (42, 12), (0, 47), (-30, 5)],
}
SIZES = [
    (60, 30), (48, 24), (45, 24), (20, 20), (20, 18), (80, 10), (28, 7), (50, 9), (16, 16), (10, 10), (25, 25), (12, 12), (30, 8),
]  # fmt: skip
"""Bricks, dominoes, corks, cubes, letter tiles, chalk, clips, dice and screws, mm."""


TURNS = np.arange(11) * 90.0 / 11.0


def plain_rows(floor, length, width, turns=TURNS):
    """The most that rows hold: 11 turns, blocks lengthwise or crosswise, rows shifted 0.5 mm at a time, each row filled by
    itself from gap to gap. A gap is what the parts of the row outside the floor (shapely) leave free."""
    best = 0
    for turn in turns:
        walls = shapely.affinity.rotate(shapely.Polygon(floor), turn, origin=(0, 0))
        left, bottom, right, top = walls.bounds
        for along, high in {(length, width), (width, length)}:
            lows = np.arange(bottom, top - high + 1e-6, 0.5)
            outside = shapely.difference(shapely.box(left - 1, lows + 1e-7, right + 1, lows + high - 1e-7), walls)
            parts, row = shapely.get_parts(outside, return_index=True)
            bounds = shapely.bounds(parts)
            counts = np.zeros(len(lows), dtype=int)
            for k in range(len(lows)):
                reach = left - 1.0
                for start, end in sorted(bounds[row == k][:, [0, 2]].tolist()):
                    counts[k] += max(0, math.floor((start - reach) / along + 1e-7))
                    reach = max(reach, end)
            steps = round(high / 0.5)  # all sizes are whole halves of a mm
            best = max([best, *(int(counts[shift::steps].sum()) for shift in range(min(steps, len(counts))))])
    return best


PAIRS = [(name, size) for name in FLOORS for size in SIZES]


def test_blocks_are_packed_at_least_as_well_as_rows(many):
    """8 floors by 13 sizes, all on request."""
    for name, (length, width) in PAIRS[:: many(17, 1)]:
        packing = pack_blocks(FLOORS[name], length, width)
        check_blocks(FLOORS[name], packing)
        assert packing.count >= plain_rows(FLOORS[name], length, width), (name, length, width)


@pytest.mark.parametrize(("length", "width", "least"), [(60.0, 30.0, 2), (45.0, 24.0, 3), (20.0, 20.0, 12)])
def test_the_floor_of_the_eight_sided_bowl_takes_what_can_be_laid_there_by_hand(length, width, least):
    """2 bricks, 3 corks, 12 cubes: laid out by hand with a ruler's shifts."""
    floor = ready_study("eight-sided-bowl").hull.cover.outline
    packing = pack_blocks(floor, length, width)
    check_blocks(floor, packing)
    assert packing.count >= least


def test_four_corks_make_a_pinwheel():
    """45 + 24 = 69 mm: four go round a hole of 21 mm on a floor of 70 x 70; equal rows hold two."""
    packing = pack_blocks(FLOORS["seventy"], 45.0, 24.0)
    check_blocks(FLOORS["seventy"], packing)
    assert 4 == packing.count
    assert 2 == plain_rows(FLOORS["seventy"], 45, 24)


def test_a_chalk_longer_than_the_floor_lies_across():
    """Askew by 45 deg it needs (80 + 10) / sqrt 2 = 63.6 mm each way."""
    packing = pack_blocks(FLOORS["seventy"], 80.0, 10.0)
    check_blocks(FLOORS["seventy"], packing)
    assert packing.count >= 1
    assert pack_blocks(FLOORS["seventy"], 80.0, 10.0, rounds=0).count >= 1  # and the first answer knows


def test_a_few_corks_lie_as_tubes_and_more_are_a_heap():
    """A tube that lies has its middle a radius over the floor. 14 mm of wall made a heap that stood in the floor."""
    shallow = room_of(ready_study("shallow-tray").hull)
    few = fill(shallow, find_item("cork"), enough=4)
    assert ("single", 12.0) == (few.way, few.places_mm[:4, 2].max())
    assert few.first.count == few.fits_per_layer >= 12
    many = fill(straight_room(TRAY, 60.0), find_item("cork"), enough=10)
    assert "heap" == many.way
    assert (many.places_mm[:, 2] >= 12.0).all()


@pytest.mark.parametrize("floor", ["hexagon", "ell", "dart"])
def test_the_slopes_of_the_energy_are_its_slopes(floor):
    """Against differences by scipy, on floors with corners that point in."""
    random = np.random.default_rng(3)
    walls = np.array(FLOORS[floor], dtype=float) / 30.0 @ [1.0, 1j]
    place = walls.mean() + random.normal(size=5) * 0.8 + 1j * random.normal(size=5) * 0.8
    turn = random.uniform(0, np.pi, 5)

    def energy(v):
        return push_blocks(np.array([v[:5] + 1j * v[5:10]]), v[None, 10:], walls, 1.0, 0.4)[0][0]

    v = np.concatenate([place.real, place.imag, turn])
    _, slope, twist = push_blocks(place[None], turn[None], walls, 1.0, 0.4)
    assert energy(v) > 0.01
    ours = np.concatenate([slope[0].real, slope[0].imag, twist[0]])
    assert approx_fprime(v, energy, 1e-7) == pytest.approx(ours, abs=1e-4)


def test_of_many_small_blocks_no_pinwheels_are_tried(monkeypatch):
    """There are some 60,000 kinds of them, at each of 60 rotations; 23 rows of 23 fill the floor but for a strip of 1 mm."""
    monkeypatch.setattr(block_rows, "_pinwheel", lambda *_: pytest.fail("a pinwheel was tried"))
    assert 23 * 23 == pack_blocks([(0.0, 0.0), (70.0, 0.0), (70.0, 70.0), (0.0, 70.0)], 3.0, 3.0).count
