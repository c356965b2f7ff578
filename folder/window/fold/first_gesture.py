"""An empty sheet says what to do with it: an arrow in from its edge, the wall's line it would make, and a few words."""

from __future__ import annotations

import pygame

from folder.draw.style import Style
from folder.window import theme
from folder.window.editor import Editor
from folder.window.paint.surface import PEN_PX, ink
from folder.window.theme import Size
from folder.window.viewport import Viewport
from folder.window.widgets import Pane, Ui

SHARE = 1.0 / 6.0
"""So far in from the edge the arrow goes, as a share of the sheet's height: 25 mm of 150, a tray that holds well."""
FAINT = Style(0.6, (1.0, 2.5), "#7C8C9A")
FIRM = Style(0.9, (), "#0B6E69")
HEAD_PX = 11.0
WORDS = "Drag in from an edge"
SIZES: tuple[Size, ...] = ("big", "body", "small")
LEAST_PX = 150.0
"""On a smaller sheet there is no room for words."""


def first_gesture(ui: Ui, editor: Editor, pane: Pane, viewport: Viewport) -> None:
    """For as long as the wall tool rests over a sheet on which nothing is drawn."""
    state, sheet = editor.state, editor.document.pattern.sheet
    if editor.pattern.creases or state.tool.name != "wall" or state.tool.busy or state.menu is not None:
        return
    width, height = sheet.width_mm, sheet.height_mm
    inset = SHARE * height
    left, bottom = viewport.px((0.0, 0.0))
    right, top = viewport.px((width, height))
    whole = Pane(pane.x + left, pane.y + top, right - left, bottom - top)
    if whole.meet(pane).w < LEAST_PX or whole.meet(pane).h < LEAST_PX:
        return
    scale, all_round = ui.scale, state.setting.mirrors == "four"

    def draw(surface: pygame.Surface, rect: pygame.Rect) -> None:
        def px(x: float, y: float) -> tuple[float, float]:
            at = viewport.px((x, y))
            return rect.x + at[0] * scale, rect.y + at[1] * scale

        lines = [((0.0, inset), (width, inset))]
        if all_round:
            lines += [((0.0, height - inset), (width, height - inset))]
            lines += [((x, 0.0), (x, height)) for x in (inset, width - inset)]
        for a, b in lines:
            ink(surface, (px(*a), px(*b)), FAINT, PEN_PX * scale)
        foot, tip = px(width / 2.0, 0.0), px(width / 2.0, inset)
        head = HEAD_PX * scale
        ink(surface, (foot, (tip[0], tip[1] + head / 2.0)), FIRM, PEN_PX * scale)
        pygame.draw.polygon(
            surface, theme.VALLEY, [tip, (tip[0] - 0.7 * head, tip[1] + 1.3 * head), (tip[0] + 0.7 * head, tip[1] + 1.3 * head)]
        )
        pygame.draw.circle(surface, theme.VALLEY, foot, 6.0 * scale)

    ui.display_list.custom(pane, ("first gesture", viewport, width, height, scale, all_round), draw)
    room = viewport.px_per_mm * (width - 2.0 * inset) - 2 * theme.GAP
    size = next((size for size in SIZES if ui.display_list.text_w(WORDS, size, True) <= room), SIZES[-1])
    h = ui.display_list.text_h(WORDS, room, size, True)
    tip_y = pane.y + viewport.px((0.0, inset))[1]
    words = Pane(whole.middle[0] - room / 2.0, tip_y - 10 - h, room, h)
    ui.place("first-gesture", words, "text", text=WORDS, stops=False, pointed=False)
    ui.display_list.text(WORDS, words, size, bold=True, align="middle", colour=theme.VALLEY, wrap=True)
