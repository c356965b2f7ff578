"""The dialog in which an object is found: one field for name, mass, size and shape; groups with pictures; one's own."""

from __future__ import annotations

import pygame
from msgspec import Struct

from folder.cargo.item import Item
from folder.cargo.item_list import items, own_items
from folder.cargo.item_search import nearest_items, search_items
from folder.errors import UnreadableFile
from folder.window import theme
from folder.window.commands.files import close_dialog
from folder.window.editor import Editor
from folder.window.objects.commands import choose_object, drop_object
from folder.window.objects.own import OwnForm, own_form, own_page
from folder.window.objects.portrait import portrait
from folder.window.widgets import Pane, Ui, button, dialog, draft, label, notice, scroll, text_field
from folder.window.widgets.keys import ENTER

ROW_H = 46.0
HEAD_H = 30.0
MINE = "My own"


class _Finding(Struct):
    """What has been typed, which object is pointed at, and the form for one's own while that is open."""

    text: str = ""
    sought: str = ""
    """What was typed when the list was last gone through from its top."""
    picked: str = ""
    form: OwnForm | None = None
    problem: str = ""


def objects_page(ui: Ui, editor: Editor) -> None:
    """The dialog."""
    finding = ui.memory("objects/finding", lambda: _Finding(picked=editor.state.object_choice.name))
    form = finding.form
    title = "Which object?" if form is None else "My own object"
    first = "objects/words" if form is None else "own/label"
    with dialog(
        ui, "objects-page", title, min(ui.page.w - 20, 980), min(ui.page.h - 20, 700), first=first,
        default="objects/take" if form is None else "own/keep",
    ) as card:  # fmt: skip
        if form is None:
            _find(ui, card.inside, editor, finding)
        elif own_page(ui, card.inside, editor, form):
            finding.form = None
            ui.redraw()
        if card.closed:
            if finding.form is None:
                close_dialog(editor)
            else:
                finding.form = None
                ui.focus_on("objects/words")


def _find(ui: Ui, pane: Pane, editor: Editor, finding: _Finding) -> None:
    words, pane = pane.cut_top(theme.PRESS_H, 8)
    finding.text = text_field(
        ui, "objects/words", words, finding.text, hint="Name, mass, size or shape: marble, 3.06 g, 21.25 mm, disc …",
        tip="Type what you know of it",
    )  # fmt: skip
    typed = draft(ui, "objects/words", finding.text)
    mine, every = _own_names(finding), items()
    found, near = search_items(typed, every), False
    if not found:
        found, near = nearest_items(typed, every), True
    rows = _grouped(found, mine, sort=not typed.strip())
    names = [item.name for _, item in rows]
    if finding.picked not in names or typed != finding.sought:
        finding.sought, finding.picked = typed, (names or [""])[0]
    side, listed = pane.cut_right(min(max(pane.w * 0.36, 230), 320), 14)
    if near:
        text = "Nothing fits that. Nearest:" if rows else "Nothing fits that. Add it as your own."
        listed = listed.cut_top(label(ui, listed, text, colour=theme.SOFT_INK), 4)[1]
    _arrows(ui, finding, names)
    taken = _list(ui, listed, finding, rows, headings=not typed.strip())
    picked = next((item for _, item in rows if item.name == finding.picked), None)
    taken |= _beside(ui, side, editor, finding, picked, typed, mine)
    if taken and picked is not None:
        choose_object(editor, finding.picked)
        close_dialog(editor)
        ui.redraw()


def _own_names(finding: _Finding) -> frozenset[str]:
    try:
        return frozenset(item.name for item in own_items())
    except UnreadableFile as error:
        finding.problem = f"Your own list cannot be read: {error.what}."
        return frozenset()


def _grouped(found: tuple[Item, ...], mine: frozenset[str], sort: bool) -> list[tuple[str, Item]]:
    """Each object with its group: the groups one after the other, one's own first, where the whole list is shown."""
    rows = [(MINE if item.name in mine else item.group_name, item) for item in found]
    if not sort:
        return rows
    order = list(dict.fromkeys([MINE, *(group for group, _ in rows)]))
    return sorted(rows, key=lambda row: order.index(row[0]))


def _arrows(ui: Ui, finding: _Finding, names: list[str]) -> None:
    """Up and down in the field go through what was found."""
    field = ui.records["objects/words"]
    key = ui.key(field)
    if names and key in (pygame.K_UP, pygame.K_DOWN):
        ui.take()
        _step(ui, finding, names, 1 if key == pygame.K_DOWN else -1)


def _step(ui: Ui, finding: _Finding, names: list[str], by: int) -> None:
    now = names.index(finding.picked) if finding.picked in names else -1
    finding.picked = names[min(max(now + by, 0), len(names) - 1)]
    ui.focus.reveal = f"objects/list/{finding.picked}"
    ui.redraw()


def _list(ui: Ui, pane: Pane, finding: _Finding, rows: list[tuple[str, Item]], headings: bool) -> bool:
    """The objects one below the other; whether one is taken at once: pressed twice, or Enter."""
    record = ui.place("objects/list", pane, "list", value=finding.picked, stops=bool(rows))
    names, taken = [item.name for _, item in rows], False
    key = ui.key(record)
    if names and key in (pygame.K_UP, pygame.K_DOWN):
        ui.take()
        _step(ui, finding, names, 1 if key == pygame.K_DOWN else -1)
    elif key in ENTER and not ui.keys.repeat:
        taken = ui.take()
    ui.display_list.plate(pane, theme.PAPER, theme.EDGE)
    with scroll(ui, "objects/roll", pane.inset(1, 1)) as inside:
        y, group = inside.y, ""
        for of, item in rows:
            if headings and of != group:
                group = of
                ui.display_list.text(of, Pane(inside.x + 4, y, inside.w, HEAD_H), "small", bold=True, colour=theme.SOFT_INK)
                y += HEAD_H
            place = Pane(inside.x, y, inside.w, ROW_H)
            row = ui.place(
                f"objects/list/{item.name}", place, "row", text=item.label, value=item.name == finding.picked, stops=False,
                owner="objects/list",
            )  # fmt: skip
            if ui.fired(row):
                finding.picked, taken = item.name, ui.pointer.clicks > 1
            if ui.drawing and row.visible.h:
                _row(ui, place, item, item.name == finding.picked, row.hovered)
            y += ROW_H
    if ui.shows_focus(record):
        ui.display_list.ring(pane)
    return taken


def _row(ui: Ui, pane: Pane, item: Item, on: bool, hovered: bool) -> None:
    ground = theme.PICKED if on else theme.HOVER if hovered else theme.PAPER
    if on or hovered:
        ui.display_list.plate(pane, ground, radius=5)
    if on:
        ui.display_list.plate(Pane(pane.x, pane.y + 4, 5, pane.h - 8), theme.INK, radius=2)
    inner = pane.inset(10, 4)
    picture, inner = inner.cut_left(44, 10)
    mass, words = inner.cut_right(94, 8)
    portrait(ui, f"objects/portrait/{item.name}", picture, item, ground)
    upper, lower = words.rows(2)
    ui.display_list.text(item.label, upper, bold=True)
    ui.display_list.text(sizes_text(item), lower, "small", colour=theme.INK if on else theme.SOFT_INK)
    text = "weigh yours" if item.mass_g is None else f"{item.mass_g:g} g"
    ui.display_list.text(text, mass, "small" if item.mass_g is None else "body", align="right")


def sizes_text(item: Item) -> str:
    """The sizes of an object, for people."""
    return f"{' × '.join(f'{mm:g}' for mm in item.size_mm)} mm"


def _beside(ui: Ui, pane: Pane, editor: Editor, finding: _Finding, item: Item | None, typed: str, mine: frozenset[str]) -> bool:
    """What is known of the one that is pointed at, and what can be done; whether it is taken."""
    foot, rest = pane.cut_bottom(2 * theme.PRESS_H + 8, 8)
    take, more = foot.rows(2, 8)
    taken = button(ui, "objects/take", take, "Take this one", icon="tick", rank="main", enabled=item is not None)
    own, drop = more.columns([1.5, 1], 8) if item is not None and item.name in mine else (more, None)
    if button(ui, "objects/own", own, "My own …", icon="plus", tip="An object that is not in the list: its shape, size and mass"):
        finding.form = own_form(typed, item if item is not None and item.name in mine else None)
        ui.focus_on("own/label")
    if drop is not None and item is not None and button(ui, "objects/drop", drop, "Remove", icon="delete"):
        finding.problem = drop_object(editor, item.name)
        finding.picked = ""
        ui.redraw()
    if finding.problem:
        rest = rest.cut_top(notice(ui, rest, finding.problem, "warn"), 8)[1]
    if item is None:
        return taken
    with scroll(ui, "objects/about", rest) as inside:
        picture = Pane(inside.x, inside.y, inside.w, min(max(rest.h * 0.34, 70), 150))
        ui.spread(picture)
        portrait(ui, "objects/large", picture, item)
        y = picture.bottom + 6
        for text, size, bold in _facts(item, item.name in mine):
            y += label(ui, Pane(inside.x, y, inside.w, 1e6), text, "body" if size else "small", bold=bold) + 3
    return taken


def _facts(item: Item, own: bool) -> list[tuple[str, bool, bool]]:
    """Lines about an object: text, whether in body size, whether bold."""
    sizes = ", ".join(f"{name} {mm:g}" for name, mm in zip(item.form.sizes, item.size_mm, strict=True))
    mass = "Its mass varies: weigh yours." if item.mass_g is None else f"{item.mass_g:g} g each"
    lines = [(item.label, True, True), (mass, True, False), (f"{item.shape}: {sizes} mm", False, False)]
    lines += [(caution, False, False) for caution in item.cautions]
    return [*lines, ("From your own list." if own else f"Source: {item.source}.", False, False)]
