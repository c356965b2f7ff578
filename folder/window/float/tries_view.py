"""The loadings of this hull side by side: a bar for each, how many it held over it, a mark where the guess was."""

from __future__ import annotations

from folder.window import theme
from folder.window.editor import Editor
from folder.window.widgets import Pane, Ui

BAR_W, GAP = 26.0, 5.0
TOP_H = 17.0
"""Over a bar, for its number."""


def tries_view(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The newest at the right; as many as have room."""
    state = editor.state.floating
    mine = [one for one in state.tries if one.item == state.of.item and one.each_g == state.of.each_g]
    room = max(int((pane.w + GAP) // (BAR_W + GAP)), 0)
    shown = mine[:room][::-1]
    if not shown:
        return
    most = max(max(one.held, one.guess or 0, 1) for one in shown)
    foot = pane.h - TOP_H
    w = len(shown) * (BAR_W + GAP) - GAP
    text = ", ".join(str(one.held) for one in shown)
    ui.place("float/tries", Pane(pane.x, pane.y, w, pane.h), "text", text=text, value=tuple(shown), stops=False, pointed=False)
    if not ui.drawing:
        return
    for k, one in enumerate(shown):
        high = max(foot * one.held / most, 2.0)
        bar = Pane(pane.x + k * (BAR_W + GAP), pane.bottom - high, BAR_W, high)
        newest = one is mine[0]
        ui.display_list.plate(bar, theme.VALLEY if newest else theme.SOFT_INK, radius=2)
        level = bar.y if one.guess is None else pane.bottom - foot * one.guess / most
        number = Pane(bar.x - GAP / 2, min(bar.y, level) - TOP_H - 1, BAR_W + GAP, TOP_H)
        size = ui.display_list.text_w(str(one.held), "small", newest)
        if size <= number.w:
            ui.display_list.text(str(one.held), number, "small", bold=newest, align="middle")
        if one.guess is not None:
            ui.display_list.line((bar.x - 2, level), (bar.right + 2, level), theme.STOP, 2)
