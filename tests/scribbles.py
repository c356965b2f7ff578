"""Drawings at random, as no careful hand makes them: many lines, some of them near doubles of others."""

from __future__ import annotations

import math
import random

from folder.findings import Point
from folder.pattern.pattern import Crease, Pattern
from tests.drawings import drawn, line

SIDE = 150.0
KINDS = ("loose", "whole", "grid", "star", "mixed")


def scribble(seed: int) -> Pattern:
    """10 to 300 lines, few more often than many: a quarter of them 0.01 to 0.1 mm beside a line or a place on one."""
    draw = random.Random(seed)
    count = round(10.0 * 30.0 ** draw.random())
    kind = draw.choice(KINDS)
    creases: list[Crease] = []
    while len(creases) < count:
        if creases and draw.random() < 0.25:
            a, b = _beside(draw, draw.choice(creases))
        else:
            a, b = _ends(draw, kind if kind != "mixed" else draw.choice(KINDS[:-1]))
        if a != b:
            sense = draw.choice(["valley", "mountain"] * 8 + ["cut", "guide"])
            turn = None if draw.random() < 0.05 else draw.choice([90.0, 180.0, 180.0, 45.0, draw.uniform(1.0, 180.0)])
            creases.append(line(a, b, sense, turn))
    return drawn(creases)


def whole_lines(count: int, kind: str, seed: int = 0) -> Pattern:
    """Lines from edge to edge of the sheet: at random, or a grid. Nowhere do they close."""
    draw = random.Random(seed)
    creases: list[Crease] = []
    for k in range(count):
        at = SIDE * (k // 2 + 1) / (count // 2 + 1)
        grid = ((at, 0.0), (at, SIDE)) if k % 2 else ((0.0, at), (SIDE, at))
        a, b = grid if kind == "grid" else _across(draw)
        creases.append(line(a, b, draw.choice(["valley", "mountain"]), draw.choice([90.0, 180.0])))
    return drawn(creases, floor_at=(74.3, 75.2))


def _beside(draw: random.Random, crease: Crease) -> tuple[Point, Point]:
    """A line that nearly doubles another, or begins nearly on it."""
    off = draw.uniform(0.01, 0.1)

    def near(p: Point) -> Point:
        return (p[0] + draw.uniform(-off, off), p[1] + draw.uniform(-off, off))

    if draw.random() < 0.5:
        return near(crease.start), near(crease.end)
    share = draw.random()
    (ax, ay), (bx, by) = crease.start, crease.end
    return near((ax + share * (bx - ax), ay + share * (by - ay))), _place(draw)


def _ends(draw: random.Random, kind: str) -> tuple[Point, Point]:
    if kind == "loose":
        return _place(draw), _place(draw)
    if kind == "whole":
        return _across(draw)
    if kind == "grid":
        at = draw.uniform(0.0, SIDE)
        return ((at, 0.0), (at, SIDE)) if draw.random() < 0.5 else ((0.0, at), (SIDE, at))
    heading, reach = draw.uniform(0.0, 2.0 * math.pi), draw.uniform(20.0, 70.0)
    return (75.0, 75.0), (75.0 + reach * math.cos(heading), 75.0 + reach * math.sin(heading))


def _place(draw: random.Random) -> Point:
    """Anywhere, on the sheet's edge, or on a grid of 5 mm."""
    way = draw.random()
    if way < 0.4:
        return (draw.uniform(0.0, SIDE), draw.uniform(0.0, SIDE))
    if way < 0.7:
        return _on_edge(draw.randrange(4), draw.uniform(0.0, SIDE))
    return (5.0 * draw.randint(0, 30), 5.0 * draw.randint(0, 30))


def _across(draw: random.Random) -> tuple[Point, Point]:
    one, other = draw.sample(range(4), 2)
    return _on_edge(one, draw.uniform(0.0, SIDE)), _on_edge(other, draw.uniform(0.0, SIDE))


def _on_edge(edge: int, at: float) -> Point:
    return ((at, 0.0), (SIDE, at), (at, SIDE), (0.0, at))[edge]
