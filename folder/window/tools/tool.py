"""What a tool is, what it would do and what it did. No pygame.

tool     what is held, and what it has been given so far
pointer  where the pointer is on the sheet, how near counts as near, whether shift is down
context  the drawing, what is picked on it, and how new lines are to be
preview  what would come of a press now: shown before the press
result   what came of a press, a drag or a release: the tool from now on, the drawing, what is picked, a sentence

A drag gives a drawing that only shows; what counts is the drawing of the release.
"""

from __future__ import annotations

import math
from typing import Literal

from msgspec import Struct

from folder.errors import FolderError
from folder.findings import Point
from folder.pattern.construct import SheetLine
from folder.pattern.pattern import Crease, Pattern, Sense
from folder.window.tools.mirror import Mirrors
from folder.window.tools.snap import Snap, snap_place

ToolName = Literal[
    "wall", "corner", "hem", "line", "pick", "long", "square", "angle", "halve", "beside", "pinch", "floor"
]  # fmt: skip
FIRST_TOOLS: tuple[ToolName, ...] = ("wall", "corner", "hem", "line", "pick")
"""What a hand needs first, in words a child uses."""
MORE_TOOLS: tuple[ToolName, ...] = ("long", "square", "angle", "halve", "beside", "pinch", "floor")
TOOLS: tuple[ToolName, ...] = (*FIRST_TOOLS, *MORE_TOOLS)
SLIP_MM = 0.5
"""A drag shorter than this, or than what counts as near, is a press."""


class SheetPointer(Struct, frozen=True):
    """The pointer, or the place the arrow keys moved to."""

    at: Point
    near_mm: float = 2.0
    shift: bool = False


class Setting(Struct, frozen=True):
    """How new lines are to be, and what the pointer comes to rest on."""

    sense: Sense = "valley"
    turn_rad: float | None = math.pi / 2
    mirrors: Mirrors = "four"
    grid_mm: float = 5.0

    def crease(self, line: SheetLine) -> Crease:
        """A line as a crease."""
        turn = 0.0 if self.sense in ("cut", "guide") else self.turn_rad
        return Crease(line[0], line[1], self.sense, turn)


class ToolContext(Struct, frozen=True):
    """The drawing, what is picked, and the setting."""

    pattern: Pattern
    picked: frozenset[int] = frozenset()
    setting: Setting = Setting()
    drag_pattern: Pattern | None = None
    """The drawing as the drag that is going on shows it."""


class TypedLine(Struct, frozen=True):
    """What has been typed about the line being laid; None is left to the pointer. Angles in rad, lengths in mm."""

    length_mm: float | None = None
    angle_rad: float | None = None
    x_mm: float | None = None
    y_mm: float | None = None

    @property
    def anything(self) -> bool:
        """Whether something has been typed."""
        return self != TypedLine()


class DragState(Struct, frozen=True):
    """What a drag has hold of: a crease, its end, a box round several, a wall, or the rim that is to get a hem."""

    kind: Literal["move", "end", "box", "wall", "hem"]
    start: Point
    base: Pattern
    index: int = -1
    at_start: bool = False
    picked: frozenset[int] = frozenset()
    """What was picked before a box was drawn."""


class Tool(Struct, frozen=True):
    """What the pointer holds."""

    name: ToolName = "pick"
    points: tuple[Point, ...] = ()
    """Places given so far; with a line given, where it was pressed."""
    lines: tuple[SheetLine, ...] = ()
    by_hand: Point | None = None
    """Where the first place was pressed, before it came to rest."""
    typed: TypedLine = TypedLine()
    drag_state: DragState | None = None

    @property
    def busy(self) -> bool:
        """Whether it has been given something."""
        return bool(self.points or self.lines or self.drag_state)


class Preview(Struct, frozen=True):
    """What would come of a press now."""

    at: Point
    word: str
    firm: bool = False
    strokes: tuple[Crease, ...] = ()
    lit: tuple[SheetLine, ...] = ()
    box: SheetLine | None = None
    length_mm: float | None = None
    angle_rad: float | None = None
    tool: Literal["", "pinch", "floor"] = ""
    """A mark that would be set."""


class Correction(Struct, frozen=True):
    """What the program made of a line that a hand drew: shown for a moment."""

    drawn: SheetLine
    laid: SheetLine
    words: str


class ToolResult(Struct, frozen=True):
    """What came of it."""

    tool: Tool
    pattern: Pattern
    picked: frozenset[int] = frozenset()
    message: str = ""
    drag_pattern: Pattern | None = None
    """The drawing while the pointer still drags."""
    as_drawn: Pattern | None = None
    """The drawing with the line exactly as the hand drew it, where it has been corrected: one undo away."""
    correction: Correction | None = None


def pointer_place(tool: Tool, context: ToolContext, pointer: SheetPointer, start: Point | None = None) -> Snap:
    """Where the pointer comes to rest, with what was typed put in its place."""
    typed = tool.typed
    if pointer.shift and not typed.anything:
        return Snap(on_sheet(context.pattern, pointer.at), "exactly here")
    snap = snap_place(context.pattern, pointer.at, pointer.near_mm, context.setting.grid_mm, start=start)
    if not typed.anything:
        return snap
    x, y = snap.at
    x, y = x if typed.x_mm is None else typed.x_mm, y if typed.y_mm is None else typed.y_mm
    if start is not None and (typed.length_mm is not None or typed.angle_rad is not None):
        far = math.dist(start, (x, y)) if typed.length_mm is None else typed.length_mm
        turn = math.atan2(y - start[1], x - start[0]) if typed.angle_rad is None else typed.angle_rad
        x, y = start[0] + far * math.cos(turn), start[1] + far * math.sin(turn)
    return Snap((round(x, 9) + 0.0, round(y, 9) + 0.0), "as typed", firm=True)


def on_sheet(pattern: Pattern, at: Point) -> Point:
    """A place, or the one of the sheet nearest to it."""
    return (min(max(at[0], 0.0), pattern.sheet.width_mm), min(max(at[1], 0.0), pattern.sheet.height_mm))


def sentence(error: FolderError) -> str:
    """An error as a pupil reads it: what is wrong, and what to do."""
    what = f"{error.what[0].upper()}{error.what[1:]}"
    found = f" ({error.found})" if error.found and len(error.found) < 60 else ""
    return " ".join(part if part.endswith((".", "?", "!")) else f"{part}." for part in (what + found, error.remedy) if part)
