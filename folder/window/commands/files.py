"""Files: begin, open, save, leave."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

from msgspec.structs import replace

from folder.errors import FolderError
from folder.pattern.file import pattern_bytes, read_pattern, write_pattern
from folder.window.document import EMPTY, Document
from folder.window.editor import Editor
from folder.window.tools.tool import sentence
from folder.window.view_state import DialogName


def new_sheet(editor: Editor) -> None:
    """An empty sheet."""
    editor.begin(EMPTY)
    editor.take_up("wall")


def to_start(editor: Editor) -> None:
    """To the start page, with an empty table: what lay there is saved or given up."""
    editor.begin(EMPTY)
    editor.show(replace(editor.state, page="start", dialog=""))


def quit_window(editor: Editor) -> None:
    """Close the window."""
    editor.show(replace(editor.state, is_closing=True))


def open_dialog(editor: Editor, name: DialogName) -> None:
    """Open a dialog; what is to be done after it stays."""
    editor.show(replace(editor.state, dialog=name))


def close_dialog(editor: Editor) -> None:
    """Close the dialog; what was to be done after it is not wanted any more."""
    editor.show(replace(editor.state, dialog="", after_dialog=None))


def open_file(editor: Editor, path: Path, *, ready: bool = False) -> str:
    """Open a file. A sentence when it cannot be; then all stays as it was."""
    try:
        pattern = read_pattern(path)
    except FolderError as error:
        return f"“{path.name}” cannot be opened. {sentence(error)}"
    # A ready pattern is a model: what is made of it is saved under another name.
    editor.begin(pattern, None if ready else path)
    if not ready:
        editor.memory.opened(path)
    return ""


def open_dropped(editor: Editor, path: Path) -> None:
    """Open a file that was dropped on the window, after asking whether to save what lies on the table."""
    close_dialog(editor)
    if path.suffix.lower() != ".json":
        editor.say(f"“{path.name}” is no pattern: those are files that end in .json.", "stop")
    else:
        unless_unsaved(editor, lambda e: e.say(open_file(e, path), "stop"))


def save_file(editor: Editor, path: Path) -> str:
    """Save. A sentence when it cannot be; the document stays open then."""
    try:
        write_pattern(editor.document.pattern, path)
    except FolderError as error:
        return sentence(error)
    editor.saved_as(path)
    editor.memory.opened(path)
    editor.autosave.keep(editor.document)
    editor.say(f"Saved as {path.name}.", "good")
    return ""


def save(editor: Editor) -> None:
    """Save to the file it came from, or ask where; also where another program has changed that file."""
    path = editor.document.path
    if editor.state.page == "start":
        return
    if path is None:
        open_dialog(editor, "save")
    elif _is_changed(path, editor.document):
        editor.say(f"“{path.name}” was changed by another program. Save yours under another name, or over it.", "warn")
        open_dialog(editor, "save")
    else:
        editor.say(save_file(editor, path), "stop")


def _is_changed(path: Path, document: Document) -> bool:
    """Whether a file holds another drawing than was opened from it or last saved in it; one that has gone holds none."""
    try:
        if document.saved is None or path.read_bytes() == pattern_bytes(document.saved):
            return False
        return read_pattern(path) not in (document.saved, document.pattern)
    except OSError:
        return False
    except FolderError:
        return True


def save_as(editor: Editor) -> None:
    """Ask where to save."""
    if editor.state.page != "start":
        open_dialog(editor, "save")


def unless_unsaved(editor: Editor, then: Callable[[Editor], None]) -> None:
    """Do something that leaves this drawing behind, after asking when it is not saved."""
    if editor.state.page == "start" or (editor.document.is_saved and not _has_gone(editor.document)):
        then(editor)
    else:
        editor.show(replace(editor.state, dialog="leave", after_dialog=then))


def _has_gone(document: Document) -> bool:
    """Whether the file it was saved in is not there any more."""
    return document.path is not None and not os.path.exists(document.path)


def leave(editor: Editor) -> None:
    """Do what was wanted before the question."""
    then = editor.state.after_dialog
    close_dialog(editor)
    editor.autosave.drop()
    if then is not None:
        then(editor)


def set_scale(editor: Editor, scale: float) -> None:
    """The size of letters and buttons, remembered from day to day."""
    editor.memory.scale = scale
