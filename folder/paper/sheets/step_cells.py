"""How the panels of a step sheet share a page, so that its pictures are as large as they can be.

row     as many side by side as there are columns; it takes the height that its words and its pictures need
beside  where height is short, how and where a line is found stands beside the sheet, over the small picture of the state after
stacked where height is plenty, the state after is under what to do, and both are larger
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from folder.draw.hull.solid import ABOVE, View
from folder.draw.picture import PUPIL_MM, Box
from folder.draw.steps.lens import SHORT_MM
from folder.draw.steps.panel import Panel
from folder.draw.text import wrapped
from folder.fold.place import Folded
from folder.paper.pages import LEADING_MM

COLUMNS = 2
MOST_ROWS = 3
"""Six steps on a page: more would be too small to show a fold."""
NUMBER_MM = 9.5
LEAST_MM = 34.0
"""Least height of a picture."""
LEAST_AFTER_MM = 28.0
"""Least height of the picture of a flat sheet after a step, where words stand over it."""
BETWEEN_MM = 5.0
"""Between two columns, and between two rows."""
UNDER_MM = 2.0
"""Between words and what is under them, and between two pictures."""
WIDE_SHARE, RAISE_SHARE, HALF_SHARE = 0.66, 0.51, 0.5
"""How much of a panel's width has the picture of what to do: more where its sizes stand beside it."""
AFTER_SHARE = 0.8
"""How wide a flat sheet after a step is at most, over the height."""
LARGE_MM, RULERS_MM = 57.0, 18.0
"""A picture of a sheet is hardly larger than this, and so much of it may take what is measured beside it."""
LEGEND_MM = 60.0
"""Height in which what the signs mean can be read."""
STACKED_TIMES = 1.04
"""Pictures that grow by as much are stacked."""


class Cell(Struct, frozen=True, eq=False):
    """A panel in its place on a page."""

    panel: Panel
    box: Box
    lines: tuple[str, ...]
    """Words across the panel."""
    side: tuple[str, ...]
    """Words over the picture of the state after."""
    before: Box
    after: Box


def rows_on_a_page(made: Sequence[Panel], body: Box) -> int:
    """How many rows go on a page: as many as leave the pictures large, fewer where a last page would be all but blank."""

    def fits(rows: int) -> bool:
        parts = [made[k : k + rows * COLUMNS] for k in range(0, len(made), rows * COLUMNS)]
        return all(min(_divided(part, rows, body)[1]) >= LEAST_MM for part in parts)

    most = next(rows for rows in range(MOST_ROWS, 0, -1) if rows == 1 or fits(rows))
    pages = math.ceil(len(made) / (most * COLUMNS))
    # With a place for what the signs mean.
    return min(most, math.ceil((len(made) + 1) / (pages * COLUMNS)))


def cells_on_a_page(part: Sequence[Panel], rows: int, body: Box) -> tuple[list[Cell], Box | None]:
    """The panels of a page in their places, row by row, and the place after the last, where there is one."""
    words, pictures, beside = _divided(part, rows, body)
    cells, top, boxes = [], body.top, []
    for row in range(rows):
        bottom = top - words[row] - pictures[row]
        for column in range(COLUMNS):
            left = body.left + column * (_wide(body) + BETWEEN_MM)
            boxes.append(Box(left, bottom, left + _wide(body), top))
        top = bottom - BETWEEN_MM
    for k, panel in enumerate(part):
        cells.append(_cell(panel, boxes[k], words[k // COLUMNS], beside=beside[k]))
    return cells, boxes[len(part)] if len(part) < len(boxes) else None


def _cell(panel: Panel, box: Box, words_mm: float, *, beside: bool) -> Cell:
    high, wide = box.height - words_mm, box.width - UNDER_MM
    top = box.bottom + high
    lines = _lines(panel, box.width, beside=beside)
    if not beside and (high_share := _stacked_share(panel, box.width, high)):
        middle = box.bottom + (1.0 - high_share) * (high - UNDER_MM)
        before, after = Box(box.left, middle + UNDER_MM, box.right, top), Box(box.left, box.bottom, box.right, middle)
        return Cell(panel, box, lines, (), before, after)
    split = _split_mm(panel, wide, high, beside=beside)
    side = _side(panel, wide - split) if beside else ()
    before = Box(box.left, box.bottom, box.left + split, top)
    below = top - (len(side) * LEADING_MM + UNDER_MM if side else 0.0)
    return Cell(panel, box, lines, side, before, Box(before.right + UNDER_MM, box.bottom, box.right, below))


def _split_mm(panel: Panel, wide_mm: float, high_mm: float, *, beside: bool = False) -> float:
    """How much of a width has the picture of what to do, when the state after is beside it, under words or not."""
    if not panel.flat:
        return (RAISE_SHARE if panel.step.kind == "raise" else HALF_SHARE) * wide_mm
    most, least = WIDE_SHARE * wide_mm, HALF_SHARE * wide_mm
    if _lensed(panel, high_mm):
        return most
    if not beside:  # what to do is no smaller than the state after
        return min(max(high_mm + UNDER_MM, wide_mm - AFTER_SHARE * high_mm), most)
    splits = np.linspace(max(min(most, high_mm + UNDER_MM), least), least, 5).tolist()
    return float(next((split for split in splits if _room_after(panel, wide_mm - split, high_mm) >= LEAST_AFTER_MM), splits[0]))


def _room_after(panel: Panel, wide_mm: float, high_mm: float) -> float:
    """What words leave of a height for the state after."""
    return high_mm - len(_side(panel, wide_mm)) * LEADING_MM - UNDER_MM


def _lensed(panel: Panel, high_mm: float) -> bool:
    """Whether something is shown once more in a lens beside the sheet, when that is about so high."""
    size = float(np.ptp(panel.was.corners.reshape(-1, 3)[:, :2], axis=0).max())
    small = min((min(line.reach_mm, line.length_mm) for line in panel.lines), default=math.inf)
    return panel.step.kind == "crease" and small * (min(high_mm, LARGE_MM) - RULERS_MM) < SHORT_MM * size


def _stacked_share(panel: Panel, wide_mm: float, high_mm: float) -> float:
    """How much of a height has the picture of what to do, over the state after; 0 where they are larger side by side."""
    on_table = panel.flat or panel.step.kind == "raise"
    sizes = [_size((ABOVE, panel.was)) if on_table else (1.0, 1.0), _size((panel.view_after, panel.now))]
    wide_mm -= UNDER_MM
    split = _split_mm(panel, wide_mm, high_mm)
    scales = [min(wide / w, high_mm / h) for wide, (w, h) in zip((split, wide_mm - split), sizes, strict=True)]
    (across, up), (across_after, up_after) = ((k * w, k * h) for k, (w, h) in zip(scales, sizes, strict=True))
    times = min((high_mm - UNDER_MM) / (up + up_after), wide_mm / across, wide_mm / across_after)
    return up / (up + up_after) if times > STACKED_TIMES else 0.0


def _size(seen: tuple[View, Folded]) -> tuple[float, float]:
    """Width and height of a state as it is seen, mm."""
    view, state = seen
    at = view.project(state, state.corners.reshape(-1, 3))
    across, up, _ = np.ptp(at[np.isfinite(at).all(axis=1)], axis=0).tolist()
    return max(across, 1.0), max(up, 1.0)


def _divided(part: Sequence[Panel], rows: int, body: Box) -> tuple[list[float], list[float], list[bool]]:
    """For each row of a page the height of its words and of its pictures, and for each panel whether words stand beside the sheet."""
    room, wide = body.height - BETWEEN_MM * (rows - 1), _wide(body)
    beside = [False] * len(part)

    def divided() -> tuple[list[float], list[float], bool]:
        words = [_words_mm(part, row, wide, beside) for row in range(rows)]
        needs = [
            max((_split_mm(panel, wide - UNDER_MM, math.inf) for panel in _row(part, row)), default=LEAST_MM)
            for row in range(rows)
        ]
        if len(part) < rows * COLUMNS:
            last = len(part) // COLUMNS
            needs[last] = max(needs[last], LEGEND_MM - words[last])
        left = room - sum(words)
        return words, _shared(left, needs), sum(needs) > left

    words, pictures, short = divided()
    if not short:
        return words, pictures, beside
    beside = [panel.flat and len(panel.words) > 1 for panel in part]
    for _ in part:
        words, pictures, _ = divided()
        for k, panel in enumerate(part):
            high = pictures[k // COLUMNS]
            after = wide - UNDER_MM - _split_mm(panel, wide - UNDER_MM, high, beside=beside[k])
            across = len(_lines(panel, wide, beside=False)) * LEADING_MM + UNDER_MM
            if beside[k] and (across <= words[k // COLUMNS] or _room_after(panel, after, high) < LEAST_AFTER_MM):
                beside[k] = False
                break
        else:
            break
    return words, pictures, beside


def _shared(room_mm: float, needs: Sequence[float]) -> list[float]:
    """A height shared by rows: none has more than it needs while another has less; what is left over all have alike."""
    left, rest, shares = room_mm, len(needs), dict.fromkeys(range(len(needs)), 0.0)
    for k in sorted(shares, key=lambda k: needs[k]):
        shares[k] = min(needs[k], left / rest)
        left, rest = left - shares[k], rest - 1
    return [shares[k] + left / len(needs) for k in range(len(needs))]


def _row(part: Sequence[Panel], row: int) -> Sequence[Panel]:
    return part[row * COLUMNS : (row + 1) * COLUMNS]


def _words_mm(part: Sequence[Panel], row: int, wide_mm: float, beside: Sequence[bool]) -> float:
    """What the words across the panels of a row take; its pictures begin at the same height."""
    flags = beside[row * COLUMNS : (row + 1) * COLUMNS]
    lines = (len(_lines(panel, wide_mm, beside=flag)) for panel, flag in zip(_row(part, row), flags, strict=True))
    return max(lines, default=0) * LEADING_MM + UNDER_MM


def _wide(body: Box) -> float:
    """Width of a panel."""
    return (body.width - BETWEEN_MM * (COLUMNS - 1)) / COLUMNS


def _lines(panel: Panel, wide_mm: float, *, beside: bool) -> tuple[str, ...]:
    """The words across a panel line by line: what is done on lines of its own, then how and where, if that is not beside."""
    texts = panel.words[:1] if beside else (panel.words[0], " ".join(panel.words[1:]))
    return tuple(line for text in texts for line in wrapped(text, PUPIL_MM, wide_mm - NUMBER_MM))


def _side(panel: Panel, wide_mm: float) -> tuple[str, ...]:
    """How and where, line by line beside the sheet."""
    return tuple(wrapped(" ".join(panel.words[1:]), PUPIL_MM, wide_mm))
