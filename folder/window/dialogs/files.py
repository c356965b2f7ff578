"""Open, and save under a name: directories and pattern files, in the window itself."""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from pathlib import Path

from msgspec import Struct, field
from msgspec.structs import replace

from folder.window import theme
from folder.window.commands import files
from folder.window.editor import Editor
from folder.window.print.commands import set_printing
from folder.window.widgets import Column, Pane, Ui, button, dialog, label, notice, table, text_field

MOST_SHOWN = 2000


class _Looking(Struct):
    """Where the dialog looks, and what it found there."""

    directory: Path
    entries: list[Path] = field(default_factory=list)
    picked: int | None = None
    name: str = ""
    problem: str = ""
    over: Path | None = None
    """The file that would be written over, when that has been asked."""
    endings: tuple[str, ...] = (".json",)
    """Files that end so are looked for; none: directories alone."""
    word: str = "pattern"
    """What such a file is."""

    def to(self, directory: Path) -> None:
        """Look at another directory; one that cannot be read is said."""
        try:
            found = [p for p in directory.iterdir() if not p.name.startswith(".")]
            kept = [p for p in found if p.is_dir() or p.suffix.lower() in self.endings]
        except OSError as error:
            self.problem = f"“{directory.name}” cannot be looked into: {error.strerror or error}."
            return
        kept.sort(key=lambda p: (not p.is_dir(), p.name.lower()))
        self.directory, self.entries, self.picked, self.problem, self.over = directory, kept[:MOST_SHOWN], None, "", None


def _looking(editor: Editor) -> _Looking:
    here = editor.document.path.parent if editor.document.path is not None else None
    last = Path(editor.memory.recent[0]).parent if editor.memory.recent else None
    looking = _Looking(Path.home())
    for directory in (here, last, Path.home(), Path.cwd()):
        if directory is not None and os.path.isdir(directory):  # not Path.is_dir: it raises where it may not look
            looking.to(directory)
            if not looking.problem:
                break
    looking.name = editor.document.path.name if editor.document.path is not None else file_name(editor.document.pattern.name)
    return looking


def file_name(name: str) -> str:
    """A pattern's name as the name of a file."""
    return (re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:60] or "my-hull") + ".json"


def open_page(ui: Ui, editor: Editor) -> None:
    """Choose a file to open."""
    looking = ui.memory("open/looking", lambda: _looking(editor))
    with dialog(ui, "open-page", "Open a pattern", 720, 560, first="open/list") as card:
        foot, rest = card.inside.cut_bottom(theme.PRESS_H, 10)
        rest = _problem(ui, rest, looking)
        opened = _list(ui, "open", rest, looking)
        closing, opening = foot.cut_right(270)[0].columns(2, 10)
        picked = looking.entries[looking.picked] if looking.picked is not None else None
        pressed = button(ui, "open/open", opening, "Open", icon="open", rank="main", enabled=picked is not None)
        if picked is not None and (opened or pressed):
            if picked.is_dir():
                looking.to(picked)
            else:
                looking.problem = files.open_file(editor, picked)
        if button(ui, "open/cancel", closing, "Cancel") or card.closed:
            files.close_dialog(editor)


def any_file_page(
    ui: Ui, editor: Editor, title: str, word: str, endings: tuple[str, ...], beside: Path | None, take: Callable[[Path], str]
) -> None:
    """Choose a file of another kind. `take` does something with it, or gives a sentence on why it cannot."""

    def begin() -> _Looking:
        looking = _looking(editor)
        looking.endings, looking.word = endings, word
        looking.to(beside if beside is not None and beside.is_dir() else looking.directory)
        return looking

    looking = ui.memory("any/looking", begin)
    with dialog(ui, "any-page", title, 720, 560, first="any/list") as card:
        foot, rest = card.inside.cut_bottom(theme.PRESS_H, 10)
        rest = _problem(ui, rest, looking)
        opened = _list(ui, "any", rest, looking, f"There is no {word} here.")
        closing, opening = foot.cut_right(270)[0].columns(2, 10)
        picked = looking.entries[looking.picked] if looking.picked is not None else None
        pressed = button(ui, "any/open", opening, "Take it", icon="open", rank="main", enabled=picked is not None)
        if picked is not None and (opened or pressed):
            if picked.is_dir():
                looking.to(picked)
            else:
                looking.problem = take(picked)
                if not looking.problem:
                    files.close_dialog(editor)
        if button(ui, "any/cancel", closing, "Cancel") or card.closed:
            files.close_dialog(editor)


def save_page(ui: Ui, editor: Editor) -> None:
    """Choose where to save."""
    looking = ui.memory("save/looking", lambda: _looking(editor))
    with dialog(ui, "save-page", "Save your hull", 720, 560, default="save/save", first="save/name") as card:
        foot, rest = card.inside.cut_bottom(theme.PRESS_H, 10)
        row, rest = rest.cut_top(theme.PRESS_H, 8)
        word, room = row.cut_left(54, 6)
        ui.display_list.text("Name", word)
        typed = text_field(ui, "save/name", room, looking.name, longest=80, wrong=_wrong_name)
        if typed != looking.name:
            looking.name, looking.over = typed, None
        rest = _problem(ui, rest, looking)
        before = looking.picked
        opened = _list(ui, "save", rest, looking)
        picked = looking.entries[looking.picked] if looking.picked is not None else None
        if picked is not None and opened and picked.is_dir():
            looking.to(picked)
        elif picked is not None and looking.picked != before and not picked.is_dir():
            looking.name, looking.over = picked.name, None
        closing, saving = foot.cut_right(320)[0].columns([1, 1.3], 10)
        text = "Save over it" if looking.over is not None else "Save"
        if button(ui, "save/save", saving, text, icon="save", rank="danger" if looking.over is not None else "main"):
            # A name that is wrong was not taken: nothing is saved under the one before it.
            looking.problem = ui.records["save/name"].problem
            if not looking.problem:
                _save(editor, looking)
        if button(ui, "save/cancel", closing, "Cancel") or card.closed:
            files.close_dialog(editor)


def where_page(ui: Ui, editor: Editor) -> None:
    """Choose the directory that printed pages go to."""
    looking = ui.memory("where/looking", lambda: _directories(editor))
    with dialog(ui, "where-page", "Where do the pages go?", 720, 560, first="where/list") as card:
        foot, rest = card.inside.cut_bottom(theme.PRESS_H, 10)
        rest = _problem(ui, rest, looking)
        opened = _list(ui, "where", rest, looking, "There is no other directory in here.")
        closing, here = foot.cut_right(320)[0].columns([1, 1.3], 10)
        picked = looking.entries[looking.picked] if looking.picked is not None else None
        if picked is not None and opened:
            looking.to(picked)
        if button(ui, "where/here", here, "Use this one" if picked is None else "Use that one", icon="tick", rank="main"):
            chosen = picked if picked is not None else looking.directory
            set_printing(editor, replace(editor.state.printing, directory=chosen))
            files.close_dialog(editor)
        if button(ui, "where/cancel", closing, "Cancel") or card.closed:
            files.close_dialog(editor)


def _directories(editor: Editor) -> _Looking:
    looking = _looking(editor)
    looking.endings = ()
    looking.to(editor.state.printing.directory or looking.directory)
    return looking


def _save(editor: Editor, looking: _Looking) -> None:
    name = looking.name.strip()
    path = looking.directory / (name if name.lower().endswith(".json") else f"{name}.json")
    if os.path.exists(path) and path != editor.document.path and looking.over != path:
        looking.over = path
        looking.problem = f"There is a file “{path.name}” already. Save over it, or choose another name."
        return
    looking.problem = files.save_file(editor, path)
    if not looking.problem and editor.state.after_dialog is not None:
        files.leave(editor)
    elif not looking.problem:
        files.close_dialog(editor)


def _wrong_name(text: str) -> str:
    name = text.strip()
    if not name:
        return "Give the file a name."
    if re.search(r'[\\/:*?"<>|\0]', name) or name.startswith("."):
        return "A file's name has no / \\ : * ? \" < > | in it and no dot in front."
    return ""


def _problem(ui: Ui, pane: Pane, looking: _Looking) -> Pane:
    """What went wrong, above the list."""
    if not looking.problem:
        return pane
    used = notice(ui, pane, looking.problem, "warn" if looking.over else "stop")
    return pane.cut_top(used, 8)[1]


def _list(ui: Ui, name: str, pane: Pane, looking: _Looking, empty: str = "There is no pattern here.") -> bool:
    """Where it looks, a way up, and what is there: whether a row is wanted."""
    row, pane = pane.cut_top(38, 8)
    up, home, where = _cut(row, 84, 100)
    if button(ui, f"{name}/up", up, "Up", icon="up", enabled=looking.directory.parent != looking.directory):
        looking.to(looking.directory.parent)
    if button(ui, f"{name}/home", home, "Home"):
        looking.to(Path.home())
    text = str(looking.directory)
    while ui.display_list.text_w(text, "small") > where.w and len(text) > 4:
        text = "…" + text[4:]
    ui.display_list.text(text, where, "small", colour=theme.SOFT_INK)
    rows = [[p.name, "directory" if p.is_dir() else looking.word] for p in looking.entries]
    icons = ["open" if p.is_dir() else "new" for p in looking.entries]
    pick = table(
        ui, f"{name}/list", pane, [Column("Name", 3), Column("", 1, "right")], rows, looking.picked, icons=icons,
        empty=empty,
    )  # fmt: skip
    looking.picked = pick.at
    return pick.opened


def _cut(row: Pane, first: float, second: float) -> tuple[Pane, Pane, Pane]:
    one, rest = row.cut_left(first, 6)
    two, rest = rest.cut_left(second, 10)
    return one, two, rest


def leave_page(ui: Ui, editor: Editor) -> None:
    """Ask whether to save what would be lost."""
    with dialog(ui, "leave-page", "Save your hull first?", 520, 250, first="leave/save", level="warn") as card:
        foot, rest = card.inside.cut_bottom(theme.PRESS_H)
        label(ui, rest, f"“{editor.document.pattern.name}” has changes that are not saved. Without saving they are lost.")
        back, drop, keep = foot.columns([1, 1.3, 1], 10)
        if button(ui, "leave/save", keep, "Save", icon="save", rank="main"):
            _save_and_leave(editor)
        if button(ui, "leave/drop", drop, "Do not save", rank="danger"):
            files.leave(editor)
        if button(ui, "leave/back", back, "Go back") or card.closed:
            files.close_dialog(editor)


def _save_and_leave(editor: Editor) -> None:
    if editor.document.path is None:
        files.open_dialog(editor, "save")  # what comes after it stays: it is done once the work is saved
        return
    problem = files.save_file(editor, editor.document.path)
    if problem:
        editor.say(problem, "stop")
        files.close_dialog(editor)
    else:
        files.leave(editor)
