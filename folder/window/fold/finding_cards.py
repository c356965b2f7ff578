"""What was found in the drawing, and how to mend it, one below the other."""

from __future__ import annotations

from folder.findings import Finding
from folder.window import theme
from folder.window.commands import change
from folder.window.editor import Editor
from folder.window.widgets import Pane, Ui, button, label, notice

MOST_LISTED = 20


def findings(ui: Ui, inside: Pane, editor: Editor) -> None:
    """The findings in a pane that has no end below."""
    y = inside.y
    found = editor.findings
    for i, finding in enumerate(found[:MOST_LISTED]):
        y += _finding(ui, Pane(inside.x, y, inside.w, 1e6), editor, i, finding) + 8
    room = Pane(inside.x, y, inside.w, 1e6)
    if len(found) > MOST_LISTED:
        label(ui, room, f"… and {len(found) - MOST_LISTED} more.", colour=theme.SOFT_INK)
    if not found and editor.fresh is not None and editor.pattern.creases:
        label(ui, room, "Nothing else to say: all is well.", "small", colour=theme.SOFT_INK)


def _finding(ui: Ui, pane: Pane, editor: Editor, index: int, finding: Finding) -> float:
    """One finding and its remedy; the height it takes."""
    # The numbers are for the coach: they show for the finding that is pressed.
    used = notice(
        ui, pane, f"{index + 1}  {finding.text}", finding.level, finding.detail if editor.state.finding == index else ""
    )
    name = f"finding/{index}"
    record = ui.place(
        name, Pane(pane.x, pane.y, pane.w, used), "finding", text=finding.text, value=finding.code, stops=False,
        tip="" if editor.state.finding == index else "Press to see it in numbers",
    )  # fmt: skip
    if ui.fired(record):
        change.point_at_finding(editor, None if editor.state.finding == index else index)
    if finding.remedy is not None:
        text = finding.remedy.text.rstrip(".")
        line = Pane(pane.x, pane.y + used + 4, pane.w, theme.PRESS_H)
        if ui.display_list.text_w(text) > line.w - theme.ICON - 4 * theme.GAP:
            used += label(ui, Pane(pane.x + 6, pane.y + used + 4, pane.w - 12, 1e6), text, "small") + 2
            line, text = Pane(pane.x, pane.y + used + 4, pane.w, theme.PRESS_H), "Do this"
        fits = editor.fresh is not None and editor.state.drag_pattern is None
        if button(ui, f"{name}/mend", line, text, icon="tick", enabled=fits, align="left"):
            change.mend(editor, finding.remedy)
        used += 4 + theme.PRESS_H
    return used
