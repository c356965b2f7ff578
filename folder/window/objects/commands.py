"""Another object in use, and what is kept of it from day to day. No pygame."""

from __future__ import annotations

from msgspec.structs import replace

from folder.cargo.item import Item
from folder.cargo.item_list import add_item, items, remove_item
from folder.errors import FolderError
from folder.window.commands.command import Command
from folder.window.commands.files import open_dialog
from folder.window.editor import Editor
from folder.window.objects.state import FIRST_ITEM, ObjectChoice
from folder.window.tools.tool import sentence


def choose_object(editor: Editor, name: str) -> None:
    """Take another object; if the user's own were weighed before, they weigh the same now."""
    _choose(editor, ObjectChoice(name, editor.memory.weighed_g.get(name)))


def weigh_object(editor: Editor, mass_g: float | None) -> None:
    """The user's own weigh so much each; None goes back to the list's mass."""
    choice = editor.state.object_choice
    listed = next((item.mass_g for item in items() if item.name == choice.name), None)
    own = None if mass_g == listed else mass_g
    if own is None:
        editor.memory.weighed_g.pop(choice.name, None)
    else:
        editor.memory.weighed_g[choice.name] = own
    _choose(editor, replace(choice, own_mass_g=own))


def keep_object(editor: Editor, item: Item) -> str:
    """Keep an object of one's own, and take it. A sentence when it cannot be kept."""
    try:
        add_item(item)
    except FolderError as error:
        return sentence(error)
    editor.memory.weighed_g.pop(item.name, None)
    choose_object(editor, item.name)
    editor.say(f"“{item.label}” is in your list now.", "good")
    return ""


def drop_object(editor: Editor, name: str) -> str:
    """Take one of one's own out of the list. A sentence when it cannot be."""
    try:
        gone = remove_item(name)
    except FolderError as error:
        return sentence(error)
    if editor.state.object_choice.name == name and name not in {item.name for item in items()}:
        choose_object(editor, FIRST_ITEM)
    editor.say(f"“{gone.label}” is out of your list.")
    return ""


def _choose(editor: Editor, choice: ObjectChoice) -> None:
    editor.memory.item = choice.name
    editor.show(replace(editor.state, object_choice=choice))


OBJECT_COMMANDS = (
    Command(
        "objects", "Another object", ("o",), "Object", lambda e: open_dialog(e, "objects"), ("start", "fold", "float", "compare")
    ),
)
"""The rows of the object in use."""
