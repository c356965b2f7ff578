"""Designs for the tests of printed pages: every ready pattern and a tray, with loads set by hand."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from folder.cargo.item_list import find_item
from folder.cargo.order.order import Loading
from folder.cargo.packing.packing import Packing
from folder.cargo.packing.stack import Stack
from folder.cargo.predict import Cargo
from folder.paper.design import Design
from folder.paper.pages import PAPERS
from folder.places import PATTERNS
from folder.studies import study
from folder.water.brim_load import BrimLoad
from folder.water.working_load import Win, WorkingLoad
from tests.drawings import tray
from tests.rooms import stack_item
from tests.studied import ready_study

READY = sorted(path.stem for path in PATTERNS.glob("*.json"))


@cache
def ready(name: str) -> Design:
    """A ready pattern with a load set by shares of its brim load: pages are tested, not the water."""
    done = ready_study(name)
    if done.hull is None or done.brim is None:
        return Design(done.pattern, done.folded, done.hull)
    brim = done.brim.load_g
    return Design(done.pattern, done.folded, done.hull, held(0.5 * brim, 0.65 * brim, 0.8 * brim, brim))


@cache
def ready_cargo(name: str, item: str = "us-cent") -> Cargo | None:
    """A ready pattern's likely cargo by mass and room, in the order of its places."""
    design, thing = ready(name), find_item(item)
    if design.hull is None or design.load is None or thing.mass_g is None:
        return None
    stack = stack_item(design.hull.cover.outline, thing, wall_height_mm=design.hull.rim_height_mm, rounds=0)
    count = min(int(design.load.likely_g / thing.mass_g), len(stack.places_mm))
    loading = Loading(stack.places_mm[:count], np.zeros(count), ("floats",) * count, np.zeros(count))
    return Cargo(thing, stack, loading, count, count, count, "mass", ("Mass limits it.",), np.array([count]))


def held(low: float, likely: float, high: float, brim: float) -> WorkingLoad:
    """A working load set by hand."""
    at_brim = BrimLoad(brim, 250_000.0, 25.0, 10_000.0, (50.0, 0.0, 25.0), (0.0, 0.0), brim + 9.0)
    wins = (Win("load 2 mm closer to the middle", 20.4),)
    return WorkingLoad(brim, brim + 9.0, low, likely, high, "tilt", "usual", at_brim, (likely, high), (low, likely), wins)


@cache
def hand_design(wall: float = 25.0, likely: float = 160.0) -> Design:
    """A tray drawn by hand with a load set by hand: nothing in it rests on how loads are worked out."""
    done = study(tray(wall))
    return Design(done.pattern, done.folded, done.hull, held(0.75 * likely, likely, 1.25 * likely, 1.5 * likely))


@cache
def hand_cargo(count: int = 15) -> Cargo:
    """Coins in columns on a grid of three by three, loaded row by row."""
    grid = np.array([(30.0 * x, 30.0 * y) for y in (-1, 0, 1) for x in (-1, 0, 1)])
    first = Packing(grid, np.zeros(9), (12.0,), "square")
    layer = np.repeat(np.arange(2), 9)
    places = np.column_stack([np.tile(grid, (2, 1)), 1.0 + 2.0 * layer])
    stack = Stack("column", first, places, layer, np.ones(18), np.zeros(18), 18, "")
    loading = Loading(places[:count], np.linspace(20.0, 10.0, count), ("floats",) * count, np.zeros(count))
    return Cargo(find_item("us-cent"), stack, loading, count - 3, count, count + 3, "tilt", (), count + np.arange(-3, 4))


ON_BOTH = ("plain-tray", "screw-box", "two-bend-tray", "fan-bowl", "eight-sided-bowl")
"""Of these the suite looks at pages on both papers; of all others on A4, and with --whole on both."""

ON_PAPERS = [
    pytest.param(name, paper, marks=() if paper == "a4" or name in ON_BOTH else pytest.mark.whole, id=f"{name}-{paper}")
    for name in READY
    for paper in PAPERS
]
