"""The teams: typed, pasted or from a table; and what other stations noted."""

from __future__ import annotations

from folder.errors import FolderError
from folder.event.entry import LONGEST_NAME, plain_name
from folder.window import theme
from folder.window.editor import Editor
from folder.window.event.choose import ask_file
from folder.window.event.commands import take_team
from folder.window.event.day import Day
from folder.window.event.writing import add_teams, merge_station, paste_teams, show_part
from folder.window.tools.tool import sentence
from folder.window.widgets import Column, Pane, Ui, button, label, table, text_field

__all__ = ["merge_station", "teams_view"]

COLUMNS = (Column("No.", 0.5, "right"), Column("Team", 3.0), Column("Guess", 0.8, "right"), Column("Held", 0.8, "right"),
           Column("Sheets", 0.8, "right"))  # fmt: skip
NEXT = "Next: test the hulls"
WHY_NUMBERS = "Names may repeat: the number tells teams apart."
HOW_STATIONS = (
    "Several tubs: copy this event's file to each. Afterwards take over what each noted, in any order. Twice does no harm."
)


def teams_view(ui: Ui, pane: Pane, editor: Editor, day: Day) -> None:
    """The list, and beside it all ways to add to it."""
    side_w = min(max(pane.w * 0.36, 300.0), 440.0)
    side, left = pane.cut_right(side_w, 12)
    rows = [[str(r.team.number), r.team.name, *map(_cell, (r.guess, r.held, r.sheets))] for r in day.results]
    picked: list[int | None] = ui.memory("teams/picked", lambda: [None])
    found = table(ui, "teams/list", left, COLUMNS, rows, picked[0], empty="No teams yet. Type the first name, or paste a list.")
    picked[0] = found.at
    if found.opened and found.at is not None:
        show_part(editor, "test")
        take_team(editor, day.results[found.at].team.id)
    _add(ui, side, editor, day)


def _cell(value: int | None) -> str:
    return "" if value is None else str(value)


def _add(ui: Ui, side: Pane, editor: Editor, day: Day) -> None:
    ui.display_list.plate(side, theme.PAPER, theme.HAIR, radius=12)
    inside = side.inset(18, 14)
    head, inside = inside.cut_top(34, 6)
    ui.display_list.text("1 team" if len(day.results) == 1 else f"{len(day.results)} teams", head, "big", bold=True)
    row, inside = inside.cut_top(theme.PRESS_H, 8)
    press, field = row.cut_right(104, 8)
    typed: list[str] = ui.memory("teams/typed", lambda: [""])
    before = typed[0]
    typed[0] = text_field(ui, "teams/name", field, before, hint="Next team", longest=LONGEST_NAME, wrong=_wrong)
    entered = typed[0] != before and bool(typed[0].strip())
    if (button(ui, "teams/add", press, "Add", icon="plus") or entered) and typed[0].strip():
        if add_teams(editor, [typed[0]]):
            typed[0] = ""
            ui.focus_on("teams/name")
        ui.redraw()
    inside = inside.cut_top(label(ui, inside, WHY_NUMBERS, "small", colour=theme.SOFT_INK), 14)[1]
    for name, text, icon, tip in (
        ("paste", "Paste names", "copy", "What was copied elsewhere: a name a line, or a table"),
        ("table", "From a table (CSV)", "open", "A column called team or name, or the first column"),
        ("station", "From another station", "open", "Take over what another tub noted in its copy of this event"),
    ):
        row, inside = inside.cut_top(theme.PRESS_H, 8)
        if button(ui, f"teams/{name}", row, text, icon=icon, tip=tip, align="left"):
            if name == "paste":
                paste_teams(editor, ui.clipboard.get())
            else:
                ask_file(editor, name)
            ui.redraw()
    on, inside = inside.cut_bottom(theme.PRESS_H, 8)
    if button(ui, "teams/next", on, NEXT, rank="main", enabled=bool(day.results)):
        show_part(editor, "test")
        ui.redraw()
    if ui.display_list.text_h(HOW_STATIONS, inside.w, "small") <= inside.h:  # the tip of the button says it too
        label(ui, inside, HOW_STATIONS, "small", colour=theme.SOFT_INK)


def _wrong(text: str) -> str:
    if not text.strip():
        return ""
    try:
        plain_name(text)
    except FolderError as error:
        return sentence(error)
    return ""
