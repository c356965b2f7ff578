"""What can be done on the page Print."""

from __future__ import annotations

from pathlib import Path

from msgspec.structs import replace

from folder.errors import FolderError
from folder.event.exchange import parse_names, read_names
from folder.pattern.file import read_pattern, ready_patterns
from folder.pattern.pattern import Pattern
from folder.window.editor import Editor
from folder.window.print.state import PrintState
from folder.window.tools.tool import sentence

MOST_HULLS = 12


def set_printing(editor: Editor, printing: PrintState) -> None:
    """Which pages are to be written, and where."""
    if printing != editor.state.printing:
        editor.show(replace(editor.state, printing=printing))


def hulls_to_add(editor: Editor) -> dict[str, str]:
    """What may be printed too: the hulls that stand on the page Compare, and the ready ones."""
    beside = {f"beside-{k}": other.pattern.name for k, other in enumerate(editor.state.comparing.others)}
    return beside | {name: name.replace("-", " ").capitalize() for name in ready_patterns()}


def add_hull(editor: Editor, key: str) -> None:
    """Print another hull too."""
    printing = editor.state.printing
    if len(printing.others) >= MOST_HULLS - 1:
        editor.say(f"No more than {MOST_HULLS} hulls are printed at once.", "warn")
        return
    beside = {f"beside-{k}": other.pattern for k, other in enumerate(editor.state.comparing.others)}
    try:
        pattern: Pattern = beside[key] if key in beside else read_pattern(ready_patterns()[key])
    except FolderError as error:
        editor.say(sentence(error), "stop")
        return
    set_printing(editor, replace(printing, others=(*printing.others, pattern), large=None))


def drop_hull(editor: Editor, index: int) -> None:
    """Print it no more."""
    printing = editor.state.printing
    others = printing.others[:index] + printing.others[index + 1 :]
    set_printing(editor, replace(printing, others=others, large=None))


def paste_names(editor: Editor, text: str) -> None:
    """Take the names of a class from what was copied elsewhere."""
    try:
        names = parse_names(text.encode(), "what was pasted", "names")
    except FolderError as error:
        editor.say(sentence(error), "warn")
        return
    set_printing(editor, replace(editor.state.printing, names=names, for_class=True))


def take_names(editor: Editor, path: Path) -> str:
    """Take the names of a class from a table. A sentence when that cannot be."""
    try:
        names = read_names(path, "names")
    except FolderError as error:
        return sentence(error)
    set_printing(editor, replace(editor.state.printing, names=names, for_class=True))
    return ""
