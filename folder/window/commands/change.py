"""Changes of the drawing by a press of a button or a key, of what is picked, and of how new lines are to be."""

from __future__ import annotations

from msgspec.structs import replace

from folder.findings import Point, Remedy
from folder.pattern import edit
from folder.pattern.pattern import Sense
from folder.window.document import Document
from folder.window.editor import Editor
from folder.window.tools.mirror import MIRRORS, Mirrors
from folder.window.tools.slide import hangs_together, slide
from folder.window.tools.tool import Tool, Typed
from folder.window.tools.words import GRIDS


def set_sense(editor: Editor, sense: Sense) -> None:
    """New lines, or what is picked, fold this way."""
    picked, setting = editor.document.picked, editor.state.setting
    if picked:
        turned = sense in ("valley", "mountain")
        creases = editor.document.pattern.creases
        flat = [i for i in picked if turned and creases[i].sense in ("cut", "guide")]
        half = setting.turn_rad
        editor.edit(lambda p: edit.change(edit.change(p, picked, sense=sense), flat, turn_rad=half, free=half is None))
    else:
        editor.show(replace(editor.state, setting=replace(setting, sense=sense)))


def set_turn(editor: Editor, turn_rad: float | None) -> None:
    """New lines, or what is picked, fold this far; None leaves it to be worked out."""
    picked, setting = editor.document.picked, editor.state.setting
    if picked:
        editor.edit(lambda p: edit.change(p, picked, turn_rad=turn_rad, free=turn_rad is None))
    else:
        editor.show(replace(editor.state, setting=replace(setting, turn_rad=turn_rad)))


def set_mirrors(editor: Editor, mirrors: Mirrors) -> None:
    """New lines get these mirror images."""
    editor.show(replace(editor.state, setting=replace(editor.state.setting, mirrors=mirrors)))


def set_grid(editor: Editor, grid_mm: float) -> None:
    """Lines come to rest on this grid; 0 for none."""
    editor.show(replace(editor.state, setting=replace(editor.state.setting, grid_mm=grid_mm)))


def next_mirrors(editor: Editor) -> None:
    """The next mirror in the row."""
    set_mirrors(editor, MIRRORS[(MIRRORS.index(editor.state.setting.mirrors) + 1) % len(MIRRORS)])


def next_grid(editor: Editor) -> None:
    """The next grid in the row."""
    grids, now = [float(g) for g in GRIDS], editor.state.setting.grid_mm
    set_grid(editor, grids[(grids.index(now) + 1) % len(grids)] if now in grids else grids[0])


def set_typed(editor: Editor, typed: Typed) -> None:
    """What has been typed about the line being laid."""
    editor.show(replace(editor.state, tool=replace(editor.state.tool, typed=typed)))


def delete(editor: Editor) -> None:
    """Take what is picked away."""
    picked = editor.document.picked
    if picked:
        editor.edit(lambda p: edit.drop(p, picked), frozenset())


def pick_alike(editor: Editor) -> None:
    """Pick all that is like what is picked."""
    editor.pick(frozenset(j for i in editor.document.picked for j in edit.alike(editor.document.pattern, i)))


def pick_all(editor: Editor) -> None:
    """Pick every line."""
    editor.show(replace(editor.state, tool=Tool()))
    editor.pick(frozenset(range(len(editor.document.pattern.creases))))


def pick_next(editor: Editor) -> None:
    """Pick the next line."""
    count = len(editor.document.pattern.creases)
    if count:
        editor.show(replace(editor.state, tool=Tool()))
        editor.pick(frozenset({(max(editor.document.picked, default=-1) + 1) % count}))


def nudge(editor: Editor, by: Point) -> None:
    """Push what is picked by one step of the grid."""
    picked, setting = editor.document.picked, editor.state.setting
    step = setting.grid_mm or 1.0
    by = (by[0] * step, by[1] * step)
    if len(picked) == 1 and hangs_together(editor.document.pattern, min(picked)):
        editor.edit(lambda p: slide(p, min(picked), by, setting.mirrors))
    elif picked:
        editor.edit(lambda p: edit.move_creases(p, picked, by))


def point_at_finding(editor: Editor, index: int | None) -> None:
    """Show a finding in numbers and its places on the sheet; None points at none."""
    editor.show(replace(editor.state, finding=index))


def next_finding(editor: Editor) -> None:
    """Read out the next finding."""
    findings, now = editor.findings, editor.state.finding
    if findings:
        index = 0 if now is None else (now + 1) % len(findings)
        point_at_finding(editor, index)
        editor.say(f"{index + 1}. {findings[index].text}", findings[index].level)


def mend(editor: Editor, remedy: Remedy) -> None:
    """Carry out a remedy."""
    point_at_finding(editor, None)
    editor.edit(lambda p: edit.apply_remedy(p, remedy), frozenset())
    editor.say(f"Done: {remedy.text[0].lower()}{remedy.text[1:]}", "good")


def mend_first(editor: Editor) -> None:
    """Carry out the remedy of the finding that is pointed at, else the first there is."""
    findings, now = editor.findings, editor.state.finding
    pointed = [findings[now]] if now is not None and now < len(findings) else []
    remedies = [f.remedy for f in (*pointed, *findings) if f.remedy is not None]
    if remedies and editor.fresh is not None:
        mend(editor, remedies[0])
    else:
        editor.say("There is nothing here that could be mended with one press.")


def undo(editor: Editor) -> None:
    """One change back."""
    _go_to(editor, editor.document.undone())


def redo(editor: Editor) -> None:
    """One change forward again."""
    _go_to(editor, editor.document.redone())


def _go_to(editor: Editor, document: Document) -> None:
    editor.show(replace(editor.state, tool=Tool(editor.state.tool.name)))
    editor.put(document)
