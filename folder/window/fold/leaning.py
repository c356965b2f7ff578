"""A wall leaned by dragging its rim in the picture of the hull. No pygame.

grip   the wall in the hand, and the crease that is its line
lean   how far the wall leans out from upright
"""

from __future__ import annotations

import math

from msgspec import Struct, structs

from folder.draw.hull.marks.grip import WallGrip, grip_at, turn_toward
from folder.draw.hull.view import View
from folder.errors import BadRequest
from folder.findings import Point
from folder.studies import Study
from folder.window.editor import Editor, creases_moved
from folder.window.tools.walls.measures import lean_wall

STEP_RAD = math.radians(1.0)
UPRIGHT_RAD = math.radians(4.0)
"""Leaning by less than this the wall stands upright."""
MOST_RAD = math.radians(60.0)


class LeanGrip(Struct, frozen=True, eq=False):
    """A wall in the hand."""

    study: Study
    wall: WallGrip
    crease: int


def lean_grip(editor: Editor, view: View, place: Point, reach_mm: float) -> LeanGrip | None:
    """The wall whose rim is seen at a place in the picture of the hull at rest, mm; None where there is none that can be leaned."""
    known = editor.fresh
    study = known.study if known is not None else None
    if study is None or study.hull is None or editor.state.drag_pattern is not None or not study.folds:
        return None
    wall = grip_at(study.folded, study.hull.floor_faces, view, place, reach_mm)
    if wall is None:
        return None
    crease = int(study.faces.crease[wall.edge])
    try:
        lean_wall(study.pattern, crease, max(math.pi / 2.0 - wall.turn_rad, 0.0), editor.state.setting.mirrors)
    except BadRequest:
        return None
    return LeanGrip(study, wall, crease)


def lean_at(grip: LeanGrip, view: View, place: Point) -> float:
    """How far the wall leans with its rim dragged to a place in the picture, rad: whole degrees, upright where it nearly is."""
    lean = math.pi / 2.0 - turn_toward(grip.wall, grip.study.folded, view, place)
    lean = round(lean / STEP_RAD) * STEP_RAD
    return 0.0 if lean < UPRIGHT_RAD else min(lean, MOST_RAD)


def drag_lean(editor: Editor, grip: LeanGrip, lean_rad: float) -> None:
    """Show the hull with the wall leaning so far; the drawing itself is untouched."""
    before = grip.study.pattern
    try:
        shown = lean_wall(before, grip.crease, lean_rad, editor.state.setting.mirrors)
    except BadRequest as error:
        editor.say(str(error), "warn")
        return
    if shown == editor.pattern:
        return
    moved = creases_moved(before, shown)
    before_drag = editor.state.before_drag or editor.fresh
    editor.show(structs.replace(editor.state, drag_pattern=shown, moved_creases=moved, before_drag=before_drag))
    editor.changed()


def drop_lean(editor: Editor) -> None:
    """The hand lets go: the drawing is what was shown, as one change."""
    shown = editor.state.drag_pattern
    if shown is not None:
        editor.edit(lambda _: shown)
