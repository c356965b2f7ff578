"""The list of every key."""

from __future__ import annotations

from folder.window.commands.command import keys_text
from folder.window.commands.table import COMMANDS
from folder.window.fold.commands import SHEET
from folder.window.widgets import Pane, Ui, scroll

ROW = 26
SHEET_KEYS = (
    ("Move the cross on the sheet", "Arrow keys"), ("Move it five times as far", "Shift Arrow"), ("Press there", "Enter"),
    ("Next thing to press", "Tab"), ("The one before", "Shift Tab"),
)  # fmt: skip
"""Keys that are not commands: they belong to the sheet or to the way from thing to thing."""


def key_list(ui: Ui, pane: Pane) -> None:
    """Every key, by what it is for."""
    with scroll(ui, "keys-page/list", pane) as inside:
        columns = inside.columns(2 if inside.w > 560 else 1, 28)
        heights = [0.0] * len(columns)
        for group, rows in _groups():
            k = heights.index(min(heights))
            heights[k] += _group(ui, columns[k].moved(0, heights[k]), group, rows)


def _groups() -> list[tuple[str, list[tuple[str, str]]]]:
    groups: dict[str, list[tuple[str, str]]] = {}
    for command in COMMANDS.values():
        groups.setdefault(command.group, []).append((command.words, " or ".join(keys_text(k) for k in command.keys)))
    groups.setdefault(SHEET, []).extend(SHEET_KEYS)
    return list(groups.items())


def _group(ui: Ui, pane: Pane, group: str, rows: list[tuple[str, str]]) -> float:
    ui.display_list.text(group, Pane(pane.x, pane.y, pane.w, ROW), bold=True)
    for k, (words, keys) in enumerate(rows, 1):
        row = Pane(pane.x, pane.y + k * ROW, pane.w, ROW)
        keys_w = ui.display_list.text_w(keys, "small", True) + 4
        ui.spread(row)
        ui.display_list.text(words, row.cut_right(keys_w, 6)[1], "small")
        ui.display_list.text(keys, row, "small", bold=True, align="right")
    return (len(rows) + 1) * ROW + 12
