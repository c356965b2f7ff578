"""What is said of a better hull: in objects where one has a mass, so that the sentence and the cards say the same. No pygame."""

from __future__ import annotations

import math

from folder.cargo.item import Item
from folder.cargo.words import about_words, counts_by_mass, number_of
from folder.units import rounded_down
from folder.window.fold.better.state import BetterState, BetterStep


def load_words(step: BetterStep | None, item: Item | None) -> str:
    """What it likely carries, as the page says it."""
    if step is None:
        return "…"
    if not step.likely_g:
        return "breaks a rule" if step.breaks_rules else "no hull yet"
    if item is None or item.mass_g is None:
        return f"likely {rounded_down(step.likely_g)} g"
    return about_words(item, *counts_by_mass(item.mass_g, step.likely_g))


def gain_words(step: BetterStep, before: BetterStep, item: Item | None) -> str:
    """How much more it carries than another: "10 cents more", "a little more"."""
    if item is not None and item.mass_g is not None:
        was, now = counts_by_mass(item.mass_g, before.likely_g, step.likely_g)
        gain, many = now - was, number_of(item, abs(now - was))
    else:
        gain = math.floor(step.likely_g) - math.floor(before.likely_g)
        many = f"{abs(gain)} g"
    word = "more" if step.likely_g >= before.likely_g else "less"
    return f"{many} {word}" if gain else f"a little {word}"


def why_words(better: BetterState, index: int, item: Item | None) -> str:
    """Why a hull of the way is better than the one before it."""
    step, before = better.way[index], better.way[index - 1]
    if not before.likely_g:
        return f"{step.cause}."
    return _sentence(step.cause, gain_words(step, before, item))


def why_in_all_words(better: BetterState, index: int, item: Item | None) -> str:
    """Why a hull of the way is better than the pupil's own."""
    step, own = better.way[index], better.way[0]
    if not own.likely_g:
        now = "it keeps your event's rules" if own.breaks_rules else "it is a hull"
        return f"Now {now}: it carries {load_words(step, item)}."
    return _sentence(step.cause_in_all, gain_words(step, own, item))


def _sentence(cause: str, gain: str) -> str:
    return f"{cause}: it carries {gain}." if cause else f"It carries {gain}."
