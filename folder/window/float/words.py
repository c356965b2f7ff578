"""What the page Float says: one state in one sentence, what to do next, how it ended; the coach's words apart. No pygame."""

from __future__ import annotations

import math
from collections.abc import Iterator

from msgspec import Struct

from folder.cargo.item import Item
from folder.cargo.predict import Cargo
from folder.cargo.words import counts_by_mass, span_words
from folder.findings import Point
from folder.window.float.floating import CountPrediction
from folder.window.float.lying import TubPose, opposite, side_words
from folder.window.float.state import FloatState, TubLoading
from folder.window.theme import MessageLevel

JUST_MM = 2.0
"""Less freeboard than this and a ripple brings water in (judgement)."""
LEANS_RAD = math.radians(3.0)
"""From this tilt on a hull leans for everyone to see (judgement)."""
CAUTION = "Small objects can choke a small child. An adult stays beside the water. Your event's own rules come first."
SHARP = "Edges or points cut skin and foil: an adult hands these out."
WHY: dict[str, str] = {
    "mass": "the whole hull went down: it was full",
    "room": "there was no room for more",
    "tilt": "it leaned, and the low side let water in",
    "tipping": "it stood too tall and tipped over",
}


def caution_words(item: Item | None) -> str:
    """What an adult should know, at the foot of the page."""
    return f"{SHARP} {CAUTION}" if item is not None and item.sharp else CAUTION


class StatusText(Struct, frozen=True):
    """What happens, in large words, how bad that is, and what to do next."""

    title: str
    level: MessageLevel
    line: str = ""


def status_text(
    loading: TubLoading, lying: TubPose, hold_until: int, right: Point, wrong: str = "", *, is_full: bool = False
) -> StatusText:
    """One state in one sentence; `right` is the picture's right in the hull's frame, `is_full` with no place left on the map."""
    if wrong:
        return StatusText(wrong, "warn")
    number = len(loading.spots)
    if lying.state == "floods":
        return StatusText("Water comes in!", "stop", f"{loading.held} held. Number {number} let it in and does not count.")
    if lying.state == "capsizes":
        return StatusText("It turns over!", "stop", f"{loading.held} held. Number {number} does not count.")
    if lying.tub.grounds:
        return StatusText("It stands on the bottom.", "warn", "There is too little water in the tub to float it.")
    if not lying.tub.fits:
        return StatusText("The tub is too small for it.", "warn", "Take a larger tub: For the coach.")
    if lying.state == "held":
        return StatusText("Hold it with one hand.", "warn", f"It stands by itself from {hold_until} on.")
    if loading.ending == "enough":
        why = "No water came in, and the map has no place for one more." if is_full else "You stopped before the water came in."
        return StatusText(f"It held {number}.", "good", why)
    side = lying.low_side
    if side is not None and loading.spots:
        low = side_words(side, right)
        advice = f"The {low} side is low: put the next one on the {opposite(low)}."
    else:
        advice = "It lies level." if loading.spots else "Press in the hull to put the first one there, or follow the map."
    if lying.least_mm < JUST_MM:
        return StatusText("It floats, but only just.", "warn", advice)
    return StatusText("It floats.", "good", advice)


def answer_words(item: Item, prediction: CountPrediction, *, about: bool = False) -> tuple[str, str]:
    """What usual hands will carry, large, `about` of a first count; what perfect hands could, small."""
    cargo = prediction.cargo
    if cargo is None:
        return "", ""
    return span_words(item, cargo.count_low, cargo.count, cargo.count_high, about=about), f"perfect hands: {perfect_words(cargo)}"


def perfect_words(cargo: Cargo) -> str:
    """What perfect hands could, and that room ends it where it does: "99", "12, then it is full"."""
    return f"{cargo.perfect}, then it is full" if cargo.perfect >= cargo.stack.room else f"{cargo.perfect}"


def bare_answer(prediction: CountPrediction, *, about: bool = False) -> str:
    """The same without the object's name, where that is long."""
    cargo = prediction.cargo
    return "" if cargo is None else f"{'about' if about else 'likely'} {cargo.count}, {cargo.count_low} to {cargo.count_high}"


def guess_words(loading: TubLoading) -> str:
    """How far off the guess was."""
    if loading.guess is None:
        return "You made no guess."
    off = loading.guess - loading.held
    if off == 0:
        return f"Your guess was {loading.guess}: exactly right!"
    return f"Your guess was {loading.guess}: {abs(off)} too {'many' if off > 0 else 'few'}."


def end_words(state: FloatState, last: TubPose, prediction: CountPrediction | None, each_g: float) -> Iterator[str]:
    """After a loading: the guess, what limited it, what would win most, and what the hull before held.

    `last` is how it lay before the object that let water in.
    """
    loading = state.loading
    yield guess_words(loading)
    if loading.ending == "capsizes":
        yield f"It ended because {WHY['tipping']}."
    elif loading.ending == "floods":
        yield f"It ended because {WHY['tilt' if last.tilt_rad >= LEANS_RAD else 'mass']}."
    if prediction is not None and prediction.load.wins and (prediction.cargo is None or prediction.cargo.limited_by != "room"):
        win = prediction.load.wins[0]
        more = counts_by_mass(each_g, win.gain_g)[0]
        gain = f"{more} more" if more else "a little"
        yield f"Folded and loaded by hand, worth most: {win.change}. That wins {gain}."
    if state.before is not None:
        more = loading.held - state.before
        how = "as many" if more == 0 else f"{abs(more)} {'more' if more > 0 else 'fewer'}"
        yield f"The hull before this one held {state.before}: {how}{'.' if more == 0 else ' now.'}"


def coach_words(lying: TubPose) -> str:
    """The coach's words."""
    words = [
        f"load {lying.mass_g:.1f} g", f"freeboard {lying.least_mm:.1f} mm", f"draft {lying.pose.draft_mm:.1f} mm",
        f"tilt {math.degrees(lying.tilt_rad):.1f} deg",
    ]  # fmt: skip
    if lying.rest is not None and lying.rest.gm_mm is not None:
        words.append(f"metacentric height {lying.rest.gm_mm:.0f} mm")
    words.append(f"water in the tub rises {lying.tub.rise_mm:.1f} mm")
    if lying.tub.spill_mm3 > 0.0:
        words.append(f"{lying.tub.spill_mm3 / 1000.0:.0f} ml run over")
    return ", ".join(words)
