"""What the lines, arrows and marks in the pictures of a step sheet mean: those that occur, and no others."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from folder.draw.picture import PUPIL_MM, Box, Label, Line, Mark, Picture
from folder.draw.sheet.mark import crimp_mark, side_dot
from folder.draw.steps.act import PINCH_GAP_MM, PINCH_MM
from folder.draw.steps.arrow import there_and_back, turn_over, valley_arrow
from folder.draw.steps.panel import StepPicture
from folder.draw.text import wrapped

SAMPLE_MM = 14.0
ROW_MM = 8.2
LEADING_MM = 5.2

WORDS = {
    "valley": "fold here, toward you",
    "mountain": "fold here, away from you",
    "crease": "a crease from before",
    "fold": "fold this way",
    "back": "fold, and unfold again",
    "over": "turn the sheet over",
    "pinch": "pinch here, from both sides",
    "size": "measure this, in mm",
    "dot": "always the same edge",
    "under": "the same, under foil",
}
"""Every sign that can be explained, in the order it is."""


def signs_in(pictures: Iterable[StepPicture], *, over: bool) -> tuple[str, ...]:
    """The signs that some pictures use; `over`: the sheet is turned over in one of them."""
    used = {"over"} if over else set()
    for drawn in pictures:
        used |= {mark.style for mark in drawn.picture.marks if isinstance(mark, Line) and mark.style in WORDS}
        used |= {{"crease": "back", "pinch": "pinch"}.get(act.kind, "fold") for act in drawn.acts}
        used |= {"size"} if drawn.sizes else set()
        used |= {"under"} if drawn.dot_hidden else {"dot"} if drawn.dot else set()
    return tuple(name for name in WORDS if name in used)


def legend(names: Sequence[str], box: Box) -> Picture:
    """Samples with their words below each other, from the top of a box."""
    marks: list[Mark] = [Label("What the signs mean", (box.left, box.top - 0.85 * LEADING_MM), weight="bold")]
    row = min(ROW_MM, (box.height - 1.5 * LEADING_MM) / max(len(names), 1))
    y = box.top - LEADING_MM - row
    for name in names:
        lines = wrapped(WORDS[name], PUPIL_MM, box.width - SAMPLE_MM - 4.0)
        marks += _sample(name, box.left, y + 1.5)
        marks += [Label(line, (box.left + SAMPLE_MM + 4.0, y - k * LEADING_MM)) for k, line in enumerate(lines)]
        y -= row + (len(lines) - 1) * LEADING_MM
    return Picture(tuple(marks), box)


def _sample(name: str, x: float, y: float) -> tuple[Mark, ...]:
    """The sample of a sign, SAMPLE_MM wide, with the middle of its left side at (x, y)."""
    ends, middle = ((x, y), (x + SAMPLE_MM, y)), (x + SAMPLE_MM / 2, y)
    low = ((x + 1.0, y - 1.2), (x + SAMPLE_MM - 1.0, y - 1.2))
    match name:
        case "valley" | "mountain" | "crease":
            return (Line(ends, name),)
        case "fold":
            return valley_arrow(*low, bow=0.2)
        case "back":
            return there_and_back(*low, bow=0.2)
        case "over":
            return turn_over((middle[0], y - 1.5), SAMPLE_MM, 2.6)
        case "pinch":
            return (crimp_mark(middle, 0.0, PINCH_GAP_MM, PINCH_MM),)
        case "size":
            ticks = [Line(((at, y - 1.1), (at, y + 1.1)), "thin") for at in (x, x + SAMPLE_MM)]
            return (*ticks, Line(((x, y), (middle[0] - 3.2, y)), "thin"), Line(((middle[0] + 3.2, y), ends[1]), "thin"),
                    Label("25", (middle[0], y - 0.35 * PUPIL_MM), anchor="middle"))  # fmt: skip
        case "dot" | "under":
            edge = Line(ends, "edge")
            return (edge, *side_dot(middle, hidden=name == "under"))
    raise KeyError(name)
