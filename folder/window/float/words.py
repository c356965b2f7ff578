"""What the water page says: floats or not, how much more, what limits it, what wins most. No pygame."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from folder.cargo.item import Item
from folder.paper.sheets.card import LIMITS
from folder.units import rounded_down
from folder.window.float.floating import CountPrediction, FloatingPose, PlacedCargo
from folder.window.float.state import FloatState
from folder.window.theme import MessageLevel

JUST_MM = 2.0
"""Less freeboard than this and a ripple brings water in (judgement)."""
CAUTION = "Small objects can choke a small child. An adult stays beside the water. Your event's own rules come first."
TITLES = {"floats": "It floats", "floods": "Water comes in", "capsizes": "It turns over"}


class StatusText(Struct, frozen=True):
    """What happens, in large words, how bad that is, and a line on how much."""

    title: str
    level: MessageLevel
    line: str


def status_text(
    load: FloatState, mass_g: float, pose: FloatingPose, placed_cargo: PlacedCargo | None, likely: int | None
) -> StatusText:
    """What becomes of the hull with the load that is on it; `aboard` when it lies in its places."""
    if placed_cargo is not None:
        loading = placed_cargo.cargo.loading
        if loading.held < len(loading.states):
            title = TITLES[loading.states[loading.held]]
            return StatusText(title, "stop", f"At number {loading.held + 1} of {load.count}. That one does not count.")
    where = "there" if load.is_off else "in one pile"
    if pose.rest.freeboard is None:
        most = rounded_down(pose.most_g)
        return StatusText(TITLES[pose.rest.state], "stop", f"{mass_g:g} g is too much {where}: it takes {most} g.")
    least = pose.rest.freeboard.least_mm
    board = f"Least freeboard {least:.1f} mm."
    level: MessageLevel = "good" if least >= JUST_MM else "warn"
    title = TITLES["floats"] if level == "good" else "It floats, but only just"
    if placed_cargo is not None and load.count < placed_cargo.cargo.hold_until:
        return StatusText("Hold it", "warn", f"It turns over until {placed_cargo.cargo.hold_until} stand in it.")
    if placed_cargo is None or likely is None:
        return StatusText(title, level, f"{board} It takes {rounded_down(max(pose.most_g - mass_g, 0.0))} g more {where}.")
    if load.count > likely:
        return StatusText(title, "warn", f"{board} More than {load.hand} hands hold.")
    more = likely - load.count
    return StatusText(title, level, f"{board} " + (f"It takes about {more} more." if more else "That is the likely count."))


def prediction_words(load: FloatState, item: Item | None, prediction: CountPrediction) -> Iterator[str]:
    """The count or mass to say beforehand, what limits it, what one change would win most, and what can hurt."""
    cargo = prediction.cargo if item is not None else None
    if cargo is None:
        low, likely, high = (rounded_down(g) for g in (prediction.load.low_g, prediction.load.likely_g, prediction.load.high_g))
        yield f"Likely {likely} g in all, from {low} to {high} g, with {load.hand} hands."
    else:
        yield f"Likely {cargo.count} in all, from {cargo.count_low} to {cargo.count_high}, with {load.hand} hands."
    if prediction.basis:
        yield prediction.basis
    if prediction.load.wins and (cargo is None or cargo.limited_by != "room"):
        win = prediction.load.wins[0]
        yield f"Worth most: {win.change}. That wins {rounded_down(win.gain_g)} g."
    yield from cargo.advice if cargo is not None else (LIMITS[prediction.load.limited_by],)
    if cargo is None:
        yield f"Careful work pays: {prediction.load.shares}."
    yield "The drop on the map is where water comes in first."
    yield from item.cautions if item is not None else ()
