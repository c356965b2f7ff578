"""What can be done at a place on the sheet: the menu of a right click, a long press or a key. The rows need no pygame."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import partial

from msgspec import Struct
from msgspec.structs import replace

from folder.findings import Point
from folder.pattern import edit
from folder.pattern.families.prefold import SIDES
from folder.pattern.pattern import Pattern, Sense
from folder.pattern.walls.plan import SQUARE_RAD
from folder.pattern.walls.reading import PlanReading, wall_crease
from folder.window.commands import change, look
from folder.window.editor import Editor
from folder.window.fold.better.actions import make_better
from folder.window.tools.corner_folds import CORNER_NEAR_MM, corners_folded
from folder.window.tools.snap import creases_near
from folder.window.tools.tool import Tool
from folder.window.tools.walls.hemming import USUAL_HEM_MM, hem_rim
from folder.window.tools.walls.measures import lean_wall
from folder.window.tools.walls.plans import kept_plan, plan_of, walls_raised
from folder.window.tools.walls.walling import inward_mm

NEAR_MM = 4.0
LEAN_RAD = math.radians(15.0)
USUAL_WALL_MM = 25.0
MOST_ROWS = 8


class MenuRow(Struct, frozen=True):
    """One thing to do."""

    key: str
    words: str
    do: Callable[[Editor], None]


def menu_rows(editor: Editor, at: Point) -> tuple[MenuRow, ...]:
    """What can be done at a place, the nearest thing first."""
    pattern = editor.document.pattern
    near = editor.state.pointer.near_mm if editor.state.pointer is not None else NEAR_MM
    reading = kept_plan(pattern)
    wall = reading.wall_at(at, near) if reading is not None and reading.known else None
    lines = creases_near(pattern, at, near)
    rows: list[MenuRow] = []
    if reading is not None and wall is not None:
        rows += _wall_rows(editor, reading, wall)
    elif lines:
        rows += _line_rows(pattern, lines[0])
    if reading is not None:
        rows += _rim_rows(editor, reading, at, near)
    rows += _place_rows(editor, at)
    return tuple(rows[:MOST_ROWS])


def _edit(change_to: Callable[[Pattern], Pattern]) -> Callable[[Editor], None]:
    return lambda editor: editor.edit(change_to, frozenset())


def _wall_rows(editor: Editor, reading: PlanReading, k: int) -> Iterator[MenuRow]:
    index = wall_crease(reading.pattern, reading.plan.walls[k])
    if index is None:
        return
    lean, mirrors = SQUARE_RAD - reading.plan.walls[k].turn_rad, editor.state.setting.mirrors
    if lean < math.radians(45.0):
        yield MenuRow("lean", "Lean the wall out", _edit(lambda p: lean_wall(p, index, lean + LEAN_RAD, mirrors)))
    if lean > 1e-6:
        yield MenuRow("upright", "Stand the wall upright", _edit(lambda p: lean_wall(p, index, 0.0, mirrors)))
    yield MenuRow("wall-away", "Take this wall away", partial(_with_picked, index=index, do=change.delete))


def _line_rows(pattern: Pattern, index: int) -> Iterator[MenuRow]:
    crease = pattern.creases[index]
    if crease.sense in ("valley", "mountain"):
        other: Sense = "mountain" if crease.sense == "valley" else "valley"
        words = "Fold it away from you" if other == "mountain" else "Fold it toward you"
        yield MenuRow("other-way", words, _edit(lambda p: edit.change(p, [index], sense=other)))
        flat = crease.turn_rad is not None and crease.turn_rad > 3.0
        words, turn = ("Fold it to 90°", SQUARE_RAD) if flat else ("Fold it flat, 180°", math.pi)
        yield MenuRow("turn", words, _edit(lambda p: edit.change(p, [index], turn_rad=turn)))
    yield MenuRow("line-away", "Take this line away", _edit(lambda p: edit.drop(p, [index])))
    yield MenuRow("copy", "Copy this line", partial(_with_picked, index=index, do=change.copy))


def _with_picked(editor: Editor, index: int, do: Callable[[Editor], None]) -> None:
    editor.show(replace(editor.state, tool=Tool()))
    editor.pick(frozenset({index}))
    do(editor)


def _rim_rows(editor: Editor, reading: PlanReading, at: Point, near: float) -> Iterator[MenuRow]:
    gap, side = min((abs(inward_mm(reading.pattern, side, at)), side) for side in range(4))
    mirrors = editor.state.setting.mirrors
    if gap > near + reading.plan.hem_mm:
        return
    if not reading.plan.walls:
        yield MenuRow(
            "wall", "Raise a wall here",
            _edit(lambda p: plan_of(p).redrawn(walls_raised(plan_of(p).plan, side, USUAL_WALL_MM, mirrors)[0])),
        )  # fmt: skip
    has_one = SIDES[side] in reading.plan.hem_sides
    words, depth = ("Take the hem away", 0.0) if has_one else ("Hem this rim", reading.plan.hem_mm or USUAL_HEM_MM)
    yield MenuRow("hem", words, _edit(lambda p: hem_rim(p, depth, side, mirrors)))


def _place_rows(editor: Editor, at: Point) -> Iterator[MenuRow]:
    pattern, mirrors = editor.document.pattern, editor.state.setting.mirrors
    reading = kept_plan(pattern)
    if reading is not None and reading.plan.walls:
        corners, owners = reading.plan.floor
        met = [p for k, p in enumerate(corners) if owners[k] is not None and owners[k - 1] is not None]
        if min((math.dist(p, at) for p in met), default=math.inf) <= CORNER_NEAR_MM / 2.0:
            yield MenuRow("corner", "Fold the corner to this wall", _edit(lambda p: corners_folded(p, at, mirrors)[0]))
    if editor.state.clip:
        yield MenuRow("paste", "Paste here", change.paste)
    if reading is None and math.dist(at, pattern.floor_at) > CORNER_NEAR_MM:
        yield MenuRow("floor", "This part is the floor", _edit(lambda p: edit.name_floor(p, at)))
    if pattern.creases and editor.state.better.of is None:
        yield MenuRow("better", "Make this better", make_better)
    if editor.document.past:
        yield MenuRow("undo", "Undo", change.undo)
    yield MenuRow("whole", "See the whole sheet", lambda e: look.look_through(e, None))
