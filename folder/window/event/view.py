"""The page Event: the parts of the day in their order, and the one that is turned to."""

from __future__ import annotations

from pathlib import Path

from folder.event.words import title_of
from folder.window import theme
from folder.window.editor import Editor
from folder.window.event.choose import ask_file
from folder.window.event.day import Day, day_of
from folder.window.event.state import PARTS
from folder.window.event.writing import begin_event, close_event, rescue_event, show_part
from folder.window.opening import RULES
from folder.window.print.printing import directory_of
from folder.window.widgets import Pane, Ui, button, button_w, choice, label, notice, text_field

LOOK_AGAIN_S = 2.0
"""How often the file is looked at for what other programs noted in it."""
RESCUE = "Go on with what can be read"
RESCUE_TIP = "Into a file of its own; the damaged one stays as it is"
GONE = "“{}” is not there any more. Put its disk back, or open it where it is now."
HELP = (
    "An event is one file: its rules, its teams, every guess and every result. Copy it to each tub, or let all tubs write"
    " into the one file; what they noted is put together afterwards, in any order."
)


def event_page(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The page."""
    day = day_of(editor.worker, editor.memory.event)
    ui.redraw_in(LOOK_AGAIN_S)
    _turned(ui, editor)
    if not isinstance(day, Day):
        _closed(ui, pane, editor, day)
        return
    head, pane = pane.cut_top(theme.PRESS_H, 8)
    _head(ui, head, editor, day)
    part = editor.state.eventing.part
    if part == "rules":
        from folder.window.event.parts.rules import rules_view

        rules_view(ui, pane, editor, day)
    elif part == "teams":
        from folder.window.event.parts.teams import teams_view

        teams_view(ui, pane, editor, day)
    elif part == "test":
        from folder.window.event.parts.station import station_view

        station_view(ui, pane, editor, day)
    elif part == "room":
        from folder.window.event.parts.room import room_view

        room_view(ui, pane, editor, day)
    elif part == "places":
        from folder.window.event.parts.places import places_view

        places_view(ui, pane, editor, day)
    else:
        from folder.window.event.parts.pages import pages_view

        pages_view(ui, pane, editor, day)


def _turned(ui: Ui, editor: Editor) -> None:
    """What was done on one part of the day is not told on another, least of all to the room."""
    state, shown = editor.state.eventing, ui.memory("event/shown", list[object])
    now = [state.part, state.reading is None]
    if shown != now and state.part == "teams":
        ui.focus_on("teams/name")  # what is typed is a team, at once
    if shown and shown != now:
        ui.messages = [message for message in ui.messages if message.level in ("warn", "stop")]
    shown[:] = now


def _head(ui: Ui, row: Pane, editor: Editor, day: Day) -> None:
    """What the event is called, and the parts of the day."""
    state = editor.state.eventing
    words = {str(part): word for part, word in PARTS.items()}
    parts_w = len(words) * (max(ui.display_list.text_w(word, "body", True) for word in words.values()) + 32)
    shut, row = row.cut_right(46, 8)
    parts, name = row.cut_right(min(parts_w, row.w - 80), 12)
    ui.display_list.text(title_of(day.rules), name, "title" if name.w > 260 else "big", bold=True)
    picked = choice(ui, "event/part", parts, words, state.part)
    if picked != state.part:
        for part in PARTS:
            if part == picked:
                show_part(editor, part)
    if button(ui, "event/close", shut, icon="stop", tip="Put this event away; its file stays", rank="quiet"):
        close_event(editor)


def _closed(ui: Ui, pane: Pane, editor: Editor, day: Day | str | None) -> None:
    """No event is open: begin one, or open one."""
    card = pane.centred(min(pane.w, 720), min(pane.h, 430 if not isinstance(day, str) else 560))
    ui.display_list.plate(card, theme.PAPER, theme.HAIR, radius=12)
    inside = card.inset(28, 22)
    head, inside = inside.cut_top(44, 4)
    ui.display_list.text("Run an event", head, "title", bold=True)
    if isinstance(day, str):
        gone = not Path(editor.memory.event).exists()
        text = GONE.format(Path(editor.memory.event).name) if gone else day
        used = notice(ui, inside, text, "stop")
        inside = inside.cut_top(used, 10)[1]
        row, inside = inside.cut_top(theme.PRESS_H, 14)
        press, rest = row.cut_left(0.0 if gone else button_w(ui, RESCUE) + 10, 0.0 if gone else 10.0)
        if not gone and button(ui, "event/rescue", press, RESCUE, rank="main", tip=RESCUE_TIP):
            rescue_event(editor)
        if button(ui, "event/away", rest.cut_left(button_w(ui, "Put it away") + 10)[0], "Put it away"):
            close_event(editor)
    elif editor.memory.event:
        label(ui, inside, "Opening …")
        return
    inside = inside.cut_top(label(ui, inside, HELP, colour=theme.SOFT_INK), 18)[1]
    row, inside = inside.cut_top(theme.PRESS_H, 6)
    begin_w = button_w(ui, "Begin it", "new", bold=True) + 16
    press, field = row.cut_right(begin_w, 10)
    names: list[str] = ui.memory("event/name", lambda: [""])
    if ui.focus.name == "run":  # the door: the first thing wanted is a name
        ui.focus_on("event/new-name")
    before = names[0]
    names[0] = text_field(ui, "event/new-name", field, before, hint="What is the event called?", longest=80)
    entered = names[0] != before and ui.focus.name == "event/new-name"
    directory = directory_of(editor)
    begun = button(ui, "event/begin", press, "Begin it", icon="new", rank="main", enabled=bool(names[0].strip()))
    if begun or (entered and names[0].strip()):
        begin_event(editor, names[0], directory)
    line, inside = inside.cut_top(28, 14)
    label(ui, line, f"It is kept in {_short(ui, directory, line.w - 90)}", "small", colour=theme.SOFT_INK, wrap=False)
    row, inside = inside.cut_top(theme.PRESS_H, 14)
    opening = row.cut_left(button_w(ui, "Open an event", "open") + 16)[0]
    if button(ui, "event/open", opening, "Open an event", icon="open"):
        ask_file(editor, "open")
    label(ui, inside, RULES, "small", colour=theme.SOFT_INK)


def _short(ui: Ui, directory: Path, w: float) -> str:
    text = str(directory)
    while ui.display_list.text_w(text, "small") > w and len(text) > 9:
        text = "…" + text[2:]
    return text
