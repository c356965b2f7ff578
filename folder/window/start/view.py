"""The start page: three doors, the last works, the ready hulls from easy to hard, and the safety line."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from folder.cargo.item import Item
from folder.errors import FolderError
from folder.event.words import rules_line
from folder.pattern.file import read_pattern, ready_patterns
from folder.window import theme
from folder.window.autosave import drop_copy
from folder.window.commands.files import open_dialog, open_file, set_scale
from folder.window.commands.table import COMMANDS, SCALES
from folder.window.editor import Editor
from folder.window.event.day import open_event_rules
from folder.window.objects.field import object_field
from folder.window.opening import RULES, SAFETY, TITLE, safety_h
from folder.window.start.doors import doors
from folder.window.start.hull_tile import HullOnShelf, large_tile, small_tile
from folder.window.start.shelf import counted, shelved
from folder.window.tools.tool import sentence
from folder.window.widgets import Pane, Ui, button, button_w, drop_down, notice, scroll

SIZES = {f"{scale:g}": f"{scale * 100:.0f} %" for scale in SCALES}
TILE_W, TILE_H, TILE_GAP = 294.0, 170.0, 12.0
SMALL_W, SMALL_H = 236.0, 84.0
FIRST = "plain-tray"
"""The pattern to begin with stands first."""


def start_page(ui: Ui, pane: Pane, editor: Editor) -> None:
    """The page a new user sees first."""
    head, pane = pane.cut_top(50, 4)
    ui.display_list.text(TITLE, head.cut_left(head.w - 170)[0], "title", bold=True)
    of_event = open_event_rules(editor.memory)
    rules = RULES if of_event is None else rules_line(of_event)
    foot, pane = pane.cut_bottom(safety_h(ui, pane.w, rules), 8)
    _safety(ui, foot, rules)
    ready = ui.memory("start/ready", _ready)
    recent = ui.memory("start/recent", partial(_recent, editor))
    for hull in (*recent, *ready):
        # Nothing is worked out before the first frame is on the screen.
        if hull.making is None and ui.now_s > 0.0:
            hull.making = editor.worker.errand(partial(shelved, hull.pattern), "shelf")
    item = editor.state.object_choice.item
    with scroll(ui, "start/roll", pane) as inside:
        y = _left_behind(ui, inside, editor)
        y += doors(ui, inside.moved(0, y - inside.y), editor, ready) + 14
        y = _own(ui, inside.moved(0, y - inside.y), editor, recent, item)
        _shelf(ui, inside.moved(0, y - inside.y), editor, ready, item)
    _corner(ui, head.cut_right(160)[0].centred(160, theme.PRESS_H), editor)


def _corner(ui: Ui, pane: Pane, editor: Editor) -> None:
    helping, rest = pane.cut_right(46, 6)
    size = rest.cut_right(106)[0]
    if button(ui, "help", helping, icon="help", tip=COMMANDS["help"].tip):
        COMMANDS["help"].do(editor)
    set_scale(editor, float(drop_down(ui, "size", size, SIZES, f"{editor.memory.scale:g}", tip="Size of letters and buttons")))


def _own(ui: Ui, pane: Pane, editor: Editor, recent: list[HullOnShelf], item: Item | None) -> float:
    """The last works, and the way to all others; where it ends."""
    row, below = pane.cut_top(theme.PRESS_H, 6)
    ui.spread(row)
    open_w = button_w(ui, "Open a file", "open")
    opening, head = row.cut_right(open_w, 8)
    ui.display_list.text("Go on with" if recent else "Your own hulls will stand here", head, "big", bold=bool(recent))
    if button(ui, "open", opening, "Open a file", icon="open"):
        open_dialog(editor, "open")
    if not recent:
        return row.bottom + 10
    many = max(int((below.w + TILE_GAP) / (SMALL_W + TILE_GAP)), 1)
    cells = Pane(below.x, below.y, below.w, SMALL_H).columns(many, TILE_GAP)
    for k, (cell, hull) in enumerate(zip(cells, recent, strict=False)):
        ui.spread(cell)
        _count(ui, f"recent/{k}", editor, hull, item)
        if small_tile(ui, f"recent/{k}", cell, hull, item):
            _open(editor, hull.path)
    return below.y + SMALL_H + 14


def _shelf(ui: Ui, pane: Pane, editor: Editor, ready: list[HullOnShelf], item: Item | None) -> None:
    """The ready hulls."""
    row, below = pane.cut_top(theme.PRESS_H, 8)
    counting, head = row.cut_right(min(row.w * 0.5, 400.0), 12)
    words_w = ui.display_list.text_w("Ready hulls", "big", True) + 12
    title, line = head.cut_left(words_w)
    ui.display_list.text("Ready hulls", title, "big", bold=True)
    count_w = ui.display_list.text_w("count in", "small") + 8
    if ui.display_list.text_w("easy first", "small") + count_w <= line.w:
        ui.display_list.text("easy first", line.moved(0, 3), "small", colour=theme.SOFT_INK)
    if count_w <= line.w:
        ui.display_list.text("count in", line.moved(0, 1), "small", colour=theme.SOFT_INK, align="right")
    object_field(ui, counting, editor)
    across = max(int((below.w + TILE_GAP) / (TILE_W + TILE_GAP)), 1)
    cells = Pane(below.x, below.y, below.w, TILE_H).columns(across, TILE_GAP)
    for k, hull in enumerate(ready):
        cell = cells[k % across].moved(0, (k // across) * (TILE_H + TILE_GAP))
        ui.spread(cell)
        _count(ui, f"ready/{k}", editor, hull, item)
        if large_tile(ui, f"ready/{k}", cell, hull, item):
            _open(editor, hull.path, ready=True)


def _count(ui: Ui, name: str, editor: Editor, hull: HullOnShelf, item: Item | None) -> None:
    """Begin to count the objects in use, of a hull that is seen: once the pictures are there."""
    record = ui.last.get(name)
    if record is None or record.visible.h < 1.0 or hull.counts(item) is None or item is None:
        return
    if hull.counting is None or hull.counting[0] != item:
        if hull.counting is not None:
            hull.counting[1].cancel()
        hull.counting = (item, editor.worker.errand(partial(counted, hull.pattern, item), "shelf"))


def _open(editor: Editor, path: Path, *, ready: bool = False) -> None:
    editor.say(open_file(editor, path, ready=ready), "stop")


def _ready() -> list[HullOnShelf]:
    """The ready hulls, easy ones first."""
    found = _readable(list(ready_patterns().values()))
    return sorted(found, key=lambda one: (one.difficulty.level, one.path.stem != FIRST, one.difficulty.score, one.path.stem))


def _recent(editor: Editor) -> list[HullOnShelf]:
    """The last works that are still there, the newest first."""
    return _readable([Path(name) for name in editor.memory.recent])


def _readable(paths: list[Path]) -> list[HullOnShelf]:
    found = []
    for path in paths:
        try:
            if path.is_file():
                found.append(HullOnShelf(path, read_pattern(path)))
        except (OSError, FolderError):
            continue
    return found


def _left_behind(ui: Ui, pane: Pane, editor: Editor) -> float:
    """Work that a crash left behind is offered first; where it ends."""
    kept = ui.memory("start/kept", lambda: editor.autosave.left_behind())
    if not kept:
        return pane.y
    copy: Path = kept[0]
    used = notice(ui, pane, "The window closed unexpectedly last time. Your work was kept.", "warn")
    row, rest = pane.cut_top(used, 6)[1].cut_top(theme.PRESS_H, 14)
    ui.spread(row)
    back, beside = row.cut_left(button_w(ui, "Take my work back", "play", bold=True), 10)
    if button(ui, "kept/back", back, "Take my work back", icon="play", rank="main"):
        kept.clear()
        _take_back(editor, copy)
    elif button(ui, "kept/drop", beside.cut_left(button_w(ui, "I do not need it"))[0], "I do not need it"):
        kept.clear()
        drop_copy(copy)
    return rest.y


def _take_back(editor: Editor, copy: Path) -> None:
    """Put back on the table what a crash left behind."""
    try:
        editor.begin(read_pattern(copy), unsaved=True)
        editor.autosave.keep(editor.document)
    except FolderError as error:
        editor.say(sentence(error), "warn")
    drop_copy(copy)


def _safety(ui: Ui, pane: Pane, rules: str) -> None:
    ui.place("safety", pane, "text", text=f"{rules} {SAFETY}", stops=False, pointed=False)
    notice(ui, pane, rules, "note", SAFETY)
