"""The card on a picked crease: what can be done to it, where the hand is."""

from __future__ import annotations

import math

from folder.pattern.pattern import Sense
from folder.window import theme
from folder.window.commands import change
from folder.window.editor import Editor
from folder.window.viewport import Viewport
from folder.window.widgets import Pane, Ui, button, toggle

SIDE = 36.0
AWAY_PX = 16.0
SENSES: tuple[tuple[Sense, str], ...] = (("valley", "Valley: fold toward you"), ("mountain", "Mountain: fold away from you"))
TURNS = (("90", "90°", math.pi / 2, "Fold to a square wall"), ("180", "180°", math.pi, "Fold flat"))


def card(ui: Ui, pane: Pane, editor: Editor, viewport: Viewport) -> None:
    """The card, while one crease is picked and the hand holds nothing."""
    picked = [i for i in editor.document.picked if i < len(editor.document.pattern.creases)]
    if len(picked) != 1 or editor.state.tool.busy or editor.state.tool.name != "pick":
        return
    crease = editor.document.pattern.creases[picked[0]]
    folds = crease.sense in ("valley", "mountain")
    w = SIDE * 2 + (68 + 76 if folds else 0) + SIDE + 4 * 5 + 10
    place = _place(pane, viewport, crease.start, crease.end, w, SIDE + 10)
    if place is None:
        return
    ui.display_list.plate(place, theme.PAPER, theme.EDGE)
    x, y = place.x + 5, place.y + 5
    for sense, tip in SENSES:
        on = crease.sense == sense
        if toggle(ui, f"card/{sense}", Pane(x, y, SIDE, SIDE), "", on, icon=sense, tip=tip) and not on:
            change.set_sense(editor, sense)
        x += SIDE + 5
    if folds:
        for name, text, rad, tip in TURNS:
            cell = Pane(x, y, 68 if name == "90" else 76, SIDE)
            on = crease.turn_rad is not None and abs(crease.turn_rad - rad) < 1e-9
            if toggle(ui, f"card/{name}", cell, text, on, tip=tip) and not on:
                change.set_turn(editor, rad)
            x += cell.w + 5
    if button(ui, "card/delete", Pane(x, y, SIDE, SIDE), icon="delete", tip="Take this line away (Delete)"):
        change.delete(editor)


def _place(
    pane: Pane, viewport: Viewport, start: tuple[float, float], end: tuple[float, float], w: float, h: float
) -> Pane | None:
    """Beside the middle of a line: over a level one, left of an upright one, and inside the pane."""
    (ax, ay), (bx, by) = viewport.px(start), viewport.px(end)
    x, y = (ax + bx) / 2, (ay + by) / 2
    if not (0 <= x <= pane.w and 0 <= y <= pane.h):
        return None
    level = abs(bx - ax) >= abs(by - ay)
    left, top = (x - w / 2, y - h - AWAY_PX) if level else (x - w - AWAY_PX, y - h / 2)
    if level and top < 4:
        top = y + AWAY_PX
    if not level and left < 4:
        left = x + AWAY_PX
    left, top = min(max(left, 4.0), max(pane.w - w - 4, 4.0)), min(max(top, 4.0), max(pane.h - h - 4, 4.0))
    return Pane(pane.x + left, pane.y + top, w, h)
