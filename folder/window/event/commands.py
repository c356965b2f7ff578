"""What is done on the page Event at the tub and before the room: noting, going on, clocks, announcing, reading out."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from msgspec.structs import replace

from folder.event.entry import Entry, Result
from folder.event.file import EventFile
from folder.window.commands.command import Command
from folder.window.editor import Editor
from folder.window.event.day import Day, next_team
from folder.window.event.state import PARTS, THINGS, Clock, ClockName, Draft, Part, Thing
from folder.window.event.writing import set_event, show_part, the_day, write_event_file

USUAL_MIN: dict[ClockName, float] = {"build": 20.0, "load": 5.0}
"""What a clock runs where the rules say nothing (common practice)."""
FIELD_OF: dict[ClockName, str] = {"build": "build_min", "load": "load_min"}


def take_team(editor: Editor, team: str) -> None:
    """This team is tested now."""
    day, state = the_day(editor), editor.state.eventing
    if day is None or day.of_team(team) is None:
        return
    left = day.of_team(state.team)
    if left is not None and (lost := _differs(state.draft, left)):
        editor.say(f"Not kept: {left.team.name}, {_said(lost)}.", "warn")
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
    noted = _differs(draft, result)
    if noted:

        def doing(event: EventFile) -> str:
            kept.append(event.note(result.team, editor.memory.station, **noted))
            return f"{result.team.name}: {_said(noted)}. Kept."

        if not write_event_file(editor, doing):
            return
    after = replace(result, **noted)
    wants = "guess" if day.rules.guess and noted.keys() == {"guess"} else "held"
    found = [after if one.team.id == state.team else one for one in day.results]
    following = next_team(found, state.team, wants)
    if wants == "guess" and following == state.team:  # every team has guessed: now they are tested, from the first
        following = next_team(found, "", "held")
    shown = next(one for one in found if one.team.id == following)
    thing: Thing = "guess" if day.rules.guess and shown.guess is None else "held"
    set_event(editor, replace(state, team=following, thing=thing, draft=Draft(), fresh=True))


def _differs(draft: Draft, result: Result) -> dict[str, int]:
    """What was entered of a team and is not kept yet."""
    entered = {key: draft.value(key) for key in THINGS}
    return {key: value for key, value in entered.items() if value is not None and value != getattr(result, key)}


def _said(noted: Mapping[str, int]) -> str:
    return ", ".join(f"{key} {value}" for key, value in noted.items())


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
        _row(f"event-{part}", f"The day: {word.lower()}", (f"f{k + 1}",), lambda e, part=part: _parts(e, part))  # type: ignore[misc]
        for k, (part, word) in enumerate(PARTS.items(), 1)
    ),
    *(
        _row(f"event-{thing}", f"At the tub: the digits are the {thing}", (thing[0],),
             lambda e, thing=thing: _test(e, lambda editor: take_thing(editor, thing)))  # type: ignore[misc]
        for thing in ("guess", "held", "sheets")
    ),
    _row("event-next", "At the tub: the next team", ("pagedown",), lambda e: _test(e, lambda editor: next_by(editor, 1))),
    _row("event-before", "At the tub: the team before", ("pageup",), lambda e: _test(e, lambda editor: next_by(editor, -1))),
    _row("event-announce", "The object in letters for the room, and back", ("o",), lambda e: announce(e) if e.memory.event else None),
)  # fmt: skip
"""Their keys are heard on the page Event alone; digits, Backspace and Enter are the station's own."""
