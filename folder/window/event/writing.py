"""The open event's file as the page Event uses it: begun, opened, rescued, put away; rules and teams set, other stations taken over."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from msgspec.structs import replace

from folder.database import BusyDatabase
from folder.errors import FolderError
from folder.event.exchange import parse_names, read_names
from folder.event.file import EventFile
from folder.event.rescue import rescue
from folder.event.rules import Rules, read_rules
from folder.places import slug
from folder.window.commands.look import turn_to
from folder.window.editor import Editor
from folder.window.event.day import PRESS_S, Day, day_of
from folder.window.event.state import EventState, Part
from folder.window.tools.tool import sentence

EVENT_ENDINGS = (".sqlite", ".event", ".db")
TABLE_ENDINGS = (".csv", ".txt", ".tsv")
BUSY = "Not kept yet: another program is writing in “{}”. Nothing is lost, try again in a moment."


def set_event(editor: Editor, state: EventState) -> None:
    """Look at the day another way."""
    if state != editor.state.eventing:
        editor.show(replace(editor.state, eventing=state))


def show_part(editor: Editor, part: Part) -> None:
    """Turn to a part of the day. The places are kept to oneself again."""
    set_event(editor, replace(editor.state.eventing, part=part, reading=None, is_announced=False))


def the_day(editor: Editor) -> Day | None:
    """The open event as it was last read."""
    day = day_of(editor.worker, editor.memory.event)
    return day if isinstance(day, Day) else None


# the file


def open_event(editor: Editor, path: Path) -> str:
    """Open an event. A sentence when it cannot be; then the one before stays."""
    try:
        with EventFile(path, PRESS_S):
            pass
    except FolderError as error:
        return f"“{path.name}” cannot be opened. {sentence(error)}"
    editor.memory.event = str(path)
    set_event(editor, EventState(asked=""))
    editor.changed()
    return ""


def take_dropped(editor: Editor, path: Path) -> bool:
    """Do what a file of the day asks for that was dropped on the window; False for a file of another kind.

    Another station's copy of the open event is taken over, any other event is opened; a table dropped on the teams is entered.
    """
    ending = path.suffix.lower()
    if ending in EVENT_ENDINGS:
        said = merge_station(editor, path) if _is_copy(editor, path) else open_event(editor, path)
        editor.say(said, "stop")
        if not said:
            turn_to(editor, "event")
        return True
    if ending in TABLE_ENDINGS and editor.state.page == "event" and editor.memory.event:
        editor.say(import_teams(editor, path), "stop")
        return True
    return False


def _is_copy(editor: Editor, path: Path) -> bool:
    """Whether a file is another copy of the event that is open."""
    if not editor.memory.event or path == Path(editor.memory.event):
        return False
    try:
        with EventFile(path, PRESS_S) as other, EventFile(Path(editor.memory.event), PRESS_S) as event:
            return other.id == event.id
    except FolderError:
        return False


def begin_event(editor: Editor, name: str, directory: Path) -> None:
    """Begin an event in a file of its own, named after it."""
    path = directory / f"{slug(name)}.sqlite"
    number = 2
    while path.exists():
        path, number = directory / f"{slug(name)}-{number}.sqlite", number + 1
    try:
        with EventFile.new(path, Rules(name=name.strip())):
            pass
    except FolderError as error:
        editor.say(sentence(error), "stop")
        return
    open_event(editor, path)
    show_part(editor, "rules")
    editor.say(f"Begun. It is kept in {path}.", "good")


def rescue_event(editor: Editor) -> None:
    """Go on with all that can be read of a damaged event, in a file beside it."""
    damaged = Path(editor.memory.event)
    path, number = damaged.with_name(f"{damaged.stem}-saved.sqlite"), 2
    while path.exists():
        path, number = damaged.with_name(f"{damaged.stem}-saved-{number}.sqlite"), number + 1
    try:
        found = rescue(damaged, path)
    except FolderError as error:
        editor.say(sentence(error), "stop")
        return
    open_event(editor, path)
    editor.say(f"{found.teams} teams and {found.entries} entries could be read. They are in {path.name}.", "good")


def close_event(editor: Editor) -> None:
    """Put the event away; its file stays."""
    editor.memory.event = ""
    set_event(editor, EventState())
    editor.changed()


def write_event_file(editor: Editor, doing: Callable[[EventFile], str]) -> bool:
    """Do something with the open event's file and say what came of it. Whether it was done."""
    try:
        with EventFile(Path(editor.memory.event), PRESS_S) as event:
            said = doing(event)
    except BusyDatabase:
        editor.say(BUSY.format(Path(editor.memory.event).name), "warn")
        return False
    except FolderError as error:
        editor.say(sentence(error), "stop")
        return False
    editor.say(said, "good")
    return True


def set_rules(editor: Editor, **changes: object) -> None:
    """Set rules anew; what cannot be is said, and the rules stay as they were."""
    day = the_day(editor)
    if day is None:
        return
    try:
        rules = replace(day.rules, **changes)
    except FolderError as error:
        editor.say(sentence(error), "warn")
        return
    if rules != day.rules and write_event_file(editor, partial(_ruled, rules, "")):
        editor.changed()


def _ruled(rules: Rules, said: str, event: EventFile) -> str:
    event.rule(rules)
    return said


def import_rules(editor: Editor, path: Path) -> str:
    """Take the rules in a JSON file."""
    try:
        rules = read_rules(path)
    except FolderError as error:
        return sentence(error)
    if write_event_file(editor, partial(_ruled, rules, f"Rules taken from {path.name}.")):
        editor.changed()
    return ""


# teams


def add_teams(editor: Editor, names: Sequence[str]) -> bool:
    """Enter teams. Whether they were."""

    def doing(event: EventFile) -> str:
        added = event.add_teams(names)
        return f"{added[0].name} is number {added[0].number}." if len(added) == 1 else f"{len(added)} teams were added."

    return bool(names) and write_event_file(editor, doing)


def import_names(editor: Editor, names: Sequence[str]) -> None:
    """Enter the teams of a table that are not there yet."""

    def doing(event: EventFile) -> str:
        added = len(event.import_teams(names))
        there = len(names) - added
        left = f" {there} {'was' if there == 1 else 'were'} there already." if there else ""
        return f"{added} {'team was' if added == 1 else 'teams were'} added.{left}"

    write_event_file(editor, doing)


def paste_teams(editor: Editor, text: str) -> None:
    """Enter teams from what was copied elsewhere: a name a line, or a table with a head."""
    try:
        names = parse_names(text.encode(), "what was pasted")
    except FolderError as error:
        editor.say(sentence(error), "warn")
        return
    import_names(editor, names)


def import_teams(editor: Editor, path: Path) -> str:
    """Enter the teams of a table."""
    try:
        names = read_names(path)
    except FolderError as error:
        return sentence(error)
    import_names(editor, names)
    return ""


def merge_station(editor: Editor, path: Path) -> str:
    """Take over what another station noted."""
    try:
        with EventFile(Path(editor.memory.event), PRESS_S) as event:
            new = event.merge(path, PRESS_S)
    except FolderError as error:
        return sentence(error)
    said = f"{new.entries} entries and {new.teams} teams were new." if new.entries or new.teams else "Nothing in it was new."
    editor.say(f"{said} {new.clock_words}".rstrip(), "warn" if new.clock_words else "good")
    return ""
