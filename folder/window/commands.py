"""Every command: its name, its words, its keys. Buttons, keys and the page that lists them come from here."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial

from msgspec import Struct
from msgspec.structs import replace

from folder.draw.hull.solid import View
from folder.findings import Point
from folder.pattern import edit
from folder.pattern.pattern import Sense
from folder.window.document import EMPTY
from folder.window.editor import Editor
from folder.window.fold.hull_view import KEY_TURN_RAD, fold_to, turn_view
from folder.window.fold.palette import GRIDS, NAMES, SENSE_WORDS
from folder.window.fold.strip_view import go
from folder.window.tools.mirror import MIRRORS
from folder.window.tools.slide import hangs_together, slide
from folder.window.tools.tool import TOOLS, Tool, ToolName

SCALES = (1.0, 1.1, 1.25, 1.5, 1.75, 2.0)


class Command(Struct, frozen=True):
    """Something that can be done, with its keys. `group` is its heading on the page of keys."""

    name: str
    words: str
    keys: tuple[str, ...]
    group: str
    do: Callable[[Editor], None]
    everywhere: bool = False
    """Also on the start page."""


def start_page(editor: Editor) -> None:
    """To the start page."""
    editor.page, editor.dialog = "start", ""


def new_sheet(editor: Editor) -> None:
    """An empty sheet."""
    editor.begin(EMPTY)
    editor.take_up("long")


def _ask_open(editor: Editor) -> None:
    editor.dialog = "open"


def save(editor: Editor) -> None:
    """Save to the file it came from, or ask where."""
    if editor.page != "sheet":
        return
    if editor.document.path is None:
        editor.dialog = "save"
    else:
        said = editor.save_file(editor.document.path)
        if said:
            editor.say(said, "stop")


def _save_as(editor: Editor) -> None:
    if editor.page == "sheet":
        editor.dialog = "save"


def quit_window(editor: Editor) -> None:
    """Close the window."""
    editor.is_closing = True


def scale_by(editor: Editor, step: int) -> None:
    """Larger or smaller letters and buttons."""
    now = min(range(len(SCALES)), key=lambda k: abs(SCALES[k] - editor.memory.scale))
    editor.memory.scale = SCALES[min(max(now + step, 0), len(SCALES) - 1)]


def _take_up(name: ToolName, editor: Editor) -> None:
    editor.take_up(name)


def _set_sense(sense: Sense, editor: Editor) -> None:
    editor.set_sense(sense)


def _mirror_on(editor: Editor) -> None:
    after = (MIRRORS.index(editor.setting.mirrors) + 1) % len(MIRRORS)
    editor.setting = replace(editor.setting, mirrors=MIRRORS[after])


def _grid_on(editor: Editor) -> None:
    grids = [float(g) for g in GRIDS]
    after = (grids.index(editor.setting.grid_mm) + 1) % len(grids) if editor.setting.grid_mm in grids else 0
    editor.setting = replace(editor.setting, grid_mm=grids[after])


def _next_line(editor: Editor) -> None:
    count = len(editor.document.pattern.creases)
    if count:
        now = max(editor.document.picked, default=-1)
        editor.tool = Tool()
        editor.document = editor.document.picking(frozenset({(now + 1) % count}))


def nudge(editor: Editor, by: Point) -> None:
    """Push what is picked by one step of the grid."""
    picked, step = editor.document.picked, editor.setting.grid_mm or 1.0
    by = (by[0] * step, by[1] * step)
    if len(picked) == 1 and hangs_together(editor.document.pattern, min(picked)):
        editor.edit(lambda p: slide(p, min(picked), by, editor.setting.mirrors))
    elif picked:
        editor.edit(lambda p: edit.move_creases(p, picked, by))


def _next_finding(editor: Editor) -> None:
    if editor.findings:
        editor.finding = 0 if editor.finding is None else (editor.finding + 1) % len(editor.findings)
        finding = editor.findings[editor.finding]
        editor.say(f"{editor.finding + 1}. {finding.text}", finding.level)


def _mend(editor: Editor) -> None:
    found = [f for f in editor.findings if f.remedy is not None]
    chosen = editor.findings[editor.finding] if editor.finding is not None and editor.finding < len(editor.findings) else None
    finding = chosen if chosen is not None and chosen.remedy is not None else next(iter(found), None)
    if finding is not None and finding.remedy is not None and editor.fresh is not None:
        editor.mend(finding.remedy)
    else:
        editor.say("There is nothing here that could be mended with one press.")


TOOL_KEYS: dict[ToolName, str] = {
    "pick": "p", "line": "i", "long": "l", "square": "s", "angle": "a", "halve": "h", "beside": "b", "corner": "c",
    "pinch": "n", "floor": "f",
}  # fmt: skip
SENSE_KEYS = {"valley": "v", "mountain": "m", "guide": "g", "cut": "x"}


def _made() -> list[Command]:
    made = [
        Command("new", "Empty sheet", ("ctrl+n",), "Files", lambda d: d.unless_unsaved(new_sheet), True),
        Command("open", "Open", ("ctrl+o",), "Files", lambda d: d.unless_unsaved(_ask_open), True),
        Command("save", "Save", ("ctrl+s",), "Files", save),
        Command("save-as", "Save under another name", ("ctrl+shift+s",), "Files", _save_as),
        Command("start", "Start page", ("ctrl+w",), "Files", lambda d: d.unless_unsaved(start_page)),
        Command("quit", "Close the window", ("ctrl+q",), "Files", lambda d: d.unless_unsaved(quit_window), True),
        Command("undo", "Undo", ("ctrl+z",), "Change", Editor.undo),
        Command("redo", "Redo", ("ctrl+y", "ctrl+shift+z"), "Change", Editor.redo),
        Command("delete", "Take away what is picked", ("delete", "backspace"), "Change", Editor.delete),
        Command("pick-all", "Pick all lines", ("ctrl+a",), "Change", Editor.pick_all),
        Command("alike", "Pick all lines like it", ("k",), "Change", Editor.alike),
        Command("next-line", "Pick the next line", ("e",), "Change", _next_line),
        Command("mend", "Do the first remedy", ("f3",), "Change", _mend),
        Command("next-finding", "Read the next finding", ("f2",), "Change", _next_finding),
        Command("home", "Put down, unpick, home to the hull", ("escape",), "Tools", Editor.home),
        Command("hull", "The hull", ("1",), "Right half", lambda d: d.turn_to("hull")),
        Command("water", "On the water", ("2",), "Right half", lambda d: d.turn_to("water")),
        Command("compare", "Compare hulls", ("3",), "Right half", lambda d: d.turn_to("compare")),
        Command("paper", "On paper", ("4", "ctrl+p"), "Right half", lambda d: d.turn_to("paper")),
    ]
    made += [
        Command(f"tool-{name}", NAMES[name][0], (TOOL_KEYS[name],), "Tools", partial(_take_up, name)) for name in TOOLS
    ]
    made += [
        Command(f"sense-{sense}", SENSE_WORDS[sense][0], (SENSE_KEYS[sense],), "Lines", partial(_set_sense, sense))
        for sense in SENSE_WORDS
    ]
    made += [
        Command("turn-90", "Fold by 90°", ("9",), "Lines", lambda d: d.set_turn(math.pi / 2)),
        Command("turn-180", "Fold flat, 180°", ("8",), "Lines", lambda d: d.set_turn(math.pi)),
        Command("mirror", "Next mirror", ("r",), "Lines", _mirror_on),
        Command("grid", "Next grid", ("d",), "Lines", _grid_on),
        Command("push-left", "Push to the left", ("alt+left",), "Lines", lambda d: nudge(d, (-1, 0))),
        Command("push-right", "Push to the right", ("alt+right",), "Lines", lambda d: nudge(d, (1, 0))),
        Command("push-up", "Push up", ("alt+up",), "Lines", lambda d: nudge(d, (0, 1))),
        Command("push-down", "Push down", ("alt+down",), "Lines", lambda d: nudge(d, (0, -1))),
        Command("turn-left", "Turn the hull left", ("ctrl+left",), "Look", lambda d: turn_view(d, KEY_TURN_RAD, 0.0)),
        Command("turn-right", "Turn the hull right", ("ctrl+right",), "Look", lambda d: turn_view(d, -KEY_TURN_RAD, 0.0)),
        Command("tip-up", "Look from higher", ("ctrl+up",), "Look", lambda d: turn_view(d, 0.0, KEY_TURN_RAD)),
        Command("tip-down", "Look from lower", ("ctrl+down",), "Look", lambda d: turn_view(d, 0.0, -KEY_TURN_RAD)),
        Command("usual", "Usual view of the hull", ("u",), "Look", lambda d: setattr(d, "view", View())),
        Command("unfold", "Unfold a little", ("q",), "Look", lambda d: fold_to(d, d.share - 0.05)),
        Command("fold", "Fold a little", ("w",), "Look", lambda d: fold_to(d, d.share + 0.05)),
        Command("step-back", "Step before", ("pageup",), "Look", lambda d: go(d, -1)),
        Command("step-on", "Next step", ("pagedown",), "Look", lambda d: go(d, 1)),
        Command("larger", "Larger letters", ("ctrl++",), "Look", lambda d: scale_by(d, 1), True),
        Command("smaller", "Smaller letters", ("ctrl+-",), "Look", lambda d: scale_by(d, -1), True),
        Command("keys", "This page", ("f1",), "Look", lambda d: setattr(d, "dialog", "keys"), True),
    ]
    return made


COMMANDS: dict[str, Command] = {command.name: command for command in _made()}
"""Every command by its name. Looking closer, further off and at the whole sheet (+ - 0) belong to the sheet itself."""
