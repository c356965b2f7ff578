"""The focus: the widget the keys go to, its way by Tab, into dialogs and back."""

from __future__ import annotations

from typing import NamedTuple

from folder.window.widgets.record import WidgetRecord


class Open(NamedTuple):
    """A dialog of a pass: its name, the button Enter presses, the widget that gets the focus first."""

    name: str
    default: str
    first: str


class Focus:
    """Where the keys go. Only the top dialog has them."""

    def __init__(self) -> None:
        self.name = ""
        self.ring = False
        """Whether the focus is shown on everything: once the keys are used, until the pointer presses."""
        self.reveal = ""
        """The widget the keys moved the focus to: a scroll area brings it into view."""
        self.dialogs: list[Open] = []
        self._back: list[str] = []
        self._index = 0

    @property
    def layer(self) -> int:
        """The layer that has the keys."""
        return 2 * len(self.dialogs)

    def tab(self, step: int, records: dict[str, WidgetRecord]) -> None:
        """To the next stop, or the one before, around the layer. If the focus went away, from where it was."""
        stops = self._stops(records)
        if stops:
            self._index += step if self.name in stops or step < 0 else 0
            self._index %= len(stops)
            self.name = self.reveal = stops[self._index]

    def follow(self, dialogs: list[Open], records: dict[str, WidgetRecord]) -> bool:
        """After a pass: go into dialogs that opened, back from those that closed. Whether any did."""
        kept = 0
        while kept < min(len(self.dialogs), len(dialogs)) and self.dialogs[kept].name == dialogs[kept].name:
            kept += 1
        moved = kept < max(len(self.dialogs), len(dialogs))
        for name in reversed(self._back[kept:]):
            self.name = name
        del self._back[kept:]
        opened, self.dialogs = dialogs[kept:], dialogs[:kept]
        for dialog in opened:
            self._back.append(self.name)
            self.dialogs.append(dialog)
            stops = self._stops(records)
            self.name = dialog.first if dialog.first in stops else next(iter(stops), "")
        stops = self._stops(records)
        if self.name in stops:
            self._index = stops.index(self.name)
        elif self.name not in records and self.name != self.reveal:
            self.name = ""
        return moved

    def default(self, records: dict[str, WidgetRecord]) -> str:
        """The button Enter presses from a field of the top dialog, unless what was typed there is wrong."""
        record = records.get(self.name)
        return self.dialogs[-1].default if self.dialogs and record and record.kind == "field" and not record.problem else ""

    def _stops(self, records: dict[str, WidgetRecord]) -> list[str]:
        return [s.name for s in records.values() if s.stops and s.enabled and s.layer == self.layer]
