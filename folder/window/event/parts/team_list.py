"""The teams beside the station: who has guessed, who was tested, whose turn it is."""

from __future__ import annotations

from folder.event.entry import Result
from folder.window import theme
from folder.window.editor import Editor
from folder.window.event.choose import ask_file
from folder.window.event.commands import take_team
from folder.window.event.day import Day
from folder.window.event.writing import show_part
from folder.window.widgets import Pane, Ui, button, scroll
from folder.window.widgets.record import WidgetRecord

ROW_H = 52.0


def team_list(ui: Ui, pane: Pane, editor: Editor, day: Day) -> None:
    """The list, the team that is tested now in sight, and the ways to more teams."""
    ui.display_list.plate(pane, theme.PAPER, theme.HAIR, radius=12)
    inside = pane.inset(10, 12)
    foot, inside = inside.cut_bottom(theme.PRESS_H, 10)
    head, inside = inside.cut_top(34, 0)
    words, inside = inside.cut_top(22, 4)
    ui.display_list.text("Teams", head, "big", bold=True)
    ui.display_list.text(f"{day.tested} of {len(day.results)} tested", head, "small", colour=theme.SOFT_INK, align="right")
    record = ui.place("test/list", inside, "list", value=editor.state.eventing.team)
    ids = [result.team.id for result in day.results]
    at = ids.index(editor.state.eventing.team) if editor.state.eventing.team in ids else 0
    _, down = ui.arrow(record)
    if down:
        at = min(max(at + down, 0), len(ids) - 1)
        take_team(editor, ids[at])
        ui.focus.reveal = f"test/team/{at}"
    if ui.memory("test/shown", lambda: [""]) != [ids[at]]:  # brought into sight when another team is taken
        ui.memory("test/shown", lambda: [""])[0] = ids[at]
        ui.focus.reveal = f"test/team/{at}"
    with scroll(ui, "test/roll", inside) as roll:
        ui.spread(Pane(roll.x, roll.y, roll.w, ROW_H * len(ids)))
        first, last = (int((y - roll.y) / ROW_H) for y in (inside.y, inside.bottom))
        shown = sorted({*range(max(first, 0), min(last + 1, len(ids))), at})
        for k in shown:
            row = ui.place(f"test/team/{k}", Pane(roll.x, roll.y + k * ROW_H, roll.w, ROW_H), "row",
                           text=day.results[k].team.name, value=k == at, stops=False, owner="test/list")  # fmt: skip
            if ui.fired(row):
                take_team(editor, ids[k])
                ui.focus_on("station/keep")
            _draw_row(ui, row, day.results[k], k == at, day.rules.guess)
    _headed(ui, Pane(roll.x, words.y, roll.w, words.h), day.rules.guess)
    if ui.shows_focus(record):
        ui.display_list.ring(inside)
    add, other = foot.columns([1, 1.3], 10)
    if button(ui, "test/add", add, "Add a team"):
        show_part(editor, "teams")
    if button(ui, "test/merge", other, "From another station"):
        ask_file(editor, "station")


def _draw_row(ui: Ui, row: WidgetRecord, result: Result, on: bool, guesses: bool) -> None:
    if not ui.drawing:
        return
    pane, draw = row.pane, ui.display_list
    if on or row.hovered:
        draw.plate(pane.inset(0, 2), theme.PICKED if on else theme.HOVER, theme.INK if on else None, width=2)
    else:
        draw.line((pane.x, pane.bottom), (pane.right, pane.bottom), theme.HAIR)
    number, name, guess, held, sheets = _columns(pane, guesses)
    draw.text(str(result.team.number), number, "small", colour=theme.SOFT_INK if not on else theme.INK)
    if guesses and result.guess is None:  # nothing stands there
        name = Pane(name.x, name.y, guess.right - name.x, name.h)
    whole_name(ui, result.team.name, name, ("body",), "small")
    soft = theme.INK if on else theme.SOFT_INK
    if guesses and result.guess is not None:
        _number(ui, result.guess, guess)
    if result.held is None:
        draw.text("waiting", held, "small", colour=soft, align="right")
    else:
        _number(ui, result.held, held, bold=True)
        if result.sheets is not None:
            draw.text(str(result.sheets), sheets, colour=soft, align="right")


def _number(ui: Ui, value: int, pane: Pane, *, bold: bool = False) -> None:
    """A number, smaller where it has many digits: it is never shortened."""
    fits = ui.display_list.text_w(str(value), "body", bold) <= pane.w
    ui.display_list.text(str(value), pane, "body" if fits else 12.0, bold=bold, align="right")


def _headed(ui: Ui, pane: Pane, guesses: bool) -> None:
    """What stands in the columns."""
    _, _, guess, held, sheets = _columns(pane, guesses)
    for word, cell in (("guess", guess), ("held", held), ("sheets", sheets)):
        if word != "guess" or guesses:
            ui.display_list.text(word, cell, "small", colour=theme.SOFT_INK, align="right")


def _columns(pane: Pane, guesses: bool) -> tuple[Pane, Pane, Pane, Pane, Pane]:
    """Number, name, guess, held, sheets."""
    number, rest = pane.inset(8, 0).cut_left(26, 4)
    name, guess, held, sheets = rest.columns([2.2, 0.8, 1.0, 0.8] if guesses else [3.0, 0.0, 1.0, 0.8], 6)
    return number, name, guess, held, sheets


def whole_name(ui: Ui, name: str, pane: Pane, sizes: tuple[theme.Size, ...], least: theme.Size, *, bold: bool = True) -> None:
    """A name on one line, as large as it fits; one that is longer in the least size, wrapped."""
    for size in sizes:
        if ui.display_list.text_w(name, size, bold) <= pane.w:
            ui.display_list.text(name, pane, size, bold=bold)
            return
    ui.display_list.text(name, pane, least, bold=bold, wrap=True)
