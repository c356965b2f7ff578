"""What goes aboard: object or plain mass, how many, how heavy, and how careful the hands are."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec.structs import replace

from folder.cargo.item import Item
from folder.window import theme
from folder.window.float.state import HEAVIEST_G, MOST_COUNT, PLAIN, FloatState
from folder.window.widgets import Pane, Ui, button, choice, drop_down, number_field

HAND_WORDS = {"careful": "careful", "usual": "usual", "hurried": "hurried"}
STEP_G = 5.0
EACH_BESIDE_W = 560.0
"""From this width on the mass of one stands beside the object."""
ONE = "The mass of one:"


def load_row(ui: Ui, pane: Pane, load: FloatState, objects: Mapping[str, Item]) -> tuple[FloatState, float]:
    """The load as it is set now, and the height that takes."""
    row, below = pane.cut_top(theme.PRESS_H, 6)
    what, many = row.cut_right(min(max(row.w * 0.42, 190.0), 230.0), 8)[::-1]
    item = objects.get(load.item)
    if item is not None and (item.mass_g is None or load.each_g is not None):
        if row.w >= EACH_BESIDE_W:
            what, each = what.cut_right(108, 6)[::-1]
        else:
            row = below.cut_top(theme.PRESS_H)[0]
            word, each = row.cut_left(ui.display_list.text_w(ONE) + 6, 6)
            ui.display_list.text(ONE, word)
        weighed = number_field(
            ui, "load/each", each, load.each_g, unit="g", low=0.001, high=HEAVIEST_G, step=0.1, digits=3,
            empty="weigh it", tip="The mass of one: weigh yours",
        )  # fmt: skip
        load = replace(load, each_g=weighed)
    names = {PLAIN: "A load in grams"} | {name: one.label for name, one in objects.items()}
    picked = drop_down(ui, "load/item", what, names, load.item, hint="Choose what to load", tip="What goes aboard")
    if picked != load.item:
        load = replace(load, item=picked, each_g=None, eccentricity_mm=(0.0, 0.0), layer=0)
    return _many(ui, many, load), row.bottom - pane.y


def hand_row(ui: Ui, row: Pane, load: FloatState) -> FloatState:
    """The hand as it is set now."""
    word, hands = row.cut_left(ui.display_list.text_w("Hands") + 6, 6)
    ui.display_list.text("Hands", word)
    hand = choice(ui, "load/hand", hands, HAND_WORDS, load.hand, tip="How carefully it is folded and loaded")
    return load if hand == load.hand else replace(load, hand=hand)


def _many(ui: Ui, pane: Pane, load: FloatState) -> FloatState:
    """Fewer, a number, more."""
    less, rest = pane.cut_left(theme.PRESS_H, 4)
    more, field = rest.cut_right(theme.PRESS_H, 4)
    plain = load.item == PLAIN
    now, step, most = (load.mass_g, STEP_G, HEAVIEST_G) if plain else (float(load.count), 1.0, float(MOST_COUNT))
    to = now - step * button(ui, "load/less", less, icon="minus", enabled=now > 0, tip="Less")
    value = number_field(
        ui, "load/many", field, now, unit="g" if plain else "", low=0, high=most, step=step, digits=1 if plain else 0,
        tip="How many grams" if plain else "How many",
    )  # fmt: skip
    if value is not None and value != now:
        to = value
    to += step * button(ui, "load/more", more, icon="plus", enabled=now < most, tip="More")
    to = min(max(to, 0.0), most)
    return replace(load, mass_g=to) if plain else replace(load, count=int(to))
