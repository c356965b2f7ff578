"""The places: kept to oneself until they are read out, then one by one from the last."""

from __future__ import annotations

from pathlib import Path

from folder.errors import FolderError
from folder.event.exchange import write_standings
from folder.event.places import Standing
from folder.event.words import held_words, order_words, ordinal
from folder.window import theme
from folder.window.editor import Editor
from folder.window.event.commands import read_back, read_on
from folder.window.event.day import Day
from folder.window.event.letters import type_size
from folder.window.event.parts.room import draw_large
from folder.window.event.parts.team_list import whole_name
from folder.window.event.writing import set_event
from folder.window.tools.tool import sentence
from folder.window.widgets import Pane, Ui, button, button_w, label, scroll

READ = "Read out, last first"
ROW_H = 40.0
HELD_SIZES: tuple[theme.Size, ...] = ("number", "title", "big", "body")


def places_view(ui: Ui, pane: Pane, editor: Editor, day: Day) -> None:
    """The page."""
    if editor.state.eventing.reading is None:
        _kept(ui, pane, editor, day)
    else:
        _reading(ui, pane, editor, day, editor.state.eventing.reading)


def _kept(ui: Ui, pane: Pane, editor: Editor, day: Day) -> None:
    card = pane.centred(min(pane.w, 680), min(pane.h, 330))
    ui.display_list.plate(card, theme.PAPER, theme.HAIR, radius=12)
    inside = card.inset(28, 22)
    head, inside = inside.cut_top(44, 4)
    ui.display_list.text("Places", head, "title", bold=True)
    inside = inside.cut_top(label(ui, inside, f"{order_words(day.rules).capitalize()}."), 6)[1]
    left = len(day.results) - day.tested
    waiting = "" if not left else f" {left} {'has' if left == 1 else 'have'} no result yet."
    inside = inside.cut_top(label(ui, inside, f"{day.tested} of {len(day.results)} tested.{waiting}"), 6)[1]
    inside = inside.cut_top(label(ui, inside, "Kept to yourself until you read them out.", colour=theme.SOFT_INK), 18)[1]
    row, inside = inside.cut_top(theme.PRESS_H + 10, 10)
    if button(ui, "places/read", row, READ, rank="main", enabled=bool(day.tested)):
        read_on(editor)
        ui.focus_on("places/next")
    row = inside.cut_top(theme.PRESS_H)[0]
    if button(ui, "places/export", row, "Write the places as a table", icon="save", enabled=bool(day.results)):
        _export(editor, day)


def _export(editor: Editor, day: Day) -> None:
    """The places as a CSV beside the event; a file that is there is left alone."""
    path = day.path.with_name(f"{day.path.stem}-places.csv")
    number = 2
    while path.exists():
        path, number = path.with_name(f"{day.path.stem}-places-{number}.csv"), number + 1
    mass = day.rules.objects[0].mass_g if len(day.rules.objects) == 1 else None
    try:
        write_standings(day.standings, mass, Path(path))
    except FolderError as error:
        editor.say(sentence(error), "stop")
        return
    editor.say(f"Written: {path}", "good")


def _reading(ui: Ui, pane: Pane, editor: Editor, day: Day, count: int) -> None:
    order = day.read_order
    read = order[:count]
    side, stage = pane.cut_right(min(pane.w * 0.32, 420.0), 14)
    ui.display_list.plate(stage, theme.PAPER, theme.HAIR, radius=12)
    foot, inside = stage.inset(24, 16).cut_bottom(theme.PRESS_H + 10, 10)
    if read:
        _one(ui, inside, day, read[-1])
    else:
        draw_large(ui, ["The places"], inside, type_size(ui.page.w) / 2, theme.INK)
    hide, rest = foot.cut_left(button_w(ui, "Hide again") + 8, 10)
    back, go = rest.cut_left(button_w(ui, "Back") + 8, 10)
    if button(ui, "places/hide", hide, "Hide again"):
        from msgspec.structs import replace

        set_event(editor, replace(editor.state.eventing, reading=None))
    if button(ui, "places/back", back, "Back", enabled=count > 0):
        read_back(editor)
    text = "That was the last" if count >= len(order) else "Next place" if count else f"The last: {ordinal(order[0].place or 0)}"
    if button(ui, "places/next", go, text, rank="main", enabled=count < len(order)):
        read_on(editor)
    _already(ui, side, day, read)


def _one(ui: Ui, pane: Pane, day: Day, standing: Standing) -> None:
    """The place that is read out now."""
    place, rest = pane.cut_top(pane.h * 0.34, 4)
    held, name = rest.cut_bottom(52, 6)
    shared = sum(s.place == standing.place for s in day.standings) > 1
    text = f"{ordinal(standing.place or 0)} place" + (", shared" if shared else "")
    team = standing.result.team.name
    ui.place("places/now", pane, "text", text=f"{text}: {team}", value=standing.place, stops=False, pointed=False)
    draw_large(ui, [text], place, 84.0, theme.SOFT_INK)
    draw_large(ui, [team], name, type_size(ui.page.w), theme.INK)
    why = _why(day, standing)
    size: theme.Size = next((size for size in HELD_SIZES if ui.display_list.text_w(why, size, True) <= held.w), "small")
    ui.display_list.text(why, held, size, bold=True, align="middle", wrap=size == "small")


def _why(day: Day, standing: Standing) -> str:
    """What the place is for: the points where they decide, and what was held."""
    held = held_words(day.rules, standing.result)
    return held if standing.points is None or "points" not in day.rules.order else f"{standing.points:g} points: {held}"


def _already(ui: Ui, pane: Pane, day: Day, read: tuple[Standing, ...]) -> None:
    """Who has been read out, the best so far on top."""
    ui.display_list.plate(pane, theme.PAPER, theme.HAIR, radius=12)
    head, inside = pane.inset(16, 12).cut_top(34, 4)
    ui.display_list.text(f"{len(read)} of {len(day.read_order)} read", head, "small", colour=theme.SOFT_INK)
    with scroll(ui, "places/roll", inside) as roll:
        for k, standing in enumerate(reversed(read)):
            row = Pane(roll.x, roll.y + k * ROW_H, roll.w, ROW_H)
            ui.spread(row)
            place, rest = row.cut_left(64, 8)
            count, name = rest.cut_right(60, 8)
            ui.display_list.text(ordinal(standing.place or 0), place, bold=True)
            whole_name(ui, standing.result.team.name, name, ("body",), "small", bold=False)
            ui.display_list.text(str(standing.result.held), count, align="right")
