"""What the lines and marks of a sheet mean, as a block of samples with words."""

from __future__ import annotations

from collections.abc import Sequence

from folder.draw.picture import PUPIL_MM, Area, Box, Label, Line, Mark, Picture, disc
from folder.draw.sheet.flat import crease_style
from folder.draw.sheet.mark import crimp_mark, cut_mark, side_dot, step_badge
from folder.draw.sheet.numbers import TICK_WEIGHT
from folder.draw.style import SHADE
from folder.draw.text import width_mm
from folder.pattern.pattern import Pattern

SAMPLE_MM = 12.0
ROW_MM = 6.8
GAP_MM = 2.6

WORDS = {
    "valley": "valley: toward you",
    "mountain": "mountain: away",
    "crease": "crease from before",
    "hidden": "an edge behind",
    "cut": "a cut: not allowed",
    "guide": "do not fold this",
    "edge": "the sheet’s edge",
    "outline": "folded edge",
    "tick": "a crease ends here",
    "floor": "the floor",
    "pinch": "pinch here",
    "step": "fold in this order",
    "dot": "always this edge",
    "under": "this edge, under foil",
    "dimple": "dimple",
}
"""Every line and mark that can be explained, in the order it is."""


def names_used(pattern: Pattern, *, floor: bool = True, dimples: bool = False, dot: bool = False) -> tuple[str, ...]:
    """The lines and marks the template of a pattern uses."""
    used: set[str] = {"edge", *(crease_style(crease) for crease in pattern.creases)}
    used |= {"floor"} if floor else set()
    used |= {"pinch"} if pattern.crimps else set()
    used |= {"step"} if any(crease.step is not None for crease in pattern.creases) else set()
    used |= {"tick"} if any(crease.sense != "guide" for crease in pattern.creases) else set()
    used |= ({"dimple"} if dimples else set()) | ({"dot"} if dot else set())
    return tuple(name for name in WORDS if name in used)


def key(names: Sequence[str], room_mm: float) -> Picture:
    """Samples with their words, in as many columns as fit the room; the upper left corner is at the origin."""
    for columns in range(max(len(names), 1), 0, -1):
        rows = -(-len(names) // columns)
        blocks = [names[k : k + rows] for k in range(0, len(names), max(rows, 1))]
        widths = [SAMPLE_MM + GAP_MM + max(width_mm(WORDS[name], PUPIL_MM) for name in block) for block in blocks]
        if sum(widths) + 2 * GAP_MM * (len(blocks) - 1) <= room_mm:
            break
    marks: list[Mark] = []
    left = 0.0
    for block, width in zip(blocks, widths, strict=True):
        for k, name in enumerate(block):
            y = -(k + 0.5) * ROW_MM
            marks += _sample(name, left, y)
            marks.append(Label(WORDS[name], (left + SAMPLE_MM + GAP_MM, y - 0.25 * PUPIL_MM)))
        left += width + 2 * GAP_MM
    return Picture(tuple(marks), Box(0.0, -rows * ROW_MM, max(left - 2 * GAP_MM, 0.0), 0.0))


def _sample(name: str, x: float, y: float) -> tuple[Mark, ...]:
    """The sample of a line or mark, in a box SAMPLE_MM wide with the middle of its left side at (x, y)."""
    middle = (x + SAMPLE_MM / 2, y)
    ends = ((x, y), (x + SAMPLE_MM, y))
    match name:
        case "floor":
            return (Area((Box(x, y - 2.2, x + SAMPLE_MM, y + 2.2).corners,), SHADE, "thin"),)
        case "pinch":
            return (crimp_mark(middle),)
        case "step":
            return step_badge(1, middle)
        case "dot" | "under":
            return Line(ends, "edge"), *side_dot(middle, hidden=name == "under")
        case "dimple":
            return (disc(middle, 1.5, None, "thin"),)
        case "tick":
            return Line(((x, y), (middle[0], y)), "edge"), Line((middle, (middle[0] + 5.0, y)), "thin", weight=TICK_WEIGHT)
        case "cut":
            return Line(ends, "cut"), cut_mark(*ends)
        case "valley" | "mountain" | "crease" | "hidden" | "guide" | "edge" | "outline":
            return (Line(ends, name),)
    raise KeyError(name)
