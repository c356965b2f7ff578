"""Flat folds made before the walls: hems, pleats, strips rolled over, corners and edges folded in.

Each gives the stack that lies on the table and its outline there, corners counter-clockwise.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from folder.errors import BadRequest
from folder.findings import Point
from folder.pattern.families.flat_stack import FlatStack
from folder.pattern.pattern import Sheet

SheetOutline = tuple[Point, ...]
SIDES = ("lower", "right", "upper", "left")
"""The sides of the sheet, counter-clockwise, each from its corner of that number to the next."""


def rectangle(left: float, bottom: float, right: float, top: float) -> tuple[Point, Point, Point, Point]:
    """Corners of an upright rectangle, counter-clockwise from the lower left."""
    return ((left, bottom), (right, bottom), (right, top), (left, top))


def hemmed(sheet: Sheet, depth_mm: float, sides: Collection[str] = SIDES) -> tuple[FlatStack, SheetOutline]:
    """The sheet with hems folded to the inside. Where two hems meet the corner goes in first, so that they meet on a mitre."""
    deep = [depth_mm if side in sides else 0.0 for side in SIDES]
    outline = rectangle(deep[3], deep[0], sheet.width_mm - deep[1], sheet.height_mm - deep[2])
    stack = FlatStack.of(sheet)
    for k, corner in enumerate(outline):
        if deep[k] and deep[k - 1]:
            ahead, back = outline[(k + 1) % 4], outline[k - 1]
            slant = (_step(corner, ahead)[0] - _step(corner, back)[0], _step(corner, ahead)[1] - _step(corner, back)[1])
            stack = stack.fold((corner[0] - slant[0], corner[1] - slant[1]), corner, 1)
    first = 2 if stack.creases else 1
    for k, corner in enumerate(outline):
        if deep[k]:
            stack = stack.fold(corner, outline[(k + 1) % 4], first)
    return stack, outline


def _step(start: Point, end: Point) -> Point:
    """One millimetre along an upright or level line."""
    return (float((end[0] > start[0]) - (end[0] < start[0])), float((end[1] > start[1]) - (end[1] < start[1])))


def pleated(sheet: Sheet, depth_mm: float, shift_mm: float = 0.0) -> tuple[FlatStack, SheetOutline]:
    """The sheet with an upright pleat: the right part folded over to the left, and back again over the pleat's depth.

    The pleat lies in the middle of what is left of the sheet, or `shift_mm` to the right of it.
    """
    width = sheet.width_mm - 2.0 * depth_mm
    right = (width + depth_mm) / 2.0 + shift_mm
    stack = FlatStack.of(sheet).fold((right, 0.0), (right, sheet.height_mm), 1)
    left = right - depth_mm
    # Seen from the left the part to bring back lies right of a line that runs down.
    stack = stack.fold((left, sheet.height_mm), (left, 0.0), 2, most=1)
    return stack, rectangle(0.0, 0.0, width, sheet.height_mm)


def rolled(sheet: Sheet, across: int, along: int) -> tuple[FlatStack, SheetOutline]:
    """The sheet in `across` equal strips rolled over from the right, then in `along` strips from the top: layers everywhere."""
    stack, step = FlatStack.of(sheet), 0
    for k in range(across - 1, 0, -1):
        step += 1
        x = sheet.width_mm * k / across
        stack = stack.fold((x, 0.0), (x, sheet.height_mm), step)
    for k in range(along - 1, 0, -1):
        step += 1
        y = sheet.height_mm * k / along
        stack = stack.fold((sheet.width_mm, y), (0.0, y), step)
    return stack, rectangle(0.0, 0.0, sheet.width_mm / across, sheet.height_mm / along)


def folded_in(sheet: Sheet, outline: Sequence[Point], groups: Iterable[Sequence[int]]) -> FlatStack:
    """Whatever sticks out of a convex outline folded in over its sides.

    Side k runs from corner k to corner k + 1. The sides of one group are folded in one step, group after group, once
    round; BadRequest when the sheet still sticks out then.
    """
    stack, step = FlatStack.of(sheet), 0
    for group in groups:
        folds = len(stack.creases)
        for k in group:
            stack = stack.fold(outline[k], outline[(k + 1) % len(outline)], step + 1)
        step += len(stack.creases) > folds
    if any(layer.split(p, q)[1] for layer in stack.layers for p, q in zip(outline, (*outline[1:], outline[0]), strict=True)):
        raise BadRequest(
            "the sheet sticks out too far to be folded in once",
            where="sheet",
            found=f"{sheet.width_mm:g} x {sheet.height_mm:g} mm",
            remedy="Take a sheet nearer to a square",
        )
    return stack
