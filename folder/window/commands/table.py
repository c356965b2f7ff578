"""Every command that has a name: its words, its keys. Buttons, keys and the page that lists them come from here.

It stands below the views, so that any button can name a command and show its tip.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial

from msgspec import Struct

from folder.window.commands import change, files, look
from folder.window.commands.files import unless_unsaved
from folder.window.commands.look import KEY_TURN_RAD
from folder.window.editor import Editor
from folder.window.tools.tool import TOOLS, ToolName
from folder.window.tools.words import SENSE_WORDS, TOOL_WORDS

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

    @property
    def tip(self) -> str:
        """What a button for it says when the pointer rests on it."""
        return f"{self.words} ({keys_text(self.keys[0])})"


def keys_text(keys: str) -> str:
    """Keys as they are written for people: "ctrl+shift+s" as "Ctrl Shift S"."""
    sign = "+" if keys.endswith("+") else ""
    parts = [part for part in keys.removesuffix("+").split("+") if part]
    return " ".join([*(part.capitalize() if len(part) > 1 else part.upper() for part in parts), *([sign] if sign else [])])


def scale_by(editor: Editor, step: int) -> None:
    """Larger or smaller letters and buttons."""
    now = min(range(len(SCALES)), key=lambda k: abs(SCALES[k] - editor.memory.scale))
    files.set_scale(editor, SCALES[min(max(now + step, 0), len(SCALES) - 1)])


SHEET = "On the sheet"
TOOL_KEYS: dict[ToolName, str] = {
    "pick": "p", "line": "i", "long": "l", "square": "s", "angle": "a", "halve": "h", "beside": "b", "corner": "c",
    "pinch": "n", "floor": "f",
}  # fmt: skip
SENSE_KEYS = {"valley": "v", "mountain": "m", "guide": "g", "cut": "x"}


def _made() -> list[Command]:
    made = [
        Command("new", "Empty sheet", ("ctrl+n",), "Files", lambda d: unless_unsaved(d, files.new_sheet), True),
        Command("open", "Open", ("ctrl+o",), "Files", lambda d: unless_unsaved(d, partial(files.open_dialog, name="open")), True),
        Command("save", "Save", ("ctrl+s",), "Files", files.save),
        Command("save-as", "Save under another name", ("ctrl+shift+s",), "Files", files.save_as),
        Command("start", "Start page", ("ctrl+w",), "Files", lambda d: unless_unsaved(d, files.start_page)),
        Command("quit", "Close the window", ("ctrl+q",), "Files", lambda d: unless_unsaved(d, files.quit_window), True),
        Command("undo", "Undo", ("ctrl+z",), "Change", change.undo),
        Command("redo", "Redo", ("ctrl+y", "ctrl+shift+z"), "Change", change.redo),
        Command("delete", "Take away what is picked", ("delete", "backspace"), "Change", change.delete),
        Command("pick-all", "Pick all lines", ("ctrl+a",), "Change", change.pick_all),
        Command("alike", "Pick all lines like it", ("k",), "Change", change.pick_alike),
        Command("next-line", "Pick the next line", ("e",), "Change", change.pick_next),
        Command("mend", "Do the first remedy", ("f3",), "Change", change.mend_first),
        Command("next-finding", "Read the next finding", ("f2",), "Change", change.next_finding),
        Command("home", "Put down, unpick, home to the hull", ("escape",), "Tools", Editor.home),
        Command("hull", "The hull", ("1",), "Right half", lambda d: look.turn_to(d, "hull")),
        Command("water", "On the water", ("2",), "Right half", lambda d: look.turn_to(d, "water")),
        Command("compare", "Compare hulls", ("3",), "Right half", lambda d: look.turn_to(d, "compare")),
        Command("paper", "On paper", ("4", "ctrl+p"), "Right half", lambda d: look.turn_to(d, "paper")),
    ]
    made += [
        Command(f"tool-{name}", TOOL_WORDS[name][0], (TOOL_KEYS[name],), "Tools", partial(Editor.take_up, name=name))
        for name in TOOLS
    ]
    made += [
        Command(f"sense-{sense}", SENSE_WORDS[sense][0], (SENSE_KEYS[sense],), "Lines", partial(change.set_sense, sense=sense))
        for sense in SENSE_WORDS
    ]
    made += [
        Command("turn-90", "Fold by 90°", ("9",), "Lines", lambda d: change.set_turn(d, math.pi / 2)),
        Command("turn-180", "Fold flat, 180°", ("8",), "Lines", lambda d: change.set_turn(d, math.pi)),
        Command("mirror", "Next mirror", ("r",), "Lines", change.next_mirrors),
        Command("grid", "Next grid", ("d",), "Lines", change.next_grid),
        Command("push-left", "Push to the left", ("alt+left",), "Lines", lambda d: change.nudge(d, (-1, 0))),
        Command("push-right", "Push to the right", ("alt+right",), "Lines", lambda d: change.nudge(d, (1, 0))),
        Command("push-up", "Push up", ("alt+up",), "Lines", lambda d: change.nudge(d, (0, 1))),
        Command("push-down", "Push down", ("alt+down",), "Lines", lambda d: change.nudge(d, (0, -1))),
        Command("turn-left", "Turn the hull left", ("ctrl+left",), "Look", lambda d: look.turn_camera(d, KEY_TURN_RAD, 0.0)),
        Command("turn-right", "Turn the hull right", ("ctrl+right",), "Look", lambda d: look.turn_camera(d, -KEY_TURN_RAD, 0.0)),
        Command("tip-up", "Look from higher", ("ctrl+up",), "Look", lambda d: look.turn_camera(d, 0.0, KEY_TURN_RAD)),
        Command("tip-down", "Look from lower", ("ctrl+down",), "Look", lambda d: look.turn_camera(d, 0.0, -KEY_TURN_RAD)),
        Command("usual", "Usual view of the hull", ("u",), "Look", look.usual_camera),
        Command("unfold", "Unfold a little", ("q",), "Look", lambda d: look.fold_to(d, d.state.share - 0.05)),
        Command("fold", "Fold a little", ("w",), "Look", lambda d: look.fold_to(d, d.state.share + 0.05)),
        Command("step-back", "Step before", ("pageup",), "Look", lambda d: look.step_by(d, -1)),
        Command("step-on", "Next step", ("pagedown",), "Look", lambda d: look.step_by(d, 1)),
        Command("closer", "Closer", ("+",), SHEET, lambda d: look.zoom(d, 1.25)),
        Command("further", "Further away", ("-",), SHEET, lambda d: look.zoom(d, 0.8)),
        Command("whole", "The whole sheet", ("0",), SHEET, lambda d: look.look_through(d, None)),
        Command("to-sheet", "Go to the sheet", ("f6",), SHEET, look.go_to_sheet),
        Command("larger", "Larger letters", ("ctrl++",), "Look", lambda d: scale_by(d, 1), True),
        Command("smaller", "Smaller letters", ("ctrl+-",), "Look", lambda d: scale_by(d, -1), True),
        Command("keys", "This page", ("f1",), "Look", lambda d: files.open_dialog(d, "keys"), True),
    ]
    return made


COMMANDS: dict[str, Command] = {command.name: command for command in _made()}
"""Every command by its name."""
