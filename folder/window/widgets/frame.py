"""A frame: the page run once for each event, then once to draw, if anything changed."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import pygame
from msgspec.structs import replace
from pygame.event import Event

from folder.window import theme
from folder.window.widgets.keys import ARROWS, COMMAND, ENTER, field_works_with
from folder.window.widgets.message import draw_messages, draw_tip
from folder.window.widgets.ui import Ui, reading_s

PageFunction = Callable[[Ui], None]


def frame(ui: Ui, view: PageFunction, events: Iterable[Event], dt_s: float, surface: pygame.Surface) -> bool:
    """Run the page on these events and draw on the surface what changed. Whether anything was drawn.

    `view` calls the widgets; it is run several times, so all it may change is the state of the program, in answer to
    what the widgets return. The same events and seconds on the same state give the same pixels. The surface must be
    left alone between frames: what did not change is not drawn again (`ui.display list.forget()` asks for all of it).
    """
    _tick(ui, dt_s, surface.get_size())
    for event in merged(events):
        if _must_settle(ui, event):
            _run(ui, view, None, settling=ui.focus.name)
        _run(ui, view, event)
    if not ui.changed:
        return False
    for _ in range(3):
        ui.changed = ui.unsettled = False
        _run(ui, view, None, drawing=True)
        if not ui.unsettled:
            break
    ui.display_list.show(surface)
    if ui.display_list.renderer.unfinished:
        ui.redraw_in(0.0)
    return True


def merged(events: Iterable[Event]) -> list[Event]:
    """The events, with a run of pointer motions told by its last."""
    kept: list[Event] = []
    for event in events:
        if kept and event.type == pygame.MOUSEMOTION == kept[-1].type:
            kept.pop()
        kept.append(event)
    return kept


def _tick(ui: Ui, dt_s: float, size_px: tuple[int, int]) -> None:
    """Time passes: messages end, tips fall due; the window may have another size."""
    tip = ui.tip()
    ui.now_s += max(dt_s, 0.0)
    left = ui.messages
    if left and left[0].until_s <= ui.now_s:  # the one that waited behind it has its whole time
        left = [replace(m, until_s=ui.now_s + reading_s(m.text)) for m in left[1:]]
    size = (size_px[0] / ui.scale, size_px[1] / ui.scale)
    ui.changed |= len(left) != len(ui.messages) or size != ui.size or tip != ui.tip()
    ui.messages, ui.size = left, size
    if ui.due_s is not None and ui.due_s <= ui.now_s + 1e-9:
        ui.due_s, ui.changed = None, True


def _must_settle(ui: Ui, event: Event) -> bool:
    """Whether a draft becomes a value before this event: the focus leaves it, or Enter or a command comes."""
    record = ui.last.get(ui.focus.name)
    if record is None or not record.types or record.name not in ui.last_holders:
        return False
    if event.type == pygame.MOUSEBUTTONDOWN:
        return event.button <= 3 and not record.visible.holds(event.pos[0] / ui.scale, event.pos[1] / ui.scale)
    if event.type == pygame.KEYDOWN:
        return not field_works_with(event) and event.key != pygame.K_ESCAPE
    return bool(event.type == pygame.QUIT)


def _run(ui: Ui, view: PageFunction, event: Event | None, settling: str = "", drawing: bool = False) -> None:
    """One pass."""
    ui.renew(event, settling, drawing)
    _hear(ui, event)
    ui.display_list.fill(ui.page, theme.TABLE)
    view(ui)
    if drawing:
        draw_messages(ui)
        for draw in ui.overlays:
            draw()
        draw_tip(ui)
    _close(ui, event)


def _hear(ui: Ui, event: Event | None) -> None:
    """What an event does before any widget sees it: pointer and focus move."""
    before = ui.focus.name
    if event is not None:
        ui.focus.reveal = ""
        ui.pointer.hear(event, ui.scale)
        ui.keys.hear(event)
    moved = ui.pointer.aim(ui.last)
    if event is None:
        pass
    elif event.type == pygame.MOUSEBUTTONDOWN and event.button <= 3 and not ui.pointer.active:
        _press(ui, event)
        moved = True
    elif event.type == pygame.TEXTINPUT:
        ui.used = ui.keys.mute
    elif event.type == pygame.KEYDOWN:
        ui.focus.ring |= event.key in (pygame.K_TAB, *ENTER, *ARROWS)
        if event.key == pygame.K_TAB and not event.mod & (COMMAND | pygame.KMOD_ALT):
            ui.focus.tab(-1 if event.mod & pygame.KMOD_SHIFT else 1, ui.last)
            ui.take()
    if moved or ui.focus.name != before:
        ui.rested_s, ui.changed = ui.now_s, True


def _press(ui: Ui, event: Event) -> None:
    """The pointer goes down. The focus goes with it, but a hanging list leaves it with its owner."""
    record = ui.last.get(ui.pointer.hot)
    ui.pointer.press(event, record, ui.now_s)
    ui.focus.ring = False
    if record is None or record.layer % 2 == 0:
        ui.focus.name = "" if record is None or not record.enabled else record.name if record.stops else record.owner


def _close(ui: Ui, event: Event | None) -> None:
    """After the page: remember what stood where, let go of what is gone."""
    if event is not None:
        if event.type == pygame.MOUSEBUTTONUP:
            ui.pointer.release(event)
        elif event.type == pygame.KEYDOWN:
            ui.keys.mute = ui.used
        ui.changed |= event.type != pygame.MOUSEMOTION or bool(ui.pointer.active)
    ui.last, ui.last_holders = ui.records, ui.holders
    ui.memory_store = {name: kept for name, kept in ui.memory_store.items() if name in ui.memory_used}
    if ui.focus.follow(ui.dialogs, ui.records) | ui.pointer.aim(ui.records):
        ui.changed = ui.unsettled = True
    if ui.pointer.active not in ui.records:
        ui.pointer.active, ui.pointer.button = "", 0
