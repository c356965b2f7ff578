"""Changes of the drawing by a press of a button or a key, of what is picked, and of how new lines are to be."""

from __future__ import annotations

from msgspec.structs import replace

from folder.findings import Point, Remedy
from folder.pattern import edit
from folder.pattern.pattern import Pattern, Sense, Sheet
from folder.search.mend import StudiedRemedy
from folder.window.document import Document
from folder.window.editor import Editor
from folder.window.tools.mirror import MIRRORS, Mirrors
from folder.window.tools.slide import hangs_together, slide
from folder.window.tools.tool import Tool, ToolName, TypedLine
from folder.window.tools.walls.measures import lean_walls, on_sheet_of, picked_walls, push_walls, raise_walls, take_walls_away
from folder.window.tools.words import GRIDS

PASTED_MM = 5.0
"""How far aside pasted lines lie, so that they are seen."""


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


def set_typed(editor: Editor, typed: TypedLine) -> None:
    """What has been typed about the line being laid."""
    editor.show(replace(editor.state, tool=replace(editor.state.tool, typed=typed)))


def delete(editor: Editor) -> None:
    """Take what is picked away: of a wall its corners too, so that the rest still folds."""
    picked = editor.document.picked
    if picked:
        editor.edit(lambda p: take_walls_away(p, picked) or edit.drop(p, picked), frozenset())


def copy(editor: Editor) -> None:
    """Copy the lines that are picked."""
    if editor.document.picked:
        editor.show(replace(editor.state, clip=editor.picked_creases))
        editor.say("Copied. Paste with Ctrl V.")


def cut(editor: Editor) -> None:
    """Copy the lines that are picked, and take them away."""
    if editor.document.picked:
        copy(editor)
        editor.edit(lambda p: edit.drop(p, editor.document.picked), frozenset())


def paste(editor: Editor) -> None:
    """Lay the lines that were copied a little aside, or where the menu is open, and pick them."""
    lines = editor.state.clip
    if not lines:
        editor.say("Nothing is copied yet: pick lines first, then Ctrl C.")
        return
    pattern, at = editor.document.pattern, editor.state.menu
    xs, ys = zip(*(p for c in lines for p in (c.start, c.end)), strict=True)
    by = (PASTED_MM, PASTED_MM)
    if at is not None:
        by = (at[0] - (min(xs) + max(xs)) / 2.0, at[1] - (min(ys) + max(ys)) / 2.0)
    # What would lie outside the sheet is pushed back onto it, as far as it fits.
    room = (pattern.sheet.width_mm, pattern.sheet.height_mm)
    dx, dy = (min(max(b, -min(vs)), max(most - max(vs), -min(vs))) for b, vs, most in zip(by, (xs, ys), room, strict=True))
    moved = tuple(replace(c, start=(c.start[0] + dx, c.start[1] + dy), end=(c.end[0] + dx, c.end[1] + dy)) for c in lines)
    first = len(pattern.creases)
    editor.show(replace(editor.state, tool=Tool(), clip=moved, menu=None))
    editor.edit(lambda p: edit.lay(p, moved), frozenset(range(first, first + len(moved))))


def take_up_by_key(editor: Editor, name: ToolName) -> None:
    """Take up a tool; the wall's height can be typed at once."""
    editor.take_up(name)
    if name == "wall":
        editor.focus_request = "wall/high"


def toggle_all_round(editor: Editor) -> None:
    """All round, or this side alone."""
    set_mirrors(editor, "none" if editor.state.setting.mirrors != "none" else "four")


def toggle_more(editor: Editor) -> None:
    """Show what stands under "More", or put it away."""
    editor.show(replace(editor.state, more=not editor.state.more))


def open_menu(editor: Editor) -> None:
    """What can be done where the pointer is."""
    pointer = editor.state.pointer
    if pointer is not None:
        editor.show(replace(editor.state, menu=pointer.at))


def raise_to(editor: Editor, height_mm: float) -> None:
    """The walls that are picked, or all, at a height; on an empty sheet walls all round."""
    picked, mirrors = editor.document.picked, editor.state.setting.mirrors
    editor.edit(lambda p: raise_walls(p, height_mm, _walls_in(p, picked), mirrors))


def lean_to(editor: Editor, lean_rad: float) -> None:
    """The walls that are picked, or all, lean out by an angle from upright."""
    picked, mirrors = editor.document.picked, editor.state.setting.mirrors
    editor.edit(lambda p: lean_walls(p, lean_rad, _walls_in(p, picked), mirrors))


def set_sheet(editor: Editor, sheet: Sheet) -> None:
    """Another size or thickness of foil. Walls keep their height; other lines keep their place in proportion."""
    editor.edit(lambda p: on_sheet_of(p, sheet), frozenset())


def _walls_in(pattern: Pattern, picked: frozenset[int]) -> frozenset[int]:
    """What is picked, if it is walls."""
    return picked if picked_walls(pattern, picked) else frozenset()


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
    if len(picked) == 1 and picked_walls(editor.document.pattern, picked):
        editor.edit(lambda p: push_walls(p, picked, by, setting.mirrors))
    elif len(picked) == 1 and hangs_together(editor.document.pattern, min(picked)):
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
        editor.say(findings[index].text, findings[index].level)


def mend(editor: Editor, remedy: Remedy) -> None:
    """Carry out a remedy."""
    point_at_finding(editor, None)
    editor.edit(lambda p: edit.apply_remedy(p, remedy), frozenset())
    editor.say(f"Done: {remedy.text[0].lower()}{remedy.text[1:]}", "good")


def take_remedy(editor: Editor, remedy: StudiedRemedy) -> None:
    """Change the drawing as a remedy for the whole of it says."""
    point_at_finding(editor, None)
    editor.edit(lambda _: remedy.pattern, frozenset())
    editor.say(f"Done: {remedy.text[0].lower()}{remedy.text[1:]}", "good")


def mend_first(editor: Editor) -> None:
    """Take the best remedy for the whole drawing; else that of the finding that is pointed at, or the first there is."""
    if editor.offers:
        take_remedy(editor, editor.offers[0].remedy)
        return
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
