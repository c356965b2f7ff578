"""Every command that has a name: its words, its keys. Buttons, keys and the page that lists them come from here.

The rows stand in the module of the page they belong to; those of the whole window stand here. All of it is below the views,
so that any button can name a command and show its tip.
"""

from __future__ import annotations

from functools import partial

from folder.window.commands import change, files, look
from folder.window.commands.command import Command
from folder.window.commands.files import unless_unsaved
from folder.window.compare.commands import COMPARE_COMMANDS
from folder.window.count.commands import COUNT_COMMANDS
from folder.window.editor import Editor
from folder.window.event.commands import EVENT_COMMANDS
from folder.window.float.commands import FLOAT_COMMANDS
from folder.window.fold.commands import FOLD_COMMANDS
from folder.window.help.commands import open_help, open_keys
from folder.window.objects.commands import OBJECT_COMMANDS
from folder.window.trials.commands import TRIAL_COMMANDS
from folder.window.view_state import PAGES, WORK_PAGES, PageName

SCALES = (1.0, 1.1, 1.25, 1.5, 1.75, 2.0)
DRAWING: tuple[PageName, ...] = tuple(page for page in WORK_PAGES if page != "event")
"""Where the drawing is what one works on: at an event nothing is undone, it is corrected."""
EVERYWHERE: tuple[PageName, ...] = ("start", *WORK_PAGES)


def scale_by(editor: Editor, step: int) -> None:
    """Larger or smaller letters and buttons."""
    now = min(range(len(SCALES)), key=lambda k: abs(SCALES[k] - editor.memory.scale))
    files.set_scale(editor, SCALES[min(max(now + step, 0), len(SCALES) - 1)])


def _open(editor: Editor) -> None:
    unless_unsaved(editor, partial(files.open_dialog, name="open"))


WINDOW_COMMANDS = (
    *(
        Command(f"page-{page}", words, (f"ctrl+{k}", f"{k}", *(("ctrl+p",) if page == "print" else ())), "Pages",
                partial(look.turn_to, page=page))
        for k, (page, words) in enumerate(PAGES.items(), 1)
    ),
    Command("new", "Empty sheet", ("ctrl+n",), "Files", lambda e: unless_unsaved(e, files.new_sheet), EVERYWHERE),
    Command("open", "Open", ("ctrl+o",), "Files", _open, EVERYWHERE),
    Command("save", "Save", ("ctrl+s",), "Files", files.save),
    Command("save-as", "Save under another name", ("ctrl+shift+s",), "Files", files.save_as),
    Command("start", "Start page", ("ctrl+w",), "Files", lambda e: unless_unsaved(e, files.to_start)),
    Command("quit", "Close the window", ("ctrl+q",), "Files", lambda e: unless_unsaved(e, files.quit_window), EVERYWHERE),
    Command("undo", "Undo", ("ctrl+z",), "Change", change.undo, DRAWING),
    Command("redo", "Redo", ("ctrl+y", "ctrl+shift+z"), "Change", change.redo, DRAWING),
    Command("larger", "Larger letters", ("ctrl++",), "Look", lambda e: scale_by(e, 1), EVERYWHERE),
    Command("smaller", "Smaller letters", ("ctrl+-",), "Look", lambda e: scale_by(e, -1), EVERYWHERE),
    Command("help", "Help", ("f1",), "Help", open_help, EVERYWHERE),
    Command("keys", "Every key: this page", ("ctrl+f1",), "Help", open_keys, EVERYWHERE),
)  # fmt: skip

ROWS = (
    *WINDOW_COMMANDS,
    *FOLD_COMMANDS,
    *FLOAT_COMMANDS,
    *COMPARE_COMMANDS,
    *EVENT_COMMANDS,
    *OBJECT_COMMANDS,
    *COUNT_COMMANDS,
    *TRIAL_COMMANDS,
)

COMMANDS: dict[str, Command] = {command.name: command for command in ROWS}
"""Every command by its name."""


def hears(page: PageName, command: Command, keys: str) -> bool:
    """Whether a command's keys are heard on a page. At an event bare letters and digits are numbers and names being typed."""
    typed = len(keys) == 1 and page == "event" and command.pages != ("event",)
    return page in command.pages and not typed
