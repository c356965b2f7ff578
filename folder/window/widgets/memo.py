"""A part of the page that is noted once and noted again as it was while nothing it depends on changes.

A drag on the sheet draws many times a second; most of the page stays as it is meanwhile, and need not be laid out anew.
"""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from folder.window.widgets.display_list import CommandRun
from folder.window.widgets.record import WidgetRecord
from folder.window.widgets.ui import Ui


class Memo(Struct, frozen=True, eq=False):
    """What a part left behind in a pass, and all that it depended on."""

    key: object
    commands: CommandRun
    records: dict[str, WidgetRecord]
    used: frozenset[str]
    holders: frozenset[str]


def memo(ui: Ui, name: str, key: object, show: Callable[[], None]) -> None:
    """Show a part; `key` names what it depends on besides the pointer and the focus.

    What its widgets remember changes in the passes of events alone: a page that lets one of them reach the part must
    empty `ui.memos`.
    """
    if not ui.drawing:
        show()
        return
    focus, pointer = ui.focus, ui.pointer
    whole = (key, ui.size, ui.scale, focus.name, focus.ring, focus.layer, focus.reveal, pointer.hot, pointer.active)
    cache = ui.memos.get(name)
    if isinstance(cache, Memo) and cache.key == whole:
        ui.display_list.repeat(cache.commands)
        ui.records |= cache.records
        ui.memory_used |= cache.used
        ui.holders |= cache.holders
        return
    first, records, overlays = ui.display_list.count, len(ui.records), len(ui.overlays)
    used, holders = set(ui.memory_used), set(ui.holders)
    show()
    ui.memos.pop(name, None)
    # What hangs over the page is drawn after it, and a part that is not settled is about to change.
    if not ui.unsettled and len(ui.overlays) == overlays:
        fresh = dict(list(ui.records.items())[records:])
        run = ui.display_list.run_from(first)
        ui.memos[name] = Memo(whole, run, fresh, frozenset(ui.memory_used - used), frozenset(ui.holders - holders))
