"""The page Compare: up to eight hulls with one object, the best first and why, their bars across the page on one axis.

Axis and key stand below the rows and do not roll away with them.
"""

from __future__ import annotations

from pathlib import Path

from folder.cargo.words import noun
from folder.draw.chart import Axis, axis_row, row_bar
from folder.draw.picture import Box
from folder.errors import FolderError
from folder.paper.sheets.compare import MOST
from folder.pattern.file import read_pattern, ready_patterns
from folder.search.ranking import ranked, why_it_wins
from folder.units import rounded_down
from folder.window import theme
from folder.window.background.identity import IdentityKey
from folder.window.commands.table import COMMANDS
from folder.window.compare.commands import put_beside, take_away, take_up
from folder.window.compare.compared import Row, compared_rows, weighed_item
from folder.window.compare.key import key_row
from folder.window.compare.sweep import sweep_h, sweep_panel
from folder.window.editor import Editor
from folder.window.objects.field import object_field
from folder.window.paint.shown import PX_PER_MM, show_picture
from folder.window.theme import Size
from folder.window.tools.tool import sentence
from folder.window.widgets import Pane, Ui, button, button_w, drop_down, label, scroll

BEST_H, ROW_H, LOW_ROW_H = 116.0, 92.0, 68.0
"""The best, the others, and the others where many must share the room."""
WHY_H = 40.0
"""Under the best, across the page: why it is."""
GAP = 8.0
BUTTON = 40.0
AXIS_H = 30.0
KEEP = "Keep this one"
HOW = "Add hulls, or keep this one and change it: they stand side by side here."
NARROW = 900.0


def compare_page(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The page."""
    editor.state.comparing.counts.begin()
    top, pane = pane.cut_top(theme.PRESS_H, 8)
    _top(ui, top, editor)
    if editor.state.comparing.sweeping:
        below, pane = pane.cut_bottom(sweep_h(pane.h), 8)
    else:
        below = None
    foot, pane = pane.cut_bottom(theme.PRESS_H, 4)
    axis_pane, pane = pane.cut_bottom(AXIS_H)
    rows = compared_rows(editor)
    known = [row.contender for row in rows]
    order = _order(rows)
    best = order[0] if len(rows) > 1 and _is_good(rows[order[0]]) else -1
    side = _sides(pane.w)
    left = pane.x + side[0] + side[1] + 24
    right = pane.right - 2 * BUTTON - 36
    axis = Axis.over(max((row.spread.reach for row in rows), default=0.0), 0.0, (right - left) / PX_PER_MM)
    why = why_it_wins([one for one in known if one is not None], weighed_item(editor)) if all(known) else ""
    shared = (pane.h - BEST_H - WHY_H) / max(len(rows) - 1, 1) - GAP
    row_h = min(max(shared, LOW_ROW_H), ROW_H)
    with scroll(ui, "compare/roll", Pane(pane.x - 7, pane.y - 7, pane.w + 21, pane.h + 7)) as inside:
        y = inside.y
        for place, k in enumerate(order):
            high = BEST_H + WHY_H if k == best and why else row_h
            cell = Pane(pane.x, y, pane.w, high)
            ui.spread(cell)
            chart = Pane(left, cell.y + 4, right - left, min(high, BEST_H) - 8)
            if _row(ui, cell, chart, editor, rows[k], place, side, axis, why if k == best else ""):
                break  # the list is another one now
            y += high + GAP
        if len(rows) == 1:
            label(ui, Pane(pane.x + 4, y + 2, pane.w - 8, 1e6), HOW, colour=theme.SOFT_INK)
    line = Pane(left, axis_pane.y, right - left, AXIS_H)
    picture = axis_row(axis, Box(0.0, 0.0, line.w / PX_PER_MM, AXIS_H / PX_PER_MM))
    show_picture(ui, "compare/axis", line, picture, key=(axis, line.w), ground=theme.TABLE, zoom=PX_PER_MM, pen=1.0)
    ui.place("compare/axis", line, "axis", text=f"0 to {axis.values[-1]:g}", value=axis.values, stops=False, pointed=False)
    item = weighed_item(editor)
    unit = "grams" if item is None else noun(item, 2)
    key_row(ui, foot, editor, unit)
    if below is not None:
        sweep_panel(ui, below, editor, unit)


def _sides(width: float) -> tuple[float, float]:
    """How wide the picture of a hull and its words are."""
    return (150.0, 214.0) if width >= 1100 else (118.0, 190.0) if width >= NARROW else (76.0, 190.0)


def _is_good(row: Row) -> bool:
    one = row.contender
    return one is not None and one.good


def _order(rows: list[Row]) -> list[int]:
    """The rows, the best first; what is not known yet stands last, in its order."""
    known = [k for k, row in enumerate(rows) if row.contender is not None]
    found = [one for row in rows if (one := row.contender) is not None]
    return [known[k] for k in ranked(found)] + [k for k, row in enumerate(rows) if row.contender is None]


def _top(ui: Ui, row: Pane, editor: Editor) -> None:
    """The object, and what puts another hull on the list."""
    full = 1 + len(editor.state.comparing.others) >= MOST
    keep_w = button_w(ui, KEEP, "copy")
    field, rest = row.cut_left(min(max(row.w * 0.42, 290.0), 460.0), 10)
    object_field(ui, field, editor)
    keep, rest = rest.cut_right(min(keep_w, rest.w * 0.5), 8)
    ready = ui.memory("compare/ready", ready_patterns)
    add = rest.cut_right(min(rest.w, 330.0))[0]
    names = {name: name.replace("-", " ").capitalize() for name in ready}
    hint = "No more room" if full else "Add a hull"
    picked = drop_down(ui, "compare/add", add, names, "", hint=hint, enabled=not full, tip="Put a ready hull beside this one")
    if picked in ready:
        _add(editor, ready[picked])
        ui.redraw()
    lines = bool(editor.document.pattern.creases) and editor.state.drag_pattern is None
    if button(ui, "compare/keep", keep, KEEP, icon="copy", enabled=not full and lines, tip=COMMANDS["compare/keep"].tip):
        COMMANDS["compare/keep"].do(editor)
        ui.redraw()


def _add(editor: Editor, path: Path) -> None:
    try:
        put_beside(editor, read_pattern(path), ready=True)
    except FolderError as error:
        editor.say(sentence(error), "warn")


def _row(
    ui: Ui, cell: Pane, chart: Pane, editor: Editor, row: Row, place: int, side: tuple[float, float], axis: Axis, why: str
) -> bool:
    """One hull; whether the list is another one now. The best is larger and says why it is."""
    now, best = row.index < 0, bool(why)
    ui.place(f"compare/{row.index + 1}", cell, "hull", text=row.name, value=row.spread, stops=False, pointed=False)
    ui.place(f"compare/place/{place}", cell, "hull", text=row.name, stops=False, pointed=False)
    ui.display_list.plate(cell, theme.PAPER, theme.INK if best else theme.HAIR, width=2 if best else 1)
    if now:
        ui.display_list.plate(Pane(cell.x + 4, cell.y + 10, 5, cell.h - 20), theme.INK, radius=2)
    if best:
        below, head = Pane(cell.x, cell.y, cell.w, cell.h).cut_bottom(WHY_H)
        ui.display_list.line((cell.x + 14, below.y), (cell.right - 14, below.y), theme.HAIR)
        room = below.inset(16, 0)
        size: Size = "body" if ui.display_list.text_h(why, room.w) <= room.h else "small"
        ui.display_list.text(why, room, size, wrap=True)
    else:
        head = cell
    picture, rest = Pane(head.x + 10, head.y + 4, head.w - 10, head.h - 8).cut_left(side[0] - 4, 10)
    if row.known is not None:
        name = f"compare/hull/{row.index}/{best}"
        show_picture(ui, name, picture, row.known.drawn, key=IdentityKey(row.known.drawn), pen=0.75 if best else 0.55)
    _words(ui, rest.cut_left(side[1])[0], row, now, why)
    spread = row.spread
    mm = (chart.w / PX_PER_MM, chart.h / PX_PER_MM)
    bar = row_bar(spread, axis, Box(0.0, 0.0, *mm), strong=best)
    show_picture(
        ui, f"compare/bar/{row.index}", chart, bar, key=(spread, axis, mm, best), zoom=PX_PER_MM, pen=1.0
    )  # fmt: skip
    return False if now else _buttons(ui, Pane(head.right - 2 * BUTTON - 18, head.y, 2 * BUTTON + 10, head.h), editor, row)


def _words(ui: Ui, pane: Pane, row: Row, now: bool, why: str) -> None:
    """Name, measures, and what is wrong or why it wins."""
    name = f"{row.name} (now)" if now else row.name
    lines: list[tuple[str, bool]] = []
    one = row.contender
    if one is not None:
        measures = one.measures
        if one.verdict.level != "good":
            lines.append((one.verdict.short, one.verdict.level == "stop"))
        else:
            lines.append((f"floor {measures.floor_area_mm2 / 100:.0f} cm², wall {measures.wall_height_mm:.0f} mm", False))
            if one.low is not None and one.high is not None:
                lines.append(
                    (f"{rounded_down(one.low)} to {rounded_down(one.high)}, perfect {rounded_down(one.most or 0.0)}", False)
                )
    text = ", ".join(line for line, _ in lines)
    ui.place(f"compare/{row.index + 1}/numbers", pane, "text", text=text, value=why, stops=False, pointed=False)
    size: Size = "big" if why and ui.display_list.text_w(name, "big", True) <= pane.w else "body"
    name_h = min(ui.display_list.text_h(name, pane.w, size, True), 52.0)  # two lines at most
    lines = lines[: max(int((pane.h - name_h) / 20), 0 if name_h > 30 else 1)]
    y = max(pane.y + (pane.h - name_h - 20 * len(lines)) / 2, pane.y)
    ui.display_list.text(name, Pane(pane.x, y, pane.w, name_h), size, bold=True, wrap=True)
    y += name_h
    for line, wrong in lines:
        text = line
        if ui.display_list.text_w(text, "small") > pane.w:  # the first of two measures, where there is no room for both
            text = text.partition(",")[0]
        ui.display_list.text(
            text, Pane(pane.x, y, pane.w, 20), "small", colour=theme.STOP if wrong else theme.SOFT_INK, bold=wrong
        )
        y += 20


def _buttons(ui: Ui, pane: Pane, editor: Editor, row: Row) -> bool:
    """Open one of the others, or take it away; whether one of them is pressed."""
    cells = pane.centred(2 * BUTTON + 8, BUTTON).columns(2, 8)
    if button(ui, f"compare/open/{row.index}", cells[0], icon="open", tip=f"Put “{row.name}” on the table"):
        take_up(editor, row.index)
        ui.redraw()
        return True
    if button(ui, f"compare/drop/{row.index}", cells[1], icon="cross", tip=f"Take “{row.name}” off the list"):
        take_away(editor, row.index)
        ui.redraw()
        return True
    return False
