"""The help: first steps in five pictures, the words with theirs, every key; and how large letters are."""

from __future__ import annotations

from collections.abc import Mapping

import pygame
from msgspec import Struct

from folder.draw.picture import Picture
from folder.window import theme
from folder.window.background.identity import IdentityKey
from folder.window.commands.files import close_dialog, set_scale
from folder.window.commands.table import SCALES
from folder.window.editor import Editor
from folder.window.help.commands import set_help
from folder.window.help.key_list import key_list
from folder.window.help.pictures import help_pictures
from folder.window.help.state import HELP_PAGES
from folder.window.help.words import HELP_WORDS, ICON, HelpWord
from folder.window.paint.foil import paint_foil
from folder.window.paint.layer import PaintLayer
from folder.window.widgets import Pane, Ui, button, choice, dialog, drop_down, scroll

SCALE_WORDS = {f"{scale:g}": f"{scale * 100:.0f} %" for scale in SCALES}
STEPS = (
    ("step-walls", "Take Wall, press at an edge of the sheet and drag in. All four walls come up at once."),
    ("step-corner", "Where two walls meet, the corner folds itself. On the right you see the hull it makes."),
    ("step-drag", "Drag a wall line to and fro. The big number tells how many the hull will likely carry."),
    ("step-play", "Play the steps below the sheet, and fold your foil in the same order."),
    ("afloat", "Turn to Float: make your guess, then load until the water comes in. Then test it for real!"),
)
"""Name of the picture, sentence."""
PICTURE_W, PICTURE_H = 132.0, 92.0


class _Layers(Struct):
    by_name: dict[str, PaintLayer]


def help_page(ui: Ui, editor: Editor) -> None:
    """The dialog."""
    wide, high = min(ui.page.w - 40, 940), min(ui.page.h - 40, 700)
    with dialog(ui, "help-page", "Help", wide, high, first="help/page") as card:
        foot, rest = card.inside.cut_bottom(theme.PRESS_H, 8)
        row, rest = rest.cut_top(theme.PRESS_H, 8)
        pages, helping = {str(page): word for page, word in HELP_PAGES.items()}, editor.state.helping
        picked = choice(ui, "help/page", row, pages, helping.page)
        for page in HELP_PAGES:
            if page == picked != helping.page:
                set_help(editor, page)
        match editor.state.helping.page:
            case "steps":
                _steps(ui, rest, editor)
            case "words":
                _words(ui, rest, editor)
            case "keys":
                key_list(ui, rest)
        closing, size = foot.cut_right(140)
        label, choosing = size.cut_left(ui.display_list.text_w("Size of letters") + 6, 6)
        ui.display_list.text("Size of letters", label)
        scale = drop_down(ui, "help/size", choosing.cut_left(106)[0], SCALE_WORDS, f"{editor.memory.scale:g}")
        set_scale(editor, float(scale))
        if button(ui, "help/close", closing, "Close", rank="main") or card.closed:
            close_dialog(editor)


def _steps(ui: Ui, pane: Pane, editor: Editor) -> None:
    """Five pictures, each with its sentence."""
    with scroll(ui, "help/steps", pane) as inside:
        columns = 2 if inside.w > 640 else 1
        for k, (picture, text) in enumerate(STEPS):
            cell = inside.columns(columns, 20)[k % columns]
            row = Pane(cell.x, inside.y + (k // columns) * (PICTURE_H + 58), cell.w, PICTURE_H + 48)
            ui.spread(row)
            ui.place(f"help/step/{k}", row, "text", text=text, stops=False, pointed=False)
            number, rest = row.cut_left(34, 4)
            drawn, words = rest.cut_left(PICTURE_W + 30, 12)
            ui.display_list.text(f"{k + 1}", number.cut_top(40)[0], "title", bold=True)
            _picture(ui, drawn, editor, picture)
            ui.display_list.text(text, words, wrap=True)


def _words(ui: Ui, pane: Pane, editor: Editor) -> None:
    """Every word; the one that was asked about is brought into sight."""
    asked = editor.state.helping.word
    seen: list[str] = ui.memory("help/asked", lambda: [""])
    if asked != seen[0]:
        seen[0] = asked
        ui.focus.reveal = f"help/word/{asked}"
    with scroll(ui, "help/words", pane) as inside:
        columns = inside.columns(2 if inside.w > 640 else 1, 20)
        heights = [0.0] * len(columns)
        for word in HELP_WORDS:
            k = heights.index(min(heights))
            heights[k] += _word(ui, columns[k].moved(0, heights[k]), editor, word, word.word == asked) + 10


def _word(ui: Ui, pane: Pane, editor: Editor, word: HelpWord, asked: bool) -> float:
    room = pane.w - PICTURE_W - 28
    text_h = ui.display_list.text_h(word.text, room, "small")
    row = Pane(pane.x, pane.y, pane.w, max(text_h + 30, PICTURE_H - 14) + 12)
    ui.spread(row)
    ui.place(f"help/word/{word.word}", row, "text", text=word.text, value=asked, stops=False, pointed=False)
    if asked:
        ui.display_list.plate(row, theme.PICKED, theme.INK)
    drawn, words = row.inset(6).cut_left(PICTURE_W, 12)
    _picture(ui, drawn, editor, word.picture)
    upper, lower = words.cut_top(26)
    ui.display_list.text(word.word, upper, bold=True)
    ui.display_list.text(word.text, lower, "small", wrap=True, top=True)
    return row.h


def _picture(ui: Ui, pane: Pane, editor: Editor, name: str) -> None:
    """A picture of the help on white, or an icon."""
    ui.display_list.plate(pane, theme.PAPER, theme.HAIR)
    if name.startswith(ICON):
        ui.display_list.icon(name.removeprefix(ICON), pane.middle, theme.INK, min(pane.w, pane.h) * 0.6)
        return
    answer = editor.worker.ask_job("help", "pictures", help_pictures).answer
    pictures: Mapping[str, Picture] = answer.value if answer is not None and answer.failed is None else {}
    if name not in pictures:
        return
    picture, inner = pictures[name], pane.inset(3)
    layers = ui.memory("help/layers", lambda: _Layers({})).by_name
    layer = layers.setdefault(f"{name} {inner.w:.0f} {inner.h:.0f}", PaintLayer())
    key = (IdentityKey(picture), inner.w, inner.h, ui.scale)

    def made(surface: pygame.Surface) -> None:
        paint_foil(surface, picture, ui.display_list.renderer.glyph_cache, ui.scale, ground="#FFFFFF")

    ui.display_list.custom(inner, key, lambda surface, rect: layer.show(surface, rect, key, made))
