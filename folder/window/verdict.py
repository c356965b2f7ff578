"""The verdict in words, and the three big numbers. No pygame."""

from __future__ import annotations

from msgspec import Struct

from folder.units import rounded_down
from folder.verdict import level_sentence, verdict_of
from folder.window.background.result import Progress
from folder.window.theme import MessageLevel

NO_LOG = "Your trial log cannot be read: this is without trials."


class Number(Struct, frozen=True):
    """A big number: what it is, in a word and on the card, its digits, its unit, and a word on how it is meant."""

    name: str
    words: str
    digits: str
    unit: str
    tip: str


def verdict(result: Progress | None) -> tuple[str, MessageLevel]:
    """Does the sheet fold to this hull: a sentence and how bad it is."""
    if result is None:
        return "Looking at your sheet …", "note"
    if result.failed is not None or result.study is None:
        return "This drawing is too much for the program. Take the last line back.", "stop"
    known = verdict_of(result.study)
    return known.text, "note" if known.level == "neutral" else known.level


def headline_numbers(result: Progress | None) -> tuple[Number, Number, Number]:
    """Floor, wall and load."""
    study = None if result is None else result.study
    floor = wall = load = "–"
    if study is not None and study.folds and study.measures.creases:
        floor = f"{study.measures.floor_area_mm2 / 100:.0f}"
        wall = f"{study.measures.wall_height_mm:.1f}".removesuffix(".0")
        load = "–" if study.brim is None else rounded_down(study.brim.load_g)
    return (
        Number("floor", "floor", floor, "cm²", "How much flat floor there is for the load"),
        Number("wall", "wall", wall, "mm", "How high the lowest wall stands"),
        Number("load", "most load", load, "g", "How many grams it carries when all is folded and loaded perfectly"),
    )


def real_build(result: Progress | None) -> str:
    """What real hands may count on, once it is known."""
    load = None if result is None else result.load
    if load is None or load.likely_g is None or load.low_g is None or load.high_g is None:
        return ""
    low, likely, high = (rounded_down(g) for g in (load.low_g, load.likely_g, load.high_g))
    text = f"Real hands: {low} to {high} g, likely {likely} g"
    return f"{text}. {NO_LOG}" if result is not None and result.log_fault else text


def place(result: Progress | None) -> str:
    """Where the load must stand, for a hull that is not level with it in the middle."""
    return "" if result is None or result.study is None else level_sentence(result.study)
