"""The verdict in words, what usual hands will carry, and the measures. No pygame."""

from __future__ import annotations

from msgspec import Struct

from folder.cargo.item import Item
from folder.cargo.words import counts_by_mass, noun, number_of
from folder.studies import LoadEstimate
from folder.units import rounded_down
from folder.verdict import level_sentence, verdict_of
from folder.window.background.result import Progress
from folder.window.theme import MessageLevel

NO_LOG = "Your trial log cannot be read: this is without trials."


class Number(Struct, frozen=True):
    """A number: what it is, in a word, its digits, its unit, and a word on how it is meant."""

    name: str
    words: str
    digits: str
    unit: str
    tip: str


class ExpectedLoad(Struct, frozen=True):
    """What usual hands will carry: "66", "cents", "51 to 82"; in grams beside it, and what perfect hands could."""

    digits: str
    unit: str
    span: str
    grams: str
    perfect: str
    about: bool = False
    """By mass alone: the objects have not been counted one by one."""


def verdict(result: Progress | None) -> tuple[str, MessageLevel]:
    """Does the sheet fold to this hull: a sentence and how bad it is."""
    if result is None:
        return "Looking at your sheet …", "note"
    if result.failed is not None or result.study is None:
        return "This drawing is too much for the program. Take the last line back.", "stop"
    known = verdict_of(result.study)
    return known.text, "note" if known.level == "neutral" else known.level


def measures(result: Progress | None) -> tuple[Number, Number, Number]:
    """Floor, wall, and the load when all is perfect."""
    study = None if result is None else result.study
    floor = wall = load = "–"
    if study is not None and study.folds and study.measures.creases:
        floor = f"{study.measures.floor_area_mm2 / 100:.0f}"
        wall = f"{study.measures.wall_height_mm:.1f}".removesuffix(".0")
        load = "–" if study.brim is None else rounded_down(study.brim.load_g)
    return (
        Number("floor", "floor", floor, "cm²", "How much flat floor there is for the load"),
        Number("wall", "wall", wall, "mm", "How high the lowest wall stands"),
        Number("load", "perfect hands", load, "g", "How many grams it carries when all is folded and loaded perfectly"),
    )


def known_load(result: Progress | None) -> LoadEstimate | None:
    """What a real build carries, where that has been worked out: for its own sake, or for the note at the hand."""
    if result is None or result.study is None:
        return None
    worked_out: LoadEstimate | None = vars(result.study).get("load")
    return result.load or worked_out


def expected(result: Progress | None, item: Item | None, counted: tuple[int, int, int, int] | None = None) -> ExpectedLoad | None:
    """What usual hands will carry, in objects of a mass or, where there are none, in grams; None while that is not known.

    About, by mass, until the objects have been `counted` one by one: low, likely, high, and what perfect hands could.
    """
    load = known_load(result)
    if load is None or load.low_g is None or load.likely_g is None or load.high_g is None or load.brim_g is None:
        return None
    low, likely, high, brim = (rounded_down(g) for g in (load.low_g, load.likely_g, load.high_g, load.brim_g))
    if item is None or item.mass_g is None:
        return ExpectedLoad(likely, "g", f"{low} to {high}", "", f"{brim} g")
    counts = counted or counts_by_mass(item.mass_g, load.low_g, load.likely_g, load.high_g, load.brim_g)
    grams, span = f"{likely} g, {low} to {high}", f"{counts[0]} to {counts[2]}"
    could = f"{number_of(item, counts[3])}, {brim} g"
    return ExpectedLoad(f"{counts[1]}", noun(item, counts[1]), span, grams, could, counted is None)


def worth_most(result: Progress | None, item: Item | None) -> str:
    """The one change that would win most."""
    study = None if result is None or known_load(result) is None else result.study
    working = None if study is None else study.working
    if working is None or not working.wins:
        return ""
    win = working.wins[0]
    more = 0 if item is None or item.mass_g is None else counts_by_mass(item.mass_g, win.gain_g)[0]
    gain = number_of(item, more) if item is not None and more else f"{rounded_down(win.gain_g)} g"
    return f"Worth most: {win.change}, {gain} more."


def log_fault(result: Progress | None) -> str:
    """That the trial log cannot be read, where that is so."""
    return NO_LOG if result is not None and result.log_fault else ""


def place(result: Progress | None) -> str:
    """Where the load must stand, for a hull that is not level with it in the middle."""
    return "" if result is None or result.study is None else level_sentence(result.study)
