"""What lasts between passes, and what a widget or a page may ask of it.

pass    one run of the page's function. Each event gets a pass of its own in which nothing is drawn; then one draws
widget    what a widget leaves behind in a pass: its name, pane and state
draft   typed text that is not yet a value. It becomes one in a settling pass, and only there, so only once
layer   0 the page, 2 a dialog on it, 4 a dialog on that; a hanging list is one above. Only the top layer is hit

What the pointer hits is found among the widgets of the last pass: what was seen is what is pressed. There is no clock and
no global here: what a pass does follows from the events, the seconds and this state.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

import pygame
from msgspec import Struct
from msgspec.structs import replace
from pygame.event import Event

from folder.window.theme import MessageLevel
from folder.window.widgets.clipboard import Clipboard, OwnClipboard
from folder.window.widgets.display_list import DisplayList
from folder.window.widgets.focus import Focus, Open
from folder.window.widgets.keys import ARROWS, ENTER, MODIFIERS, Keys, field_works_with, matches
from folder.window.widgets.pane import Pane
from folder.window.widgets.pointer import Pointer
from folder.window.widgets.record import WidgetRecord

T = TypeVar("T")
TIP_S = 0.6
"""A tip shows when the pointer or the focus has rested this long."""


_GRAVITY: dict[MessageLevel, int] = {"note": 0, "good": 0, "warn": 1, "stop": 2}


class Message(Struct, frozen=True):
    """A sentence shown until its time is over; one at a time, the first of those there are."""

    text: str
    level: MessageLevel
    until_s: float


def reading_s(text: str) -> float:
    """How long a sentence stays: long enough to be read slowly."""
    return max(5.0, 0.09 * len(text))


class Ui:
    """Everything that lasts from one pass to the next; `frame.frame` runs the passes."""

    def __init__(self, scale: float = 1.0, clipboard: Clipboard | None = None) -> None:
        self.display_list = DisplayList()
        self.display_list.renderer.scale = scale
        self.clipboard: Clipboard = clipboard or OwnClipboard()
        self.pointer, self.focus, self.keys = Pointer(), Focus(), Keys()
        self.size = (0.0, 0.0)
        self.now_s = self.rested_s = 0.0
        self.messages: list[Message] = []
        self.changed = True
        """The next frame draws."""
        self.due_s: float | None = None
        """When the page wants to be drawn again by itself."""
        self.unsettled = False
        """Something found out while drawing asks for the page to be drawn again."""
        self.last: dict[str, WidgetRecord] = {}
        self.last_holders: set[str] = set()
        """Spots of the last pass with something Escape would put back."""
        self.memory_store: dict[str, object] = {}
        self.memos: dict[str, object] = {}
        """Parts of the page as they were last noted: `part.part`."""
        self.renew(None, "")

    def renew(self, event: Event | None, settling: str = "", drawing: bool = False) -> None:
        """Lay out what belongs to one pass alone."""
        self.event, self.used, self.settling = event, False, settling
        self.display_list.start(drawing)
        self.records: dict[str, WidgetRecord] = {}
        self.layer = 0
        self.bounds: list[Pane] = []
        self.reach: list[float] = []
        self.overlays: list[Callable[[], None]] = []
        self.dialogs: list[Open] = []
        self.memory_used: set[str] = set()
        self.holders: set[str] = set()

    # what a widget asks

    @property
    def drawing(self) -> bool:
        """Whether this pass draws."""
        return self.display_list.drawing

    def place(
        self, name: str, pane: Pane, kind: str, *, text: str = "", value: object = None, enabled: bool = True,
        stops: bool = True, owner: str = "", pointed: bool = True, types: bool = False, wheel: bool = False, tip: str = "",
        inside: Pane | None = None,
    ) -> WidgetRecord:  # fmt: skip
        """Say where a widget stands; what comes back says what the pointer and the focus do to it."""
        if name in self.records:
            raise ValueError(f"two widgets are called {name!r} in one pass")
        bound = inside or (self.bounds[-1] if self.bounds else self.page)
        record = WidgetRecord(
            name, kind, pane, pane.meet(bound), text, value, enabled,
            focused=enabled and self.focus.name == name and self.layer >= self.focus.layer,
            hovered=enabled and self.pointer.hot == name and self.pointer.active in ("", name),
            held=enabled and self.pointer.active == name,
            layer=self.layer, stops=stops, owner=owner, pointed=pointed, types=types, wheel=wheel, tip=tip,
            scrolls=bool(self.bounds),
        )  # fmt: skip
        self.records[name] = record
        self.spread(pane)
        return record

    def mark(self, record: WidgetRecord, value: object, problem: str = "") -> None:
        """Note the value a widget of this pass has in the end, and what is wrong with what was typed."""
        self.records[record.name] = replace(record, value=value, problem=problem)

    def spread(self, pane: Pane) -> None:
        """Tell the scroll area around that something reaches this far down."""
        if self.reach:
            self.reach[-1] = max(self.reach[-1], pane.bottom)

    def fired(self, record: WidgetRecord) -> bool:
        """Whether this pass presses the widget: pointer up over it, Enter or Space on the focus, Enter on a default."""
        event = self.event
        if not record.enabled or event is None or self.used:
            return False
        if event.type == pygame.MOUSEBUTTONUP:
            return bool(event.button == 1 == self.pointer.button) and record.held and self.pointer.hot == record.name
        if event.type != pygame.KEYDOWN or self.keys.repeat or event.mod & MODIFIERS:
            return False
        focused = record.focused and event.key in (*ENTER, pygame.K_SPACE)
        default = event.key in ENTER and self.focus.default(self.last) == record.name
        return (focused or default) and self.take()

    def went_down(self, record: WidgetRecord) -> bool:
        """Whether the left button goes down on this widget in this pass."""
        event = self.event
        return event is not None and event.type == pygame.MOUSEBUTTONDOWN and event.button == 1 and record.held

    def key(self, record: WidgetRecord) -> int:
        """The key that goes down for this widget in this pass, 0 for none. `take` it when it is used."""
        event = self.event
        heard = event is not None and not self.used and event.type == pygame.KEYDOWN and record.focused
        return int(event.key) if event is not None and heard else 0

    def arrow(self, record: WidgetRecord) -> tuple[int, int]:
        """The step right and down when an arrow key goes down for this widget without a modifier. Takes it."""
        step = ARROWS.get(self.key(record))
        if step is None or self.event is None or self.event.mod & MODIFIERS:
            return 0, 0
        self.take()
        return step

    def wheel(self, name: str) -> float:
        """How far the wheel turns for this widget in this pass, upward positive. Takes it."""
        event = self.event
        if event is None or self.used or event.type != pygame.MOUSEWHEEL:
            return 0.0
        if self.pointer.wheel_target(self.last) != name:
            return 0.0
        self.take()
        return float(getattr(event, "precise_y", event.y))

    def take(self) -> bool:
        """Use the event up."""
        self.used = True
        return True

    def hold(self, name: str) -> None:
        """Say, in every pass while it is so, that this widget has something Escape would put back: a draft, a list."""
        self.holders.add(name)

    def memory(self, name: str, make: Callable[[], T]) -> T:
        """What a widget remembers between passes; forgotten after a pass in which it was not asked for."""
        self.memory_used.add(name)
        if name not in self.memory_store:
            self.memory_store[name] = make()
        return self.memory_store[name]  # type: ignore[return-value]  # a name keeps the type its own widget made

    def shows_focus(self, record: WidgetRecord) -> bool:
        """Whether the focus ring is drawn around this widget: always around a field, else once the keys are used."""
        return record.focused and (self.focus.ring or record.types)

    # what a page asks

    @property
    def page(self) -> Pane:
        """The whole window in logical px."""
        return Pane(0, 0, *self.size)

    @property
    def scale(self) -> float:
        """Physical px to a logical one, 1 to 2."""
        return self.display_list.renderer.scale

    @scale.setter
    def scale(self, scale: float) -> None:
        self.changed |= scale != self.display_list.renderer.scale
        self.display_list.renderer.scale = scale

    def redraw(self) -> None:
        """Something outside the widgets changed: the next frame runs the page and draws what differs."""
        self.changed = True

    def redraw_in(self, seconds: float) -> None:
        """Something moves by itself: another frame in so many seconds. Asked for anew in every pass while it moves."""
        due = self.now_s + seconds
        self.due_s = due if self.due_s is None else min(self.due_s, due)

    def shortcut(self, keys: str) -> bool:
        """Whether this key goes down and nobody used it: "ctrl+s", "shift+tab", "f1", "escape", "v", "+".

        Ask at the end of the page, after the widgets. A field keeps the keys it works with; the page under a dialog
        hears nothing.
        """
        event = self.event
        if event is None or self.used or event.type != pygame.KEYDOWN or self.layer < self.focus.layer:
            return False
        record = self.last.get(self.focus.name)
        if record is not None and record.types and field_works_with(event):
            return False
        return matches(event, keys) and self.take()

    def say(self, text: str, level: MessageLevel = "note") -> None:
        """Show a sentence at the foot of the window, long enough to be read slowly."""
        others = [m for m in self.messages if m.text != text]
        message = Message(text, level, self.now_s + reading_s(text))
        # What is wrong is read to its end; what is less grave waits behind it.
        waits = bool(others) and _GRAVITY[others[0].level] > _GRAVITY[level]
        self.messages = [others[0], message] if waits else [message]
        self.changed = True

    def focus_on(self, name: str) -> None:
        """Move the focus."""
        self.focus.name = self.focus.reveal = name
        self.changed = True

    def find(self, name: str) -> WidgetRecord:
        """The widget of this name as it was last seen."""
        if name not in self.last:
            raise LookupError(f"no widget is called {name!r}; there are {', '.join(sorted(self.last))}")
        return self.last[name]

    def shows(self, text: str) -> bool:
        """Whether a text that holds these words stands on the page as last drawn, uncut."""
        return any(text in texts.text and not texts.cut for texts in self.display_list.texts)

    def wake_s(self) -> float | None:
        """Seconds until something changes by itself (a tip, the end of a message); None if nothing will."""
        due = [m.until_s for m in self.messages[:1]] + ([] if self.due_s is None else [self.due_s])
        if self._tip_owner() and not self.tip():
            due.append(self.rested_s + TIP_S)
        return max(min(due) - self.now_s, 0.0) if due else None

    def tip(self) -> str:
        """The widget whose tip shows now."""
        return self._tip_owner() if self.now_s - self.rested_s >= TIP_S - 1e-6 else ""

    def _tip_owner(self) -> str:
        """The widget under the pointer, else the one the keys stand on, if it has a tip and nothing hangs from it."""
        for name in (self.pointer.hot, self.focus.name if self.focus.ring else ""):
            if name in self.last and self.last[name].tip and not self.pointer.active and name not in self.last_holders:
                return name
        return ""
