"""A hull being made better, in the place of the hull and its numbers: the pupil's own beside the better one, why, and what to do."""

from __future__ import annotations

import pygame

from folder.cargo.item import Item
from folder.draw.picture import Picture
from folder.draw.style import PAPER, Style
from folder.pattern.pattern import Crease
from folder.window import theme
from folder.window.background.identity import IdentityKey
from folder.window.commands.table import COMMANDS
from folder.window.editor import Editor
from folder.window.fold.better.actions import keep_mine, look_at, stop_search, take_better
from folder.window.fold.better.state import BetterState, BetterStep
from folder.window.fold.better.words import gain_words, load_words, why_in_all_words, why_words
from folder.window.help.worded import worded
from folder.window.paint.foil import paint_foil
from folder.window.paint.layer import PaintLayer
from folder.window.paint.surface import PEN_PX, ink, paint
from folder.window.theme import Size
from folder.window.viewport import Viewport
from folder.window.widgets import Pane, Ui, button, button_w

WORDS = "Make this better"
HANDS = "In usual hands: half of all builds hold less, half hold more."
LINES_H, LEAST_HULL_H = 250.0, 90.0
"""A card this high has the lines under the hull; a hull smaller than this is no picture."""
BETTER_LINE = Style(0.5, (), "#1557B0")
"""A line of the better hull on the pupil's sheet."""
LINE_H = theme.SIZES["small"] * theme.LEADING


def better_button(ui: Ui, pane: Pane, editor: Editor, *, small: bool = False) -> None:
    """The button that begins it, small without its words."""
    text = "" if small else WORDS
    if button(ui, "better", pane, text, icon="better", enabled=editor.state.drag_pattern is None, tip=COMMANDS["better"].tip):
        COMMANDS["better"].do(editor)


def better_panel(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The whole of it."""
    better, item = editor.state.better, editor.state.object_choice.item
    ui.display_list.plate(pane, theme.PAPER, theme.HAIR)
    inner = pane.inset(12, 10)
    inner = _said(ui, inner, "better/title", _title(better), "big", bold=True)
    inner = _said(ui, inner, "better/why", _why(better, item), "body")
    foot, inner = inner.cut_bottom(theme.PRESS_H, 8)
    _foot(ui, foot, editor)
    if len(better.way) > 1:
        words_w = inner.w - 2 * (theme.PRESS_H + 8)
        words_h = max(ui.display_list.text_h(_step_text(better, k, item), words_w, "small") for k in range(len(better.way)))
        row, inner = inner.cut_bottom(max(theme.PRESS_H, words_h + 2), 8)
        _walk(ui, row, editor)
    if better.way and inner.h > LINES_H:
        note, inner = inner.cut_bottom(ui.display_list.text_h(HANDS, inner.w, "small"), 8)
        worded(ui, "better/hands", note, HANDS, editor, "small", colour=theme.SOFT_INK, top=True)
    if better.way and not better.is_on_the_way and len(better.way) == 1:
        _card(ui, inner, "mine", "Yours", better.way[0], item, None)
    elif better.way:
        left, right = inner.columns(2, 10)
        _card(ui, left, "mine", "Yours", better.way[0], item, None)
        shown = better.way[better.shown]
        _card(ui, right, "found", _found_word(better), shown if better.shown else None, item, better.way[0])
    elif better.is_on_the_way:
        ui.display_list.text("…", inner, "title", align="middle", colour=theme.SOFT_INK)


def better_lines(ui: Ui, pane: Pane, editor: Editor, viewport: Viewport) -> None:
    """The lines of the hull that is looked at, over the sheet: those that the pupil's own has not."""
    better = editor.state.better
    if better.of is None or not better.shown:
        return
    there = {_rounded(c) for c in better.of.creases}
    lines = [(c.start, c.end) for c in better.way[better.shown].pattern.creases if _rounded(c) not in there]
    scale = ui.scale

    def draw(surface: pygame.Surface, rect: pygame.Rect) -> None:
        for ends in lines:
            a, b = ((rect.x + x * scale, rect.y + y * scale) for x, y in map(viewport.px, ends))
            ink(surface, (a, b), BETTER_LINE, PEN_PX * scale)

    key = ("better lines", IdentityKey(better.way[better.shown]), viewport, scale)
    ui.display_list.custom(pane, key, draw)


def _rounded(crease: Crease) -> tuple[object, ...]:
    ends = sorted((round(x, 1), round(y, 1)) for x, y in (crease.start, crease.end))
    return *ends, crease.sense


def _said(ui: Ui, pane: Pane, name: str, text: str, size: Size, *, bold: bool = False) -> Pane:
    """A text at the top of a pane; what is left below it."""
    if not text:
        return pane
    place, rest = pane.cut_top(ui.display_list.text_h(text, pane.w, size, bold) + 2, 6)
    ui.place(name, place, "text", text=text, stops=False, pointed=False)
    ui.display_list.text(text, place, size, bold=bold, wrap=True, top=True)
    return rest


def _title(better: BetterState) -> str:
    if better.failed and not better.is_found:
        return "This cannot be made better now"
    if better.is_on_the_way:
        return "Looking for better hulls …"
    return "This one is better" if better.is_found else "Nothing better was found"


def _why(better: BetterState, item: Item | None) -> str:
    if better.failed and not better.is_found:
        return better.failed
    if better.shown > 0 and (better.is_found or better.is_on_the_way):
        return why_in_all_words(better, better.shown, item)
    if better.is_on_the_way:
        return "Each one is folded and floated. You can stop at any time."
    return (
        f"{better.tried} hulls like yours were tried in whole millimetres. Yours is as good as the best of them."
        if better.way
        else ""
    )


def _found_word(better: BetterState) -> str:
    return "Best so far" if better.is_on_the_way and better.looked_at is None else "Better"


def _foot(ui: Ui, pane: Pane, editor: Editor) -> None:
    """Stop while it looks; then take it, or keep one's own."""
    better = editor.state.better
    if better.is_on_the_way:
        stop, rest = pane.cut_left(min(button_w(ui, "Stop", "cross", True), pane.w / 2), 12)
        if button(ui, "better/stop", stop, "Stop", icon="cross", rank="main", tip=COMMANDS["better"].tip):
            stop_search(editor)
        text = f"{better.tried} hulls tried"
        ui.place("better/tried", rest, "text", text=text, value=better.tried, stops=False, pointed=False)
        ui.display_list.text(text, rest, colour=theme.SOFT_INK)
        return
    if not better.is_found:
        back = pane.cut_left(button_w(ui, "Back to mine", "tick", True))[0]
        if button(ui, "better/keep", back, "Back to mine", icon="tick", rank="main", tip="Back to your hull (Escape)"):
            keep_mine(editor)
        return
    take, rest = pane.cut_left(button_w(ui, "Take it", "tick", True), 8)
    if button(ui, "better/take", take, "Take it", icon="tick", rank="main", tip="It becomes your drawing. Undo takes it back"):
        take_better(editor)
        return
    keep = rest.cut_left(button_w(ui, "Keep mine"))[0]
    if button(ui, "better/keep", keep, "Keep mine", tip="Your drawing stays as it is (Escape)"):
        keep_mine(editor)


def _walk(ui: Ui, pane: Pane, editor: Editor) -> None:
    """One hull back or on along the way, and what that one changed."""
    better = editor.state.better
    back, rest = pane.cut_left(theme.PRESS_H, 8)
    on, words = rest.cut_right(theme.PRESS_H, 8)
    back, on = back.centred(back.w, theme.PRESS_H), on.centred(on.w, theme.PRESS_H)
    last, shown = len(better.way) - 1, better.shown
    if button(ui, "better/back", back, icon="left", enabled=shown > 0, tip="One hull back (Page up)"):
        look_at(editor, shown - 1)
    if button(ui, "better/on", on, icon="right", enabled=shown < last, tip="One hull on (Page down)"):
        look_at(editor, shown + 1)
    text = _step_text(better, shown, editor.state.object_choice.item)
    ui.place("better/step", words, "text", text=text, value=shown, stops=False, pointed=False)
    ui.display_list.text(text, words, "small", wrap=True)


def _step_text(better: BetterState, index: int, item: Item | None) -> str:
    return f"{index} of {len(better.way) - 1}: {why_words(better, index, item)}" if index else "Your own hull"


def _card(
    ui: Ui, pane: Pane, name: str, head: str, step: BetterStep | None, item: Item | None, before: BetterStep | None
) -> None:
    """One of the two hulls: what it carries, the hull, its lines."""
    ui.display_list.plate(pane, theme.PAPER, theme.INK if before is not None and step is not None else theme.EDGE)
    inner = pane.inset(8, 6)
    title, inner = inner.cut_top(LINE_H, 2)
    ui.display_list.text(head, title, "small", bold=True, colour=theme.SOFT_INK)
    load = load_words(step, item)
    is_more = step is not None and before is not None and 0.0 < before.likely_g < step.likely_g
    more = gain_words(step, before, item) if is_more and step is not None and before is not None else ""
    number, inner = inner.cut_top(2 * LINE_H + 8, 4)
    text = f"{load}, {more}" if more else load
    ui.place(
        f"better/{name}", number, "number", text=text, value=0.0 if step is None else step.likely_g, stops=False, pointed=False
    )
    upper, lower = number.rows(2)
    size: Size = "body" if ui.display_list.text_w(load, "body", True) <= upper.w else "small"
    ui.display_list.text(load, upper, size, bold=True)
    ui.display_list.text(more, lower, "small", colour=theme.GOOD)
    if step is None or inner.h < 30:
        return
    hull = inner
    if inner.h >= LINES_H:
        hull, sheet = inner.rows([1.0, 0.9], 8)
        side = min(sheet.w, sheet.h)
        _picture(ui, f"better/{name}/lines", sheet.centred(side, side), step.lines, foil=False)
    elif inner.w >= LINES_H:
        side = min(inner.h, inner.w * 0.4)
        sheet, hull = inner.cut_right(side, 8)
        _picture(ui, f"better/{name}/lines", sheet.centred(side, side), step.lines, foil=False)
    _picture(ui, f"better/{name}/hull", hull, step.snapshot.picture, foil=True)


def _picture(ui: Ui, name: str, pane: Pane, picture: Picture, *, foil: bool) -> None:
    layer: PaintLayer = ui.memory(f"{name}/layer", PaintLayer)
    glyph_cache = ui.display_list.renderer.glyph_cache
    key = (IdentityKey(picture), pane.w, pane.h, ui.scale)

    def made(surface: pygame.Surface) -> None:
        if foil:
            paint_foil(surface, picture, glyph_cache, ui.scale, ground=PAPER)
            return
        surface.fill(theme.PAPER)
        viewport = Viewport.fit(picture.box, 0, 0, *surface.get_size(), margin_px=2)
        paint(surface, picture, viewport, glyph_cache, 0.6 * PEN_PX * ui.scale)

    ui.display_list.custom(pane, key, lambda surface, rect: layer.show(surface, rect, key, made))
