"""What is done on the page Event: open and begin, rules, teams, what is noted at the tub, clocks, reading out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from msgspec.structs import replace

from folder.errors import FolderError
from folder.event.entry import Entry
from folder.event.exchange import parse_names, read_names
from folder.event.file import EventFile, rescue
from folder.event.rules import Rules, read_rules
from folder.window.commands.command import Command
from folder.window.editor import Editor
from folder.window.event.day import WAIT_S, Day, day_of, next_team
from folder.window.event.state import PARTS, Clock, ClockName, Draft, EventState, Part, Thing
from folder.window.tools.tool import sentence

USUAL_MIN: dict[ClockName, float] = {"build": 20.0, "load": 5.0}
"""What a clock runs where the rules say nothing (common practice)."""
FIELD_OF: dict[ClockName, str] = {"build": "build_min", "load": "load_min"}


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
        with EventFile(path, WAIT_S):
            pass
    except FolderError as error:
        return f"“{path.name}” cannot be opened. {sentence(error)}"
    editor.memory.event = str(path)
    set_event(editor, EventState(asked=""))
    editor.changed()
    return ""


def begin_event(editor: Editor, name: str, directory: Path) -> None:
    """Begin an event in a file of its own, named after it."""
    from folder.paper.book import slug  # pages are made by few; what they need takes time to load

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


def _write(editor: Editor, doing: Callable[[EventFile], str]) -> bool:
    """Do something with the open event's file and say what came of it. Whether it was done."""
    try:
        with EventFile(Path(editor.memory.event), WAIT_S) as event:
            said = doing(event)
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
    if rules != day.rules and _write(editor, partial(_ruled, rules, "")):
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
    if _write(editor, partial(_ruled, rules, f"Rules taken from {path.name}.")):
        editor.changed()
    return ""


# teams


def add_teams(editor: Editor, names: Sequence[str]) -> bool:
    """Enter teams. Whether they were."""

    def doing(event: EventFile) -> str:
        added = event.add_teams(names)
        return f"{added[0].name} is number {added[0].number}." if len(added) == 1 else f"{len(added)} teams were added."

    return bool(names) and _write(editor, doing)


def paste_teams(editor: Editor, text: str) -> None:
    """Enter teams from what was copied elsewhere: a name a line, or a table with a head."""
    try:
        names = parse_names(text.encode(), "what was pasted")
    except FolderError as error:
        editor.say(sentence(error), "warn")
        return
    add_teams(editor, names)


def import_teams(editor: Editor, path: Path) -> str:
    """Enter the teams of a table."""
    try:
        names = read_names(path)
    except FolderError as error:
        return sentence(error)
    add_teams(editor, names)
    return ""


def merge_station(editor: Editor, path: Path) -> str:
    """Take over what another station noted."""

    def doing(event: EventFile) -> str:
        new = event.merge(path)
        return f"{new.entries} entries and {new.teams} teams were new." if new.entries or new.teams else "Nothing in it was new."

    try:
        with EventFile(Path(editor.memory.event), WAIT_S) as event:
            said = doing(event)
    except FolderError as error:
        return sentence(error)
    editor.say(said, "good")
    return ""


# at the tub


def take_team(editor: Editor, team: str) -> None:
    """This team is tested now."""
    day, state = the_day(editor), editor.state.eventing
    if day is None or day.of_team(team) is None:
        return
    thing = first_thing(day, team)
    set_event(editor, replace(state, team=team, thing=thing, draft=Draft(), fresh=True, hull=state.hull))


def first_thing(day: Day, team: str) -> Thing:
    """What is noted next of a team."""
    result = day.of_team(team)
    return "guess" if day.rules.guess and result is not None and result.guess is None else "held"


def set_value(editor: Editor, thing: Thing, value: int | None) -> None:
    """Another number is about to be noted."""
    state = editor.state.eventing
    set_event(editor, replace(state, thing=thing, draft=state.draft.with_value(thing, value), fresh=True))


def take_thing(editor: Editor, thing: Thing) -> None:
    """The digits that are typed go to this now."""
    set_event(editor, replace(editor.state.eventing, thing=thing, fresh=True))


def keep(editor: Editor) -> None:
    """Note what was entered, and go on to the next team; without anything to note, go on alone."""
    day, state = the_day(editor), editor.state.eventing
    result = day.of_team(state.team) if day is not None else None
    if day is None or result is None:
        return
    draft, kept = state.draft, list[Entry]()
    if draft.held is not None and draft.sheets is None and result.sheets is None:
        draft = replace(draft, sheets=1)  # as the page shows it
    noted = {key: draft.value(key) for key in ("guess", "held", "sheets") if draft.value(key) != getattr(result, key)}
    noted = {key: value for key, value in noted.items() if value is not None}
    if noted:

        def doing(event: EventFile) -> str:
            kept.append(event.note(result.team, editor.memory.station, **noted))
            return f"{result.team.name}: {', '.join(f'{key} {value}' for key, value in noted.items())}. Kept."

        if not _write(editor, doing):
            return
    after = replace(result, **noted)
    wants = "guess" if day.rules.guess and noted.keys() == {"guess"} else "held"
    found = [after if one.team.id == state.team else one for one in day.results]
    following = next_team(found, state.team, wants)
    shown = next(one for one in found if one.team.id == following)
    thing: Thing = "guess" if day.rules.guess and shown.guess is None else "held"
    set_event(editor, replace(state, team=following, thing=thing, draft=Draft(), fresh=True))


def next_by(editor: Editor, step: int) -> None:
    """To the next team by number, or the one before, without noting anything."""
    day = the_day(editor)
    if day is None or not day.results:
        return
    ids = [result.team.id for result in day.results]
    at = ids.index(editor.state.eventing.team) + step if editor.state.eventing.team in ids else 0
    take_team(editor, ids[at % len(ids)])


# clocks


def clock_of(editor: Editor, name: ClockName) -> Clock:
    """A clock as it stands; one that was not started shows its whole time."""
    state, day = editor.state.eventing, the_day(editor)
    ruled: float | None = getattr(day.rules, FIELD_OF[name]) if day is not None else None
    return state.clocks.get(name) or Clock(60.0 * (ruled or USUAL_MIN[name]))


def press_clock(editor: Editor, name: ClockName, now_s: float) -> None:
    """Start a clock, or stop it where it runs."""
    state = editor.state.eventing
    set_event(editor, replace(state, shown_clock=name, clocks={**state.clocks, name: clock_of(editor, name).pressed(now_s)}))


def reset_clock(editor: Editor, name: ClockName) -> None:
    """Set a clock back to its whole time."""
    state = editor.state.eventing
    set_event(editor, replace(state, clocks={key: clock for key, clock in state.clocks.items() if key != name}))


# reading out


def read_on(editor: Editor) -> None:
    """Read out the next place, the last first; the first press only promises it."""
    day, state = the_day(editor), editor.state.eventing
    if day is None:
        return
    reading = 0 if state.reading is None else min(state.reading + 1, len(day.read_order))
    set_event(editor, replace(state, part="places", reading=reading))


def read_back(editor: Editor) -> None:
    """Take the last place that was read back."""
    state = editor.state.eventing
    set_event(editor, replace(state, reading=None if not state.reading else state.reading - 1))


def announce(editor: Editor) -> None:
    """The object alone, as large as the window; or back from there."""
    set_event(editor, replace(editor.state.eventing, is_announced=not editor.state.eventing.is_announced))


def _parts(editor: Editor, part: Part) -> None:
    if editor.memory.event:
        show_part(editor, part)


def _test(editor: Editor, doing: Callable[[Editor], None]) -> None:
    if editor.memory.event and editor.state.eventing.part == "test":
        doing(editor)


def _row(name: str, words: str, keys: tuple[str, ...], do: Callable[[Editor], None]) -> Command:
    return Command(name, words, keys, "Event", do, ("event",))


EVENT_COMMANDS: tuple[Command, ...] = (
    *(
        _row(f"event-{part}", f"The day: {word.lower()}", (f"alt+{k}",), lambda d, part=part: _parts(d, part))  # type: ignore[misc]
        for k, (part, word) in enumerate(PARTS.items(), 1)
    ),
    *(
        _row(f"event-{thing}", f"At the tub: the digits are the {thing}", (thing[0],),
             lambda d, thing=thing: _test(d, lambda e: take_thing(e, thing)))  # type: ignore[misc]
        for thing in ("guess", "held", "sheets")
    ),
    _row("event-next", "At the tub: the next team", ("pagedown",), lambda d: _test(d, lambda e: next_by(e, 1))),
    _row("event-before", "At the tub: the team before", ("pageup",), lambda d: _test(d, lambda e: next_by(e, -1))),
    _row("event-announce", "The object in letters for the room, and back", ("o",), lambda d: announce(d) if d.memory.event else None),
)  # fmt: skip
"""Their keys are heard on the page Event alone; digits, Backspace and Enter are the station's own."""
