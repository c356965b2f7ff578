"""A text in which every word that is explained can be pressed: it opens the help at that word."""

from __future__ import annotations

from folder.window import theme
from folder.window.editor import Editor
from folder.window.help.commands import ask_word
from folder.window.help.words import words_in
from folder.window.theme import Rgb, Size
from folder.window.widgets import Pane, Ui


def worded(
    ui: Ui, name: str, pane: Pane, text: str, editor: Editor, size: Size = "body", *, bold: bool = False,
    colour: Rgb = theme.INK, top: bool = False,
) -> None:  # fmt: skip
    """The text, wrapped; in the middle of the height unless `top`. `name` is that of the words' widgets, with a number."""
    ui.display_list.text(text, pane, size, bold=bold, colour=colour, wrap=True, top=top)
    line_h, px = theme.SIZES[size] * theme.LEADING, ui.display_list.text_px(size)
    lines = ui.display_list.renderer.glyph_cache.wrap(text, px, bold, int(pane.w * ui.scale + 0.5))
    y = pane.y if top else pane.y + (pane.h - line_h * len(lines)) / 2
    number = 0
    for k, line in enumerate(lines):
        if y + (k + 1) * line_h > pane.bottom + 2:
            break  # cut off
        for found in words_in(line):
            before, whole = (ui.display_list.text_w(line[:n], size, bold) if n else 0.0 for n in (found.start, found.end))
            place = Pane(pane.x + before, y + k * line_h, whole - before, line_h)
            record = ui.place(f"{name}/word/{number}", place, "word", text=found.word.word, stops=False, tip=found.word.text)
            number += 1
            if ui.drawing:
                under = place.bottom - line_h * 0.12
                ui.display_list.line((place.x, under), (place.right, under), colour if record.hovered else theme.EDGE)
            if ui.fired(record):
                ask_word(editor, found.word.word)
