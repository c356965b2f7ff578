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
    noted: CommandRun
    spots: dict[str, WidgetRecord]
    asked: frozenset[str]
    holding: frozenset[str]


def memo(ui: Ui, name: str, key: object, show: Callable[[], None]) -> None:
    """Show a part; `key` names what it depends on besides the pointer and the focus.

    What its widgets remember changes in the passes of events alone: a page that lets one of them reach the part must
    empty `ui.parts`.
    """
    if not ui.drawing:
        show()
        return
    focus, pointer = ui.focus, ui.pointer
    whole = (key, ui.size, ui.scale, focus.name, focus.ring, focus.layer, focus.reveal, pointer.hot, pointer.active)
    kept = ui.parts.get(name)
    if isinstance(kept, Memo) and kept.key == whole:
        ui.pen.again(kept.noted)
        ui.spots |= kept.spots
        ui.asked |= kept.asked
        ui.holding |= kept.holding
        return
    first, spots, asked, holding, hanging = ui.pen.count, len(ui.spots), set(ui.asked), set(ui.holding), len(ui.over)
    show()
    ui.parts.pop(name, None)
    # What hangs over the page is drawn after it, and a part that is not settled is about to change.
    if not ui.unsettled and len(ui.over) == hanging:
        fresh = dict(list(ui.spots.items())[spots:])
        ui.parts[name] = Memo(whole, ui.pen.noted(first), fresh, frozenset(ui.asked - asked), frozenset(ui.holding - holding))
