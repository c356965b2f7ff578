"""The commands of the page Fold: tools, lines, how sheet and hull are looked at."""

from __future__ import annotations

import math
from functools import partial

from folder.window.commands import change, look
from folder.window.commands.command import Command
from folder.window.commands.look import KEY_TURN_RAD
from folder.window.fold.better.actions import go_home, make_better, walk
from folder.window.tools.tool import TOOLS, ToolName
from folder.window.tools.words import SENSE_WORDS, TOOL_WORDS
from folder.window.view_state import PageName

HERE: tuple[PageName, ...] = ("fold",)
SHEET = "On the sheet"
TOOL_KEYS: dict[ToolName, str] = {
    "wall": "w", "corner": "c", "hem": "h", "line": "i", "pick": "p", "long": "l", "square": "s", "angle": "a", "halve": "t",
    "beside": "b", "pinch": "n", "floor": "f",
}  # fmt: skip
SENSE_KEYS = {"valley": "v", "mountain": "m", "guide": "g", "cut": "x"}

FOLD_COMMANDS = (
    Command("delete", "Take away what is picked", ("delete", "backspace"), "Change", change.delete, HERE),
    Command("copy", "Copy the lines that are picked", ("ctrl+c",), "Change", change.copy, HERE),
    Command("cut", "Copy them and take them away", ("ctrl+x",), "Change", change.cut, HERE),
    Command("paste", "Paste what was copied", ("ctrl+v",), "Change", change.paste, HERE),
    Command("pick-all", "Pick all lines", ("ctrl+a",), "Change", change.pick_all, HERE),
    Command("alike", "Pick all lines like it", ("k",), "Change", change.pick_alike, HERE),
    Command("next-line", "Pick the next line", ("e",), "Change", change.pick_next, HERE),
    Command("mend", "Do the first remedy", ("f3",), "Change", change.mend_first, HERE),
    Command("next-finding", "Read the next finding", ("f2",), "Change", change.next_finding, HERE),
    Command("better", "Make this better, or stop looking", ("j",), "Change", make_better, HERE),
    Command("home", "Put down, unpick", ("escape",), "Tools", go_home, HERE),
    *(
        Command(f"tool-{name}", TOOL_WORDS[name][0], (TOOL_KEYS[name],), "Tools", partial(change.take_up_by_key, name=name), HERE)
        for name in TOOLS
    ),
    *(
        Command(f"sense-{sense}", SENSE_WORDS[sense][0], (SENSE_KEYS[sense],), "Lines",
                partial(change.set_sense, sense=sense), HERE)
        for sense in SENSE_WORDS
    ),
    Command("turn-90", "Fold by 90°", ("9",), "Lines", lambda e: change.set_turn(e, math.pi / 2), HERE),
    Command("turn-180", "Fold flat, 180°", ("8",), "Lines", lambda e: change.set_turn(e, math.pi), HERE),
    Command("all-round", "All round: mirrored or not", ("y",), "Lines", change.toggle_all_round, HERE),
    Command("more", "More: lines from lines, senses, sheet", ("z",), "Tools", change.toggle_more, HERE),
    Command("menu", "What can be done here", ("shift+f10",), SHEET, change.open_menu, HERE),
    Command("mirror", "Next mirror", ("r",), "Lines", change.next_mirrors, HERE),
    Command("grid", "Next grid", ("d",), "Lines", change.next_grid, HERE),
    Command("push-left", "Push to the left", ("alt+left",), "Lines", lambda e: change.nudge(e, (-1, 0)), HERE),
    Command("push-right", "Push to the right", ("alt+right",), "Lines", lambda e: change.nudge(e, (1, 0)), HERE),
    Command("push-up", "Push up", ("alt+up",), "Lines", lambda e: change.nudge(e, (0, 1)), HERE),
    Command("push-down", "Push down", ("alt+down",), "Lines", lambda e: change.nudge(e, (0, -1)), HERE),
    Command("turn-left", "Turn the hull left", ("ctrl+left",), "Look", lambda e: look.turn_camera(e, KEY_TURN_RAD, 0.0), HERE),
    Command("turn-right", "Turn the hull right", ("ctrl+right",), "Look", lambda e: look.turn_camera(e, -KEY_TURN_RAD, 0.0), HERE),
    Command("tip-up", "Look from higher", ("ctrl+up",), "Look", lambda e: look.turn_camera(e, 0.0, KEY_TURN_RAD), HERE),
    Command("tip-down", "Look from lower", ("ctrl+down",), "Look", lambda e: look.turn_camera(e, 0.0, -KEY_TURN_RAD), HERE),
    Command("usual", "Usual view of the hull", ("u",), "Look", look.usual_camera, HERE),
    Command("quarter-left", "A quarter turn to the left", ("comma",), "Look", lambda e: look.quarter_turn(e, 1), HERE),
    Command("quarter-right", "A quarter turn to the right", ("period",), "Look", lambda e: look.quarter_turn(e, -1), HERE),
    Command("play", "Play the folding, or pause", ("space",), "Steps", look.play, HERE),
    Command("step-back", "One step back", ("pageup",), "Steps", lambda e: walk(e, -1), HERE),
    Command("step-on", "One step on", ("pagedown",), "Steps", lambda e: walk(e, 1), HERE),
    Command("closer", "Closer", ("+",), SHEET, lambda e: look.zoom(e, 1.25), HERE),
    Command("further", "Further away", ("-",), SHEET, lambda e: look.zoom(e, 0.8), HERE),
    Command("whole", "The whole sheet", ("0",), SHEET, lambda e: look.look_through(e, None), HERE),
    Command("to-sheet", "Go to the sheet", ("f6",), SHEET, look.go_to_sheet, HERE),
)  # fmt: skip
