"""The commands of the page Compare. No pygame."""

from __future__ import annotations

from msgspec.structs import replace

from folder.pattern.pattern import Pattern
from folder.window.commands.command import Command
from folder.window.commands.files import unless_unsaved
from folder.window.compare.state import CompareState, Other
from folder.window.editor import Editor


def set_comparing(editor: Editor, comparing: CompareState) -> None:
    """The page as it is now."""
    if comparing != editor.state.comparing:
        editor.show(replace(editor.state, comparing=comparing))


def put_beside(editor: Editor, pattern: Pattern, *, ready: bool) -> None:
    """Put a pattern beside the one on the table; what keeps it from being put there is said."""
    comparing = editor.state.comparing
    from folder.paper.sheets.compare import MOST  # no page of paper is loaded before it is wanted

    if 1 + len(comparing.others) >= MOST:
        editor.say(f"There is room for {MOST} hulls. Take one away first.", "warn")
    elif any(other.pattern == pattern for other in comparing.others):
        editor.say(f"“{pattern.name}” stands there already.", "warn")
    else:
        set_comparing(editor, replace(comparing, others=(*comparing.others, Other(pattern, ready))))


def keep_beside(editor: Editor) -> None:
    """Put the hull on the table beside itself, as it is now, so that it can be changed and compared."""
    if editor.document.pattern.creases and editor.state.drag_pattern is None:
        put_beside(editor, editor.document.pattern, ready=False)


def take_away(editor: Editor, index: int) -> None:
    """Take one of the others off the list."""
    comparing = editor.state.comparing
    set_comparing(editor, replace(comparing, others=comparing.others[:index] + comparing.others[index + 1 :]))


def take_up(editor: Editor, index: int) -> None:
    """Put one of the others on the table, once what lies there is saved or given up."""
    other = editor.state.comparing.others[index]
    unless_unsaved(editor, lambda e: e.begin(other.pattern, unsaved=not other.ready))


def set_sweeping(editor: Editor, sweeping: bool) -> None:
    """Show or put away the number that is changed, with its curve."""
    set_comparing(editor, replace(editor.state.comparing, sweeping=sweeping))


def fold_variant(editor: Editor, pattern: Pattern) -> None:
    """Make the hull on the table the variant that is shown; one undo goes back."""
    editor.edit(lambda _: pattern)
    set_comparing(editor, replace(editor.state.comparing, value=None))


COMPARE_COMMANDS: tuple[Command, ...] = (
    Command("compare/keep", "Keep this one on the list", ("k",), "Compare", keep_beside, ("compare",)),
    Command(
        "compare/sweep", "This one with another wall", ("v",), "Compare",
        lambda e: set_sweeping(e, not e.state.comparing.sweeping), ("compare",),
    ),
)  # fmt: skip
"""The rows of the page Compare."""
