"""A remedy with all that is known of what comes of it: tried out, not guessed.

lost      walls and hems that were drawn and stand nowhere any more
changes   lines taken away and lines added
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from msgspec import Struct

from folder.findings import Point
from folder.pattern.pattern import Crease, Pattern
from folder.studies import Study
from folder.verdict import Verdict, verdict_of

_WALL_SHARE = 0.4
"""A line as long as this share of the sheet's side is drawn as a wall, a hem or a fold of the floor; shorter ones belong to a corner."""
_NEAR_MM, _NEAR_RAD = 16.0, math.radians(20.0)
"""A line that is put this far from where it was is still that line: a crooked one that is straightened moves so far at its ends."""
_DIGITS = 1
_DOT_MM = 0.1


class StudiedRemedy(Struct, frozen=True, eq=False):
    """A change of the whole pattern, and what comes of it."""

    text: str
    pattern: Pattern
    """The pattern with it."""
    study: Study
    verdict: Verdict
    stops: int
    """At how many places something stops the hull then."""
    brim_g: float
    """What it carries with perfect hands; 0 where it is no hull."""
    lost: int
    changes: int
    redrawn: bool
    """The whole drawing is drawn anew, as it is meant; else only some of its lines change."""
    blunts: bool = False
    """It cuts off a point that was drawn, with a wall that was not."""
    places: tuple[Point, ...] = ()
    """Where on the sheet something changes."""

    @property
    def likely_g(self) -> float:
        """What the hand of the study will load on it; 0 where it is no hull. Worked out when it is first asked for."""
        working = self.study.working if self.good else None
        return 0.0 if working is None else working.likely_g

    @property
    def good(self) -> bool:
        """It ends in a hull."""
        return self.verdict.level == "good"


def stops_of(made: Study) -> int:
    """At how many places something stops a hull."""
    return sum(f.count for f in made.report.stops)


def tried(before: Study, text: str, pattern: Pattern, lost: int | None = None, *, blunts: bool = False) -> StudiedRemedy:
    """A change tried out; `lost` is given where the whole drawing is drawn anew as it is meant, and else found out."""
    made = Study(pattern, before.water, (), before.hand, before.rules)
    gone, come = changed_lines(before.pattern, pattern)
    verdict = verdict_of(made)
    return StudiedRemedy(
        text, pattern, made, verdict, stops_of(made),
        0.0 if made.brim is None or verdict.level != "good" else made.brim.load_g,
        lost_walls(before.pattern, pattern) if lost is None else lost,
        len(gone) + len(come),
        lost is not None,
        blunts,
        tuple(dict.fromkeys(_middle(c) for c in (*come, *gone))),
    )  # fmt: skip


def changed_lines(before: Pattern, after: Pattern) -> tuple[list[Crease], list[Crease]]:
    """The lines that are there no more, and those that are new; ends are compared to a tenth of a millimetre."""
    was, now = ({_key(c): c for c in p.creases} for p in (before, after))
    return [c for key, c in was.items() if key not in now], [c for key, c in now.items() if key not in was]


def _key(crease: Crease) -> tuple[object, ...]:
    ends = sorted((round(x, _DIGITS) + 0.0, round(y, _DIGITS) + 0.0) for x, y in (crease.start, crease.end))
    return (*ends, crease.sense, None if crease.turn_rad is None else round(crease.turn_rad, 3))


def _middle(crease: Crease) -> Point:
    return ((crease.start[0] + crease.end[0]) / 2.0, (crease.start[1] + crease.end[1]) / 2.0)


def lost_walls(before: Pattern, after: Pattern) -> int:
    """How many long folds of a drawing have no fold near their place any more. Lines drawn twice count once."""
    least = _WALL_SHARE * min(before.sheet.width_mm, before.sheet.height_mm)
    folds = [c for c in after.creases if _folds(c)]
    lost: list[Crease] = []
    for crease in before.creases:
        if crease.length_mm >= least and _folds(crease) and not _near_any(crease, folds) and not _near_any(crease, lost):
            lost.append(crease)
    return len(lost)


def _folds(crease: Crease) -> bool:
    return crease.sense in ("valley", "mountain") and (crease.turn_rad is None or crease.turn_rad > 0.05)


def _near_any(crease: Crease, others: Iterable[Crease]) -> bool:
    middle = complex(*_middle(crease))
    way = complex(*crease.end) - complex(*crease.start)
    for other in others:
        if other.length_mm < _DOT_MM:
            continue
        along = complex(*other.end) - complex(*other.start)
        size = abs(along)
        at = (middle - complex(*other.start)) * along.conjugate() / size
        turn = along * way.conjugate()
        aside = max(0.0, -at.real, at.real - size)
        if math.hypot(at.imag, aside) < _NEAR_MM and abs(turn.imag) < math.tan(_NEAR_RAD) * abs(turn.real):
            return True
    return False
