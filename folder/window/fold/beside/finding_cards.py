"""What was found in the drawing, and how to mend it, one below the other."""

from __future__ import annotations

from folder.findings import Finding, Remedy
from folder.window import theme
from folder.window.commands import change
from folder.window.editor import Editor
from folder.window.fold.beside.remedy_cards import remedies_h, remedy_cards
from folder.window.help.worded import worded
from folder.window.widgets import Pane, Ui, button, label

MOST_LISTED = 20


def findings(ui: Ui, inside: Pane, editor: Editor) -> None:
    """The findings in a pane that has no end below."""
    y = inside.y + remedy_cards(ui, inside, editor)
    found = editor.findings
    for i, finding in enumerate(found[:MOST_LISTED]):
        y += _finding(ui, Pane(inside.x, y, inside.w, 1e6), editor, i, finding) + 8
    room = Pane(inside.x, y, inside.w, 1e6)
    if len(found) > MOST_LISTED:
        label(ui, room, f"… and {len(found) - MOST_LISTED} more.", colour=theme.SOFT_INK)
    if not found and editor.fresh is not None and editor.pattern.creases:
        label(ui, room, "Nothing else to say: all is well.", "small", colour=theme.SOFT_INK)


def findings_h(ui: Ui, width: float, editor: Editor) -> float:
    """How high they all are at a width, with what would mend the drawing above them."""
    found = editor.findings[:MOST_LISTED]
    cards = sum(_heights(ui, width, editor, i, finding)[3] + 8 for i, finding in enumerate(found))
    return remedies_h(ui, width, editor) + cards


def _heights(ui: Ui, width: float, editor: Editor, index: int, finding: Finding) -> tuple[float, float, float, float]:
    """The room for words beside the icon; how high its text is, its numbers, the whole card."""
    room = width - theme.ICON - 3 * theme.GAP
    text_h = ui.display_list.text_h(finding.text, room, "body", True)
    # The numbers are for the coach: they show for the finding that is pressed.
    detail = finding.detail if editor.state.finding == index else ""
    detail_h = ui.display_list.text_h(detail, room, "small") if detail else 0.0
    remedy_h = 0.0 if editor.offers else _remedy_h(ui, room, finding)
    return room, text_h, detail_h, text_h + detail_h + remedy_h + 2 * theme.GAP


def _finding(ui: Ui, pane: Pane, editor: Editor, index: int, finding: Finding) -> float:
    """One finding and its remedy on a card; the height it takes."""
    name, pointed = f"finding/{index}", editor.state.finding == index
    room, text_h, detail_h, high = _heights(ui, pane.w, editor, index, finding)
    card = Pane(pane.x, pane.y, pane.w, high)
    tip = "" if pointed else "Press to see it in numbers, and where it is"
    record = ui.place(name, card, "finding", text=finding.text, value=finding.code, stops=False, tip=tip)
    if ui.fired(record):
        change.point_at_finding(editor, None if pointed else index)
    colour = theme.LEVEL_INK[finding.level]
    ui.display_list.plate(card, theme.LEVEL_TINT[finding.level], colour, width=2 if pointed else 1)
    middle = card.y + theme.GAP + theme.SIZES["body"] * theme.LEADING / 2
    ui.display_list.icon(theme.LEVEL_ICON[finding.level], (card.x + theme.GAP + theme.ICON / 2, middle), colour)
    words = Pane(card.x + theme.ICON + 2 * theme.GAP, card.y + theme.GAP, room, card.h - 2 * theme.GAP)
    head, rest = words.cut_top(text_h)
    worded(ui, name, head, finding.text, editor, bold=True, colour=colour, top=True)
    ui.display_list.text(finding.detail if detail_h else "", rest.cut_top(detail_h)[0], "small", wrap=True, top=True)
    if finding.remedy is not None and not editor.offers:
        _remedy(ui, f"{name}/mend", rest.cut_top(detail_h + 6)[1], editor, finding.remedy)
    return card.h


def _remedy_h(ui: Ui, room: float, finding: Finding) -> float:
    if finding.remedy is None:
        return 0.0
    text = finding.remedy.text.rstrip(".")
    fits = ui.display_list.text_w(text) <= room - theme.ICON - 4 * theme.GAP
    return 6 + theme.PRESS_H + (0.0 if fits else ui.display_list.text_h(text, room, "small") + 2)


def _remedy(ui: Ui, name: str, pane: Pane, editor: Editor, remedy: Remedy) -> None:
    """What would mend it, as a button; a long sentence stands above it."""
    text = remedy.text.rstrip(".")
    if ui.display_list.text_w(text) > pane.w - theme.ICON - 4 * theme.GAP:
        pane = pane.cut_top(label(ui, pane, text, "small") + 2)[1]
        text = "Do this"
    able = editor.fresh is not None and editor.state.drag_pattern is None
    if button(ui, name, pane.cut_top(theme.PRESS_H)[0], text, icon="tick", enabled=able, align="left"):
        change.mend(editor, remedy)
