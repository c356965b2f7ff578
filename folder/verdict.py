"""The verdict: one pattern's state in one code, one level, one sentence. Command line, window and paper say the same.

The first of these that is true decides:

empty     nothing folds
a stop    the drawing or the fold has a stop finding; it is named by its kind, and at how many places
cut       it folds, but with a cut
tape      it folds, but holds water only with tape
open      it folds, but some side has no wall: no fault, only not finished
a stop    the hull, the water or the rules of an event have one
hull      the rest: it folds from one sheet, no cut, no tape
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from msgspec import Struct

from folder.findings import CODES, Report
from folder.hull.shape import EDGE_ON_FLOOR
from folder.pattern.pattern import Pattern
from folder.studies import Study
from folder.units import TOLERANCES
from folder.water.level import level_words

# Pages are made by few; what they need takes time to load.
if TYPE_CHECKING:
    from folder.paper.design import Design

VerdictLevel = Literal["neutral", "stop", "good"]

FOLDS = "Folds from one sheet, no cut, no tape."

STOP_SENTENCES: tuple[tuple[str, str, str], ...] = (
    ("off-sheet", "A line leaves the sheet.", "{n} lines leave the sheet."),
    ("two-senses", "Two lines in one place want different folds.", "At {n} places two lines want different folds."),
    ("unfinished-line", "A line is not finished yet.", "{n} lines are not finished yet."),
    ("not-closed", "One point will not close yet.", "{n} points will not close yet."),
    ("crossing", "The sheet would go through itself.", "The sheet would go through itself at {n} places."),
)  # fmt: skip
"""Code of the verdict, sentence for one place, sentence for several. Which findings lead to it: `findings.CODES`."""

_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight")


_SHORT = {
    "hull": "folds", "empty": "flat sheet", "open": "not a hull yet", "cut": "needs a cut", "tape": "needs tape", "no-floor": "no floor",
}  # fmt: skip


class Verdict(Struct, frozen=True):
    """A pattern's state."""

    code: str
    level: VerdictLevel
    text: str

    @property
    def short(self) -> str:
        """In two or three words, for a table."""
        return _SHORT.get(self.code, "does not fold")


def verdict_of(study: Study) -> Verdict:
    """The verdict on a pattern."""
    if is_empty(study.pattern):
        return Verdict("empty", "neutral", "A flat sheet. Fold a wall!")
    report = study.report
    for code, one, several in STOP_SENTENCES:
        if places := _places(report, code):
            return Verdict(code, "stop", one if places == 1 else several.format(n=places))
    if not study.folds:
        return Verdict("not-closed", "stop", "It does not fold as drawn.")
    if any(f.level == "stop" for f in report.having("cut-drawn")):
        return Verdict("cut", "stop", "Needs a cut: not allowed." if study.needs_cut else "Has a cut: not allowed.")
    if any(f.level == "stop" for f in report.having("no-floor")):
        return Verdict("no-floor", "stop", "It folds, but there is no flat floor to load.")
    if study.needs_tape:
        return Verdict("tape", "stop", "Holds water only with tape: not allowed.")
    if open_sides := report.having("open-side"):
        return Verdict("open", "neutral", _open(sum(f.count for f in open_sides if f.text != EDGE_ON_FLOOR)))
    if report.stops:
        return Verdict(report.stops[0].code, "stop", report.stops[0].text)
    return Verdict("hull", "good", FOLDS)


def level_sentence(study: Study) -> str:
    """Where the brim load must stand, in words; nothing where that is the middle of the floor."""
    return "" if study.hull is None or study.brim is None else level_words(study.hull.skin, study.brim)


def stand_sentence(study: Study) -> str:
    """Till when a hand must hold a hull that turns over when empty, in words; nothing where it stands by itself."""
    return next((finding.text for finding in study.report.having("tips-empty")), "")


def design_of(study: Study) -> Design:
    """The design as card and compare sheet show it, with its verdict."""
    from folder.paper.design import Design

    verdict = verdict_of(study)
    return Design(
        study.pattern, study.folded, study.hull, study.joined_load, study.folds,
        verdict.text, verdict.level == "good", level_sentence(study), stand_sentence(study),
        study.joined, study.working, study.layering,
    )  # fmt: skip


def is_empty(pattern: Pattern) -> bool:
    """Whether nothing folds: no line but guides, and lines that stay flat."""
    return not any(
        c.sense == "cut" or (c.sense != "guide" and (c.turn_rad is None or c.turn_rad > TOLERANCES.flat_rad))
        for c in pattern.creases
    )


def _places(report: Report, verdict: str) -> int:
    """At how many places a stop leads to that verdict."""
    return sum(f.count for f in report.stops if CODES[f.code].verdict == verdict)


def _open(sides: int) -> str:
    if not sides:
        return "Not a hull yet: at one place the edge lies on the floor."
    number = _NUMBERS[sides] if sides < len(_NUMBERS) else f"{sides}"
    return f"Not a hull yet: {number} side{' has' if sides == 1 else 's have'} no wall."
