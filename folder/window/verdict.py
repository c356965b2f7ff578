"""The verdict in words, and the three big numbers. No pygame."""

from __future__ import annotations

from msgspec import Struct

from folder.study import Study
from folder.units import rounded_down
from folder.window.look import Level
from folder.window.worker import Result


class Number(Struct, frozen=True):
    """A big number: what it is, in a word and on the card, its digits, its unit, and a word on how it is meant."""

    name: str
    words: str
    digits: str
    unit: str
    tip: str


def verdict(result: Result | None) -> tuple[str, Level]:
    """Does the sheet fold to this hull: a sentence and how bad it is."""
    if result is None:
        return "Looking at your sheet …", "note"
    if result.failed is not None or result.study is None:
        return "This drawing is too much for the program. Take the last line back.", "stop"
    study = result.study
    if not any(c.sense in ("valley", "mountain", "cut") for c in result.pattern.creases):
        return "A flat sheet. Lay the first fold!", "note"
    if study.report.having("no-floor"):
        return "There is no flat floor to load.", "stop"
    if not study.folds:
        return _why_not(study), "stop"
    if study.needs_cut or study.needs_tape:
        wants = " and ".join(w for w, needed in (("a cut", study.needs_cut), ("tape", study.needs_tape)) if needed)
        return f"Takes this shape only with {wants}: not allowed.", "stop"
    if study.report.stops:
        return "It folds, but something stops it.", "stop"
    if study.measures.rim_height_mm < 0.5:
        return "It folds, but no wall keeps the water out.", "warn"
    return "Folds from one sheet, no cut, no tape.", "good"


def _why_not(study: Study) -> str:
    codes = [f.code for f in study.report.stops]
    corners = sum(code in ("will-not-close", "lone-line", "flat-rule") for code in codes)
    if corners:
        return "One point will not close yet." if corners == 1 else f"{corners} points will not close yet."
    if "passes-through" in codes:
        return "The sheet would go through itself."
    if "two-senses" in codes:
        return "Two lines want different folds."
    return "A line is not finished yet."


def numbers(result: Result | None) -> tuple[Number, Number, Number]:
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


def real_build(result: Result | None) -> str:
    """What real hands may count on, once it is known."""
    load = None if result is None else result.load
    if load is None or load.likely_g is None or load.low_g is None or load.high_g is None:
        return ""
    low, likely, high = (rounded_down(g) for g in (load.low_g, load.likely_g, load.high_g))
    return f"Real hands: {low} to {high} g, likely {likely} g"
