"""Open hulls with upright walls on any floor, made by hand, and how they lie with a load."""

from __future__ import annotations

import math
from functools import cache

import numpy as np

from folder.cargo.order.arrange import Lie
from folder.hull.skin import Skin
from folder.hull.weight import Weight, foil_weight
from folder.water.brim_load import brim_load
from folder.water.equilibrium.rest import Rest, rest
from folder.water.equilibrium.under_loads import laden
from folder.water.fluid import Water

WATER = Water.of(20.0)

FLOORS: dict[str, tuple[list[tuple[float, float]], float]] = {
    "square": ([(-50, -50), (50, -50), (50, 50), (-50, 50)], 25.0),
    "rectangle": ([(-60, -40), (60, -40), (60, 40), (-60, 40)], 22.0),
    "hexagon": ([(58 * math.cos(k * math.pi / 3), 58 * math.sin(k * math.pi / 3)) for k in range(6)], 20.0),
    "triangle": ([(80 * math.cos(k * math.tau / 3), 80 * math.sin(k * math.tau / 3)) for k in range(3)], 25.0),
    "trapezium": ([(-62, -40), (62, -40), (36, 46), (-36, 46)], 25.0),
    "trough": ([(-80, -28), (80, -28), (80, 28), (-80, 28)], 20.0),
}
"""Floors, mm, and the height of their walls."""


def prism(floor: list[tuple[float, float]], height: float) -> Skin:
    """A convex floor with upright walls."""
    n = len(floor)
    vertices = np.array([(x, y, z) for z in (0.0, height) for x, y in floor])
    triangles = [(0, k, k + 1) for k in range(1, n - 1)]
    triangles += [t for k in range(n) for t in ((k, n + (k + 1) % n, (k + 1) % n), (k, n + k, n + (k + 1) % n))]
    return Skin.of(vertices, np.array(triangles), np.arange(n - 2))


@cache
def hull_of_foil(name: str) -> Skin:
    """The hull by the name of its floor; one skin for all who ask."""
    return prism(*FLOORS[name])


def afloat(name: str) -> tuple[np.ndarray, float, Lie, tuple[float, float], float]:
    """A hull of foil by the name of its floor: floor, wall height, how it lies, where a load keeps it level, brim load."""
    floor, height = FLOORS[name]
    skin = hull_of_foil(name)
    own = foil_weight(skin, 16.0)
    top = brim_load(skin, own, WATER)

    def lie(masses_g, centres_mm):
        return laden(skin, own, masses_g, centres_mm, WATER)

    return np.array(floor), height, lie, top.level_at, top.load_g


def resting(name: str, load: Weight) -> Rest:
    """How that hull lies with one load."""
    skin = hull_of_foil(name)
    return rest(skin, foil_weight(skin, 16.0) + load, WATER)


def box_lie(name: str, height: float) -> Lie:
    """How a hull with walls that high and no weight of its own lies."""
    skin = prism(FLOORS[name][0], height)
    return lambda masses_g, centres_mm: laden(skin, Weight(1e-9, (0.0, 0.0, 0.0)), masses_g, centres_mm, WATER)
