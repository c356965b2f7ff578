"""The station: who is tested, what is guessed, held and used, and one press to keep it and go on."""

from __future__ import annotations

import pygame
from msgspec.structs import replace

from folder.event.entry import Result
from folder.event.words import COUNT_RULE
from folder.window import theme
from folder.window.editor import Editor
from folder.window.event.commands import keep, set_value, take_team, take_thing
from folder.window.event.could_hold import could_hold_line, hull_names
from folder.window.event.day import Day
from folder.window.event.parts.room import clock_card, object_card
from folder.window.event.parts.team_list import team_list, whole_name
from folder.window.event.state import Thing
from folder.window.event.writing import set_event, show_part
from folder.window.widgets import Pane, Ui, button, drop_down, label, text_field

WIDE = 1120.0
"""From this width on there is room for the object and the clock beside the station."""
MOST_BOX_H = 190.0
LOW_H = 430.0
"""Below this height of the station what is only nice to know gives way to what is pressed and read."""
WRONG = "Wrong? Enter it again: both are kept."
KEEP = "Keep, next team"


def station_view(ui: Ui, pane: Pane, editor: Editor, day: Day) -> None:
    """The page at a tub."""
    if not day.results:
        used = label(ui, pane.inset(12), "There are no teams yet.")
        row = pane.inset(12).cut_top(used + 8)[1].cut_top(theme.PRESS_H)[0].cut_left(200)[0]
        if button(ui, "test/teams", row, "Add teams", icon="plus", rank="main"):
            show_part(editor, "teams")
        return
    if day.of_team(editor.state.eventing.team) is None:
        first = next((r for r in day.results if r.held is None), day.results[0])
        take_team(editor, first.team.id)
    if pane.w >= WIDE:
        right, pane = pane.cut_right(pane.w * 0.26, 14)
    else:
        right = None
    left, middle = pane.cut_left(pane.w * 0.49, 14)
    _station(ui, middle, editor, day)  # first, so that it is first on the way of the Tab key
    team_list(ui, left, editor, day)
    if right is not None:
        _beside(ui, right, editor, day)


def _beside(ui: Ui, pane: Pane, editor: Editor, day: Day) -> None:
    top, rest = pane.cut_top(pane.h * 0.36, 14)
    clock, places = rest.cut_top(rest.h * 0.56, 14)
    object_card(ui, top, editor, day)
    clock_card(ui, clock, editor, back_to="station/keep")  # Enter keeps what was typed, whatever was pressed meanwhile
    ui.display_list.plate(places, theme.PAPER, theme.HAIR, radius=12)
    inside = places.inset(20, 14)
    foot, inside = inside.cut_bottom(theme.PRESS_H)
    head, inside = inside.cut_top(34, 2)
    ui.display_list.text("Places", head, "big", bold=True)
    label(ui, inside, "Kept to yourself until you read them out.", "small", colour=theme.SOFT_INK)
    if button(ui, "test/places", foot, "To the places"):
        show_part(editor, "places")


def _station(ui: Ui, pane: Pane, editor: Editor, day: Day) -> None:
    state = editor.state.eventing
    result = day.of_team(state.team)
    if result is None:
        return
    _typed(ui, editor, day)
    ui.display_list.plate(pane, theme.PAPER, theme.HAIR, radius=12)
    inside = pane.inset(22, 14)
    low = inside.h < LOW_H
    head, inside = inside.cut_top(44 if low else 54, 4 if low else 8)
    tub, name = head.cut_right(min(170.0, head.w * (0.3 if low else 0.4)), 10)
    whole_name(ui, f"{result.team.number}  {result.team.name}", name, ("number", "title", "big"), "small")
    field = tub.centred(tub.w, theme.PRESS_H)
    called = text_field(ui, "station/name", field, editor.memory.station, hint="which tub", longest=40,
                        tip="What this tub is called; it stands with everything noted here")  # fmt: skip
    if called != editor.memory.station:
        editor.memory.station = called
        if ui.focus.name == "station/name":
            ui.focus_on("")  # after Enter digits are counts again, and no more of the name
    things: list[Thing] = ["guess", "held", "sheets"] if day.rules.guess else ["held", "sheets"]
    gap = 6 if low else 10
    foot_h = 2 * theme.PRESS_H + 6 if low else 2 * theme.PRESS_H + 12 + (76 if result.held is None else 132)
    box_h = min((inside.h - foot_h - gap * len(things)) / len(things), MOST_BOX_H)
    for thing in things:
        box, inside = inside.cut_top(box_h, gap)
        _box(ui, box, editor, thing, result, day.rules.sheets)
    if not low:
        line, inside = inside.cut_top(24, 4)
        ui.display_list.text(COUNT_RULE, line, "small", colour=theme.SOFT_INK)
    press, inside = inside.cut_top(theme.PRESS_H + (0 if low else 12), 6)
    if button(ui, "station/keep", press, KEEP, rank="main"):
        keep(editor)
        ui.redraw()
    history = _history(day, result)
    if not low or result.held is None:
        line, inside = inside.cut_top(24, 4)
        ui.display_list.text(history, line, "small", colour=theme.SOFT_INK)
        history = ""
    if result.held is not None:
        _could_hold(ui, inside, editor, day, result, history)
    if not ui.focus.name or ui.focus.name not in ui.last:
        ui.focus_on("station/keep")


def _could_hold(ui: Ui, pane: Pane, editor: Editor, day: Day, result: Result, otherwise: str) -> None:
    """Which hull it was, if that is known, and what it could have held; `otherwise` stands there while it is not."""
    pick, words = pane.cut_left(min(210.0, pane.w * 0.45), 10)
    pick = pick.cut_top(theme.PRESS_H)[0]
    hull = drop_down(ui, "station/hull", pick, hull_names(editor), editor.state.eventing.hull,
                     tip="What this hull could have held, if its pattern is known")  # fmt: skip
    set_event(editor, replace(editor.state.eventing, hull=hull))
    text = could_hold_line(editor, day, result) or otherwise
    ui.place("station/could-hold", words, "text", text=text, stops=False, pointed=False)
    ui.display_list.text(text, words, "small", colour=theme.SOFT_INK, wrap=True, top=True)


def _history(day: Day, result: Result) -> str:
    """What was corrected, or how to."""
    parts = []
    for key in ("guess", "held", "sheets"):
        values = [value for entry in day.noted(result.team.id) if (value := getattr(entry, key)) is not None]
        if len(values) > 1:
            parts.append(f"{key} {', then '.join(map(str, values))}")
    return f"Corrected: {'; '.join(parts)}." if parts else WRONG


def _box(ui: Ui, pane: Pane, editor: Editor, thing: Thing, result: Result, sheets: int) -> None:
    state = editor.state.eventing
    drafted, kept = state.draft.value(thing), getattr(result, thing)
    value = drafted if drafted is not None else kept
    record = ui.place(f"station/{thing}", pane, "box", text=thing, value=value, stops=False)
    on = state.thing == thing
    ui.display_list.plate(pane, theme.TABLE if not on else theme.PAPER, theme.INK if on else None, width=2, radius=10)
    few = thing == "sheets" and sheets <= 4
    texts = [str(k) for k in range(1, sheets + 1)] if few else ["-1", "+1", "+5"]
    press_w = min(74.0, pane.w * 0.15)
    keys = pane.cut_right(len(texts) * (press_w + 8), 0)[0].inset(0, max((pane.h - 62) / 2, 4))
    words = Pane(pane.x + 18, pane.y, keys.x - pane.x - 26, pane.h)
    tall = pane.h > 84
    name, number = words.cut_top(34, 0) if tall else words.cut_left(92, 6)
    _titled(ui, Pane(name.x, name.y + (6 if tall else 0), name.w, name.h), thing, on)
    usual = 1 if thing == "sheets" and value is None and state.draft.held is not None else None
    shown = value if value is not None else usual
    sizes: tuple[theme.Size, ...] = (min(0.4 * pane.h, 76.0), 44.0, "title", "big") if tall else ("number", "title", "big")
    whole_name(ui, "…" if shown is None else str(shown), number, sizes, "body")
    for text, cell in zip(texts, keys.columns(len(texts), 8), strict=True):
        cell = Pane(cell.x - 8, cell.y, cell.w, cell.h)
        if few:
            if button(ui, f"station/{thing}/{text}", cell, text, rank="main" if shown == int(text) else "plain"):
                set_value(editor, thing, int(text))
                ui.focus_on("station/keep")
        elif button(ui, f"station/{thing}/{text}", cell, text):
            least = 1 if thing == "sheets" else 0
            set_value(editor, thing, max((value or 0) + int(text), least))
            ui.focus_on("station/keep")
    if ui.fired(record):
        take_thing(editor, thing)
        ui.focus_on("station/keep")


def _titled(ui: Ui, pane: Pane, thing: Thing, on: bool) -> None:
    """What is noted in a box, and on a small key the letter that goes to it."""
    word, rest = pane.cut_left(ui.display_list.text_w(thing, "body", True) + 2, 8)
    ui.display_list.text(thing, word, bold=on)
    key = rest.cut_left(24)[0]
    key = key.centred(24, 24)
    ui.display_list.plate(key, theme.PAPER, theme.EDGE, radius=5)
    ui.display_list.text(thing[0].upper(), key, "small", align="middle")


def _typed(ui: Ui, editor: Editor, day: Day) -> None:
    """Digits go to the thing that is entered, unless a field has the focus; Backspace takes one back."""
    del day
    focused = ui.last.get(ui.focus.name)
    event = ui.event
    if event is None or ui.used or editor.state.dialog or (focused is not None and focused.types):
        return
    if event.type == pygame.TEXTINPUT and event.text.isdecimal() and event.text.isascii():
        for digit in event.text:
            set_event(editor, editor.state.eventing.typed(digit))
        ui.focus_on("station/keep")
        ui.take()
    elif event.type == pygame.KEYDOWN and event.key == pygame.K_BACKSPACE:
        set_event(editor, editor.state.eventing.rubbed())
        ui.take()
