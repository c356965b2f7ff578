"""A page with every widget on it, for the tests of the widgets and for looking at them."""

from __future__ import annotations

from msgspec import Struct, field

from folder.window import theme
from folder.window.widgets import (  # fmt: skip
    Column,
    DisplayList,
    Pane,
    Tile,
    Ui,
    button,
    check,
    choice,
    dialog,
    drop_down,
    label,
    notice,
    number_field,
    scroll,
    slider,
    strip,
    table,
    tabs,
    text_field,
    tiles,
    toggle,
    touch_area,
)

SENSES = {"valley": "Valley", "mountain": "Mountain", "guide": "Guide"}
OBJECTS = {f"thing-{i}": f"Thing {i:02d}, {i + 1}.5 g each" for i in range(14)}


class State(Struct):
    """What the page is about."""

    name: str = "Plain tray"
    width_mm: float | None = 25.0
    turn_deg: float | None = None
    sense: str = "valley"
    thing: str = "thing-2"
    hand: str = "usual"
    tab: str = "fold"
    mirror: bool = True
    grid: bool = True
    folded: float = 40.0
    row: int | None = 1
    tile: int | None = 0
    step: int | None = 1
    asking: bool = False
    pressed: list[str] = field(default_factory=list)
    commits: list[float | None] = field(default_factory=list)


def tray(display_list: DisplayList, pane: Pane) -> None:
    """A picture for a tile."""
    side = min(pane.w, pane.h) - 8
    sheet = pane.centred(side, side)
    display_list.plate(sheet, theme.FADED, theme.EDGE, radius=2)
    display_list.plate(sheet.inset(side / 6), theme.WATER, theme.VALLEY, radius=1)


def page(ui: Ui, state: State) -> None:
    """All widgets on one page."""
    left, right = ui.page.inset(20, 16).cut_left(590, 24)
    _left(ui, left, state)
    _right(ui, right, state)
    if state.asking:
        with dialog(ui, "ask", "Keep this hull?", 480, 260, default="ask/keep") as card:
            text, rest = card.inside.cut_top(60)
            label(ui, text, "It has not been saved since you moved the last wall.")
            line, rest = rest.cut_top(theme.PRESS_H, 16)
            state.name = text_field(ui, "ask/name", line, state.name)
            keep, drop = rest.cut_bottom(theme.PRESS_H)[0].columns(2, 12)
            if button(ui, "ask/drop", drop, "Close without", rank="danger"):
                state.asking = False
            if button(ui, "ask/keep", keep, "Save it", icon="save", rank="main"):
                state.pressed.append("ask/keep")
                state.asking = False
            if card.closed:
                state.asking = False
    if ui.shortcut("ctrl+s"):
        state.pressed.append("ctrl+s")
        ui.say("Saved as “Plain tray”.", "good")
    if ui.shortcut("n"):
        state.asking = True
    if ui.shortcut("escape"):
        state.pressed.append("escape")


def _left(ui: Ui, pane: Pane, state: State) -> None:
    head, pane = pane.cut_top(44, 6)
    label(ui, head, "Every widget", "title", bold=True)
    row, pane = pane.cut_top(theme.PRESS_H, 12)
    cells = row.columns([1.1, 1.2, 1.1, 1.1, 0.5], 10)
    for name, text, icon, cell in zip(("new", "save", "undo", "lost", "help"), ("New", "Save", "Undo", "Redo", ""),
                                      ("new", "save", "undo", "redo", "help"), cells, strict=True):  # fmt: skip
        rank = "main" if name == "save" else "quiet" if name == "help" else "plain"
        if button(ui, name, cell, text, icon=icon, rank=rank, enabled=name != "lost", tip=f"{text or 'Help'} tip"):
            state.pressed.append(name)
            state.asking = name == "new" or state.asking
    row, pane = pane.cut_top(48, 12)
    state.sense = choice(ui, "sense", row, SENSES, state.sense, icons={k: k for k in SENSES})
    row, pane = pane.cut_top(theme.PRESS_H, 12)
    one, two, three = row.columns([1, 1, 1], 10)
    state.mirror = toggle(ui, "mirror", one, "All corners", state.mirror, icon="mirror_all")
    toggle(ui, "off", two, "Left-right", False, icon="mirror_lr")
    state.grid = check(ui, "grid", three, "Snap to grid", state.grid)
    row, pane = pane.cut_top(theme.PRESS_H, 12)
    cells = row.columns([0.7, 1, 0.7, 1], 10)
    ui.display_list.text("Wall", cells[0], align="right")
    before = state.width_mm
    state.width_mm = number_field(ui, "width", cells[1], state.width_mm, unit="mm", low=5, high=70, step=0.5)
    if state.width_mm != before:
        state.commits.append(state.width_mm)
    ui.display_list.text("Turn", cells[2], align="right")
    state.turn_deg = number_field(ui, "turn", cells[3], state.turn_deg, unit="°", low=0, high=180, empty="free")
    row, pane = pane.cut_top(theme.PRESS_H, 12)
    cells = row.columns([0.7, 2.7], 10)
    ui.display_list.text("Name", cells[0], align="right")
    state.name = text_field(ui, "name", cells[1], state.name, wrong=lambda t: "" if t.strip() else "Give it a name.")
    row, pane = pane.cut_top(theme.PRESS_H, 12)
    cells = row.columns([0.7, 1.6, 1.1], 10)
    ui.display_list.text("Load", cells[0], align="right")
    state.thing = drop_down(ui, "thing", cells[1], OBJECTS, state.thing, tip="What goes in the hull")
    text_field(ui, "locked", cells[2], "not now", enabled=False)
    row, pane = pane.cut_top(theme.PRESS_H, 12)
    cells = row.columns([0.7, 2.2, 0.5], 10)
    ui.display_list.text("Fold", cells[0], align="right")
    state.folded = slider(ui, "fold", cells[1], state.folded, 0, 100, step=5, ticks=5)
    ui.display_list.text(f"{state.folded:.0f} %", cells[2])
    row, pane = pane.cut_top(70, 12)
    notice(ui, row, "This corner will not close.", "stop", "Misfit 4.2° at (25, 25): turn the diagonal to 45°.")
    row, pane = pane.cut_top(44, 12)
    notice(ui, row, "Folds from one sheet, no tape", "good")
    row, pane = pane.cut_top(44, 12)
    notice(ui, row, "The edge dips here", "warn")
    state.step = strip(ui, "steps", pane, [Tile(f"{i}. Fold", tray) for i in range(1, 9)], state.step, w=104).at


def _right(ui: Ui, pane: Pane, state: State) -> None:
    head, body = pane.cut_top(46)
    state.tab = tabs(ui, "tabs", head, {"fold": "Fold", "water": "On water", "paper": "Paper"}, state.tab)
    if ui.drawing:
        ui.display_list.fill(body, theme.PAPER)
    body = body.inset(16, 14)
    row, body = body.cut_top(70, 12)
    for cell, (word, number) in zip(
        row.columns(3, 12), (("floor", "100 cm²"), ("wall", "25 mm"), ("load", "214 g")), strict=True
    ):
        top, below = cell.cut_top(22)
        ui.display_list.text(word, top, "small", colour=theme.SOFT_INK)
        ui.display_list.text(number, below, "number", bold=True)
    row, body = body.cut_top(190, 12)
    rows = [(f"Trial {i}", f"{40 + i}", f"{101.5 + i:.1f} g") for i in range(12)]
    columns = [Column("Trial", 2), Column("Held", 1, "right"), Column("Mass", 1, "right")]
    state.row = table(ui, "trials", row, columns, rows, state.row).at
    row, body = body.cut_top(236, 12)
    names = ("Plain tray", "Leaning tray", "Hemmed tray with a very long name", "Boat", "Canoe", "Raft")
    picked = tiles(ui, "ready", row, [Tile(n, tray, "4 folds") for n in names], state.tile, w=150, h=190)
    state.tile = picked.at
    touch = touch_area(ui, "sheet", body.cut_left(180)[0], text="the sheet")
    if ui.drawing:
        ui.display_list.plate(touch.record.pane, theme.WATER if touch.held else theme.HOVER, theme.EDGE)
        ui.display_list.text("area", touch.record.pane, align="middle")
    with scroll(ui, "list", body.cut_left(180, 12)[1]) as inside:
        for i in range(12):
            line = Pane(inside.x, inside.y + 50 * i, inside.w, theme.PRESS_H)
            if button(ui, f"list/{i}", line, f"Remedy {i}", icon="tick", align="left"):
                state.pressed.append(f"list/{i}")
