"""The three doors of the start page: invent a hull, take a ready one, run the day."""

from __future__ import annotations

from collections.abc import Sequence

from folder.window import theme
from folder.window.commands.files import new_sheet
from folder.window.commands.look import turn_to
from folder.window.editor import Editor
from folder.window.start.hull_tile import HullOnShelf, paint_hull
from folder.window.widgets import Pane, Ui, focus_ring

HIGH_H, LOW_H = 118.0, 76.0
"""A door's height in a high window, and in a low one."""
SIZES: tuple[theme.Size, ...] = ("title", "big", "body")


def doors(ui: Ui, pane: Pane, editor: Editor, ready: Sequence[HullOnShelf]) -> float:
    """The doors, one beside the other; the height they take."""
    row = pane.cut_top(HIGH_H if ui.page.h >= 660 else LOW_H)[0]
    ui.spread(row)
    invent, take, run = row.columns(3, 12)
    if _door(ui, "new", invent, "Invent a hull", "start with an empty sheet", "", main=True):
        new_sheet(editor)
    if _door(ui, "take", take, "Take a ready one", f"{len(ready)} hulls, easy to hard", "hull", hull=ready[0] if ready else None):
        ui.focus.ring = True
        ui.focus_on("ready/0")
    if _door(ui, "run", run, "Run the day", "rules, teams, results", "compare"):
        turn_to(editor, "event")
    return row.h


def _door(
    ui: Ui, name: str, pane: Pane, text: str, line: str, icon: str, *, main: bool = False, hull: HullOnShelf | None = None
) -> bool:
    record = ui.place(name, pane, "button", text=text)
    if ui.drawing:
        fill = (theme.INK_HOVER if record.hovered else theme.INK) if main else theme.PAPER
        ink, soft = (theme.PAPER, theme.PAPER) if main else (theme.INK, theme.SOFT_INK)
        ui.display_list.plate(pane, fill, theme.INK if main or record.hovered else theme.EDGE, radius=14)
        inner = pane.inset(18, 10)
        side = min(inner.h, 64.0)
        mark, words = inner.cut_right(side if hull is None else min(inner.h * 1.3, inner.w * 0.26), 8)
        if hull is not None and hull.known is not None:
            paint_hull(ui, mark, hull, "door")
        elif main:
            _creased(ui, mark.centred(side, side), ink)
        else:
            ui.display_list.icon(icon, mark.middle, ink, side)
        fits = ui.display_list.text_w(line, "small") <= words.w
        upper, lower = words.centred(words.w, 62 if fits else 38).cut_top(38)
        size = next((s for s in SIZES if ui.display_list.text_w(text, s, True) <= upper.w), SIZES[-1])
        ui.display_list.text(text, upper, size, bold=True, colour=ink)
        ui.display_list.text(line if fits else "", lower, "small", colour=soft)
        focus_ring(ui, record, 14)
    return ui.fired(record)


def _creased(ui: Ui, square: Pane, ink: theme.Rgb) -> None:
    """A sheet with four dashed lines."""
    x0, y0, x1, y1 = square.x, square.y, square.right, square.bottom
    for start, end in (((x0, y0), (x1, y0)), ((x0, y1), (x1, y1)), ((x0, y0), (x0, y1)), ((x1, y0), (x1, y1))):
        ui.display_list.line(start, end, ink, 2)
    dash = square.w / 11
    for share in (0.25, 0.75):
        x, y = x0 + share * square.w, y0 + share * square.h
        for k in range(0, 11, 2):
            ui.display_list.line((x0 + k * dash, y), (x0 + (k + 1) * dash, y), ink, 1)
            ui.display_list.line((x, y0 + k * dash), (x, y0 + (k + 1) * dash), ink, 1)
