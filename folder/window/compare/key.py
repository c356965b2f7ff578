"""What the marks of a bar mean, what is counted, and the way to another wall: always in sight under the rows."""

from __future__ import annotations

from folder.draw.chart import bar_key
from folder.window import theme
from folder.window.commands.table import COMMANDS
from folder.window.editor import Editor
from folder.window.paint.shown import PX_PER_MM, show_picture
from folder.window.widgets import Pane, Ui, button_w, toggle

SWEEP = "With another wall"


def key_row(ui: Ui, pane: Pane, editor: Editor, unit: str) -> None:
    """The row."""
    on = editor.state.comparing.sweeping
    press, rest = pane.cut_right(min(button_w(ui, SWEEP, "line", bold=True) + 8, pane.w * 0.4), 12)
    if toggle(ui, "compare/sweep", press, SWEEP, on, icon="line") != on:
        COMMANDS["compare/sweep"].do(editor)
        ui.redraw()
    words = f"{unit}, {editor.state.floating.hand} hands"
    ui.place("compare/unit", rest, "text", text=words, stops=False, pointed=False)
    said, key = rest.cut_right(min(ui.display_list.text_w(words, "small", True) + 4, rest.w * 0.5), 10)
    ui.display_list.text(words, said, "small", bold=True, align="right")
    picture = bar_key(key.w / PX_PER_MM)
    show_picture(ui, "compare/key", Pane(key.x, key.middle[1] - 12, key.w, 24), picture, key=("key", key.w), ground=theme.TABLE,
                 zoom=PX_PER_MM, pen=1.0)  # fmt: skip
