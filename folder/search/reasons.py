"""Why one hull carries more than another, in words a child of nine follows.

cause    a measure that differs: how high the walls stand, how far they lean out, how large the floor is, how wide the
         hem. What had to be given up for it is no cause
"""

from __future__ import annotations

import numpy as np

from folder.hull.hull import Hull
from folder.pattern.walls.reading import read_plan
from folder.studies import Study
from folder.units import DEG_PER_RAD

_LEAST_MM, _LEAST_DEG, _LEAST_FLOOR = 0.5, 1.0, 0.03
"""A smaller difference (mm, deg, part of the floor) is none that a hand can see."""
_WHOLE_LEAN_DEG = 30.0
"""So much lean changes a hull as much as a wall of twice the height or half the floor (judgement)."""


def lean_deg(hull: Hull) -> float:
    """How far the walls lean out from upright on average, deg, by their length at the floor."""
    faces = hull.folded.faces
    turns = np.abs(hull.folded.turn[hull.wall_edges])
    lines = faces.vertices[faces.edges[hull.wall_edges]]
    lengths = np.hypot(*(lines[:, 1] - lines[:, 0]).T)
    return 90.0 - float((turns * lengths).sum() / max(lengths.sum(), 1e-9)) * DEG_PER_RAD


def cause(before: Study, after: Study, gain_g: float) -> str:
    """What helped most, where that can be seen, else "": "Walls 3 mm higher and the floor 9 cm² larger"."""
    causes = _causes(before, after)
    helps = [words for _, words, helps in causes if helps == (gain_g >= 0.0)] or [words for _, words, _ in causes]
    if not helps:
        return ""
    what = helps[0]
    if len(helps) > 1 and what.startswith("walls") and helps[1].startswith("walls"):
        what += f" and {helps[1].replace('walls lean', 'lean', 1).replace('walls', 'are', 1)}"
    elif len(helps) > 1:
        what += f" and {helps[1]}"
    return f"{what[0].upper()}{what[1:]}"


def _causes(before: Study, after: Study) -> list[tuple[float, str, bool]]:
    """The measures that differ, by how much, in words, and whether that makes more room for water outside; what differs most first.

    Nothing where one of the two is no hull.
    """
    if before.hull is None or after.hull is None or not before.folds or not after.folds:
        return []
    found: list[tuple[float, str, bool]] = []
    was, now = before.measures, after.measures
    higher = now.rim_height_mm - was.rim_height_mm
    if abs(higher) >= _LEAST_MM:
        part = abs(higher) / max(was.rim_height_mm, 1.0)
        found.append((part, f"walls {_whole(higher)} mm {'higher' if higher > 0.0 else 'lower'}", higher > 0.0))
    further = lean_deg(after.hull) - lean_deg(before.hull)
    if abs(further) >= _LEAST_DEG:
        words = f"walls lean out {_whole(further)}° {'more' if further > 0.0 else 'less'}"
        found.append((abs(further) / _WHOLE_LEAN_DEG, words, further > 0.0))
    wider = now.floor_area_mm2 - was.floor_area_mm2
    if abs(wider) >= _LEAST_FLOOR * was.floor_area_mm2:
        words = f"the floor {_whole(wider / 100.0)} cm² {'larger' if wider > 0.0 else 'smaller'}"
        found.append((abs(wider) / max(was.floor_area_mm2, 1.0), words, wider > 0.0))
    narrower = _hem_mm(before) - _hem_mm(after)
    if abs(narrower) >= _LEAST_MM:  # a hem takes its width twice: of the wall, and once more of the sheet
        part = 2.0 * abs(narrower) / max(was.rim_height_mm, 1.0)
        found.append((part, f"the hem {_whole(narrower)} mm {'narrower' if narrower > 0.0 else 'wider'}", narrower > 0.0))
    return sorted(found, reverse=True)


def _hem_mm(one: Study) -> float:
    """How wide the edge is folded over; 0 where it is not, or where no plan of walls can be read."""
    reading = read_plan(one.pattern)
    return reading.plan.hem_mm if reading is not None else 0.0


def _whole(value: float) -> str:
    """A difference in whole numbers; a half below two."""
    size = abs(value)
    return f"{round(size * 2.0) / 2.0:g}" if size < 2.0 else f"{size:.0f}"
