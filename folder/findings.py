"""Findings: what is wrong with a pattern, where, how bad, and what would mend it.

code      the kind of a finding, one word; CODES lists all there are, with the levels each may have
finding   one thing to know about a pattern, with a place on the sheet, or several where the same is true
level     stop (this cannot be folded or cannot float as drawn), warn (it will cost load), note (good to know)
report    all findings of one pattern
remedy    an edit, as plain data, that mends a finding: lines to drop, lines to add, crimps to add
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from msgspec import Struct, field
from msgspec.structs import replace

Level = Literal["stop", "warn", "note"]
Point = tuple[float, float]
"""A place on the sheet, mm."""

LEVELS: tuple[Level, ...] = ("stop", "warn", "note")


class Code(Struct, frozen=True):
    """One kind of finding: the levels it may have, and what it says of a pattern."""

    name: str
    levels: tuple[Level, ...]
    text: str
    verdict: str = ""
    """What a stop of this kind makes of the pattern, see `verdict`: the sheet does not fold to the shape drawn."""


CODES: dict[str, Code] = {
    code.name: code
    for code in (
        Code("off-sheet", ("stop",), "a crease leaves the sheet", verdict="off-sheet"),
        Code("stops-short", ("stop",), "a crease ends in mid-sheet: a fold cannot just stop", verdict="unfinished-line"),
        Code("lone-line", ("stop",), "an inner point with one or two folds that are not one straight line", verdict="not-closed"),
        Code("two-senses", ("stop",), "two creases on one stretch want different folds", verdict="two-senses"),
        Code(
            "will-not-close", ("stop", "note"), "the folds round a point do not bring the sheet back onto itself", verdict="not-closed"
        ),
        Code("any-angle", ("note",), "a flap may have any angle; one is chosen"),
        Code("flat-rule", ("stop",), "a point of flat folds breaks a rule of flat folding", verdict="not-closed"),
        Code(
            "passes-through", ("stop", "warn", "note"), "two faces cross, or a strip is too wide for the layers round it",
            verdict="crossing",
        ),
        Code("cut-drawn", ("stop", "warn"), "a cut, and the load it costs"),
        Code("open-seam", ("stop",), "edges meet but are not joined, below the rim: they would need tape"),
        Code("open-side", ("stop",), "no wall on this side: water comes straight in"),
        Code("edge-dips", ("note",), "the edge is lower here than elsewhere, and the load that costs"),
        Code("loose-flap", ("warn",), "a flap that no crimp, hem or layer holds"),
        Code("flexes", ("note",), "the walls can swing together although all folds fit"),
        Code("no-floor", ("stop",), "nothing flat to load"),
        Code("floor-breaks", ("warn",), "the floor is not one piece, or not level"),
        Code("tips-over", ("stop",), "the hull stands upright with no load up to its brim: it carries nothing"),
        Code("tips-empty", ("warn",), "it turns over when empty: a hand holds it until so many grams stand in it"),
        Code("too-close", ("warn",), "parallel creases too close together for small hands"),
        Code("thick-stack", ("note",), "many layers in one place"),
        Code("thin-floor", ("note",), "one layer under an object with edges or points"),
        Code("over-footprint", ("stop",), "the folded hull is larger than the event allows"),
        Code("over-wall", ("stop",), "a wall is higher than the event allows"),
        Code("wrong-sheet", ("stop",), "the sheet is not that of the event"),
        Code("two-holds", ("stop",), "more than one open floor, where the event allows one"),
    )
}  # fmt: skip
"""Every kind of finding, in the order of the stages that make them; the last four by the rules of an event."""


class Stroke(Struct, frozen=True):
    """A crease a remedy would add: ends in mm on the sheet, its sense, its turn in rad (None = free)."""

    start: Point
    end: Point
    sense: str
    turn_rad: float | None
    step: int | None = None
    """The step it belongs to; None: that of the creases it stands for, where they have one."""


class Remedy(Struct, frozen=True):
    """An edit that mends a finding, in words and as data.

    `drop` holds indices into the pattern's creases, `add` the new ones, `crimps` places to pinch.
    `pattern.edit.apply_remedy` carries it out.
    """

    text: str
    drop: tuple[int, ...] = ()
    add: tuple[Stroke, ...] = ()
    crimps: tuple[Point, ...] = ()
    lost_crimps: tuple[Point, ...] = ()
    """Crimps of the pattern that go."""


class Finding(Struct, frozen=True):
    """One thing to know about a pattern.

    `text` is one sentence a ten-year-old follows; `detail` one line with numbers for the coach. `places` holds every
    place where this is true, the first of them `at`; it is empty where there is but one.
    """

    code: str
    level: Level
    at: Point | None
    text: str
    detail: str = ""
    remedy: Remedy | None = None
    places: tuple[Point, ...] = ()

    @property
    def everywhere(self) -> tuple[Point, ...]:
        """Every place on the sheet where this is true; none when it is true of the whole pattern."""
        return self.places or (() if self.at is None else (self.at,))

    @property
    def count(self) -> int:
        """At how many places this is true; a finding without a place counts once."""
        return max(1, len(self.places))


class Report(Struct, frozen=True):
    """All findings of one stage or of the whole trip, worst first."""

    findings: tuple[Finding, ...] = field(default=())

    @classmethod
    def of(cls, findings: Iterable[Finding]) -> Report:
        """A report with the findings sorted: stops, then warnings, then notes; otherwise as they came."""
        return cls(tuple(sorted(findings, key=lambda f: LEVELS.index(f.level))))

    def merged(self) -> Report:
        """Findings that say the same (code, level, text) are one finding, with all their places and one remedy for all."""
        alike: dict[tuple[str, Level, str], list[Finding]] = {}
        for f in self.findings:
            alike.setdefault((f.code, f.level, f.text), []).append(f)
        return Report(tuple(_one_of(same) for same in alike.values()))

    def __add__(self, other: Report) -> Report:
        return Report.of(self.findings + other.findings)

    @property
    def stops(self) -> tuple[Finding, ...]:
        """The findings that stop the fold or the float."""
        return tuple(f for f in self.findings if f.level == "stop")

    def having(self, *codes: str) -> tuple[Finding, ...]:
        """The findings with one of these codes."""
        return tuple(f for f in self.findings if f.code in codes)


MOST_DETAILS = 4
"""Lines of numbers kept of findings that are told as one."""


def _one_of(same: list[Finding]) -> Finding:
    """The findings as one."""
    if len(same) == 1:
        return same[0]
    places = tuple(dict.fromkeys(place for f in same for place in f.everywhere))
    details = list(dict.fromkeys(f.detail for f in same if f.detail))
    more = [f"And {len(details) - MOST_DETAILS} more like these."] if len(details) > MOST_DETAILS else []
    remedy = _for_all([f.remedy for f in same if f.remedy is not None])
    at = places[0] if places else None
    return replace(same[0], at=at, detail=" ".join([*details[:MOST_DETAILS], *more]), remedy=remedy, places=places)


def _for_all(remedies: list[Remedy]) -> Remedy | None:
    """One remedy that does what the most of them do, in the same words; no line is taken away twice."""
    if not remedies:
        return None
    alike: dict[str, dict[Remedy, None]] = {}
    dropped: dict[str, set[int]] = {}
    for remedy in remedies:
        others, taken = alike.setdefault(remedy.text, {}), dropped.setdefault(remedy.text, set())
        if taken.isdisjoint(remedy.drop):
            others[remedy] = None
            taken.update(remedy.drop)
    text, chosen = max(alike.items(), key=lambda both: len(both[1]))
    if len(chosen) == 1:
        return next(iter(chosen))
    return Remedy(
        f"{text.rstrip('.')}, at {len(chosen)} places.",
        tuple(i for r in chosen for i in r.drop),
        tuple(s for r in chosen for s in r.add),
        tuple(c for r in chosen for c in r.crimps),
    )
