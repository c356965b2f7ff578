"""Trials beside what was forecast: one row for each test, on the axis of what was held.

dot      what a build held; filled for this hull, hollow for others
cross    what was guessed, joined to the dot by a thin line
band     from low to high: where 8 builds in 10 end, with a stroke at what is likely
sure     what can be counted on: a dashed line
brim     perfect hands: a hollow diamond at the top, with a line down

Told apart by shape, so that it reads in black and white.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from folder.draw.chart import AXIS_MM, TICK_ROOM_MM, brim_mark, ticks
from folder.draw.picture import PUPIL_MM, SMALL_MM, Area, Box, Label, Line, Mark, Picture, disc
from folder.draw.style import FOIL, INK, PAPER, SHADE
from folder.draw.text import clean, shortened, width_mm

DOT_MM = 1.5
CROSS_MM = 1.2
ROW_MM = 10.0
"""Most height of a row."""
NAME_MM = 34.0
"""Room for what a row is, at the left; none in a narrow chart."""
TOP_MM = 8.0
"""Over the rows, for the diamond and the words of the lines."""
MOST_NAMED = 24
"""With more rows their names would run into each other."""


class TrialRow(Struct, frozen=True):
    """One test: what it held, in the unit of the axis, and what was guessed."""

    name: str
    held: float
    guess: float | None = None
    own: bool = True


class Forecast(Struct, frozen=True):
    """What model and trials say, in the unit of the axis; None where there is nothing to say."""

    low_likely_high: tuple[float, float, float] | None = None
    count_on: float | None = None
    most: float | None = None


def trial_chart(rows: Sequence[TrialRow], forecast: Forecast, box: Box, unit: str = "g") -> Picture:
    """The chart in a box, the first row on top."""
    reach = [row.held for row in rows] + [row.guess for row in rows if row.guess is not None]
    reach += [*(forecast.low_likely_high or ()), forecast.most or 0.0]
    most = max(reach, default=0.0)
    steps = int(box.width / (width_mm(f"{most:.0f} {unit}", PUPIL_MM) + TICK_ROOM_MM))
    values = ticks(most, min(max(steps, 1), 8))
    named = box.width > 4 * NAME_MM and len(rows) <= MOST_NAMED
    left = box.left + (NAME_MM if named else width_mm("0", PUPIL_MM) + DOT_MM)
    right = box.right - width_mm(f"{values[-1]:g} {unit}", PUPIL_MM) / 2 - 1.0
    floor, top = box.bottom + AXIS_MM, box.top - TOP_MM
    high = min(ROW_MM, (top - floor) / max(len(rows), 1))

    def at(value: float) -> float:
        return left + (right - left) * value / values[-1]

    marks: list[Mark] = []
    if forecast.low_likely_high is not None:
        low, likely, far = forecast.low_likely_high
        marks.append(Area((Box(at(low), floor, at(far), top).corners,), SHADE))
        marks.append(Line(((at(low), floor), (at(low), top)), "thin", colour=FOIL))
        marks.append(Line(((at(far), floor), (at(far), top)), "thin", colour=FOIL))
        marks.append(Area((Box(at(likely) - 0.5, floor, at(likely) + 0.5, top).corners,), INK))
        marks += _over("likely", at(likely), top, box)
    for value in values:
        marks.append(Line(((at(value), floor), (at(value), top)), "thin", colour=FOIL))
        text = f"{value:g} {unit}" if value == values[-1] else f"{value:g}"
        marks.append(Label(text, (at(value), box.bottom + 1.2), anchor="middle"))
    marks.append(Line(((left, floor), (right, floor)), "thin"))
    if forecast.count_on is not None:
        marks.append(Line(((at(forecast.count_on), floor), (at(forecast.count_on), top)), "hidden"))
    if forecast.most is not None:
        marks.append(Line(((at(forecast.most), floor), (at(forecast.most), top)), "thin"))
        marks.append(brim_mark((at(forecast.most), top)))
    for k, row in enumerate(rows):
        y = top - (k + 0.5) * high
        if named:
            name = shortened(clean(row.name), SMALL_MM, NAME_MM - 3.0)
            marks.append(Label(name, (box.left, y - 0.35 * SMALL_MM), SMALL_MM))
        marks += _row(at(row.held), None if row.guess is None else at(row.guess), y, row.own, min(DOT_MM, 0.42 * high))
    return Picture(tuple(marks), box)


KEY = (("own", "held"), ("guess", "guess"), ("band", "8 builds in 10"), ("sure", "count on"), ("most", "perfect hands"))
KEY_ALL = (("own", "this hull"), ("other", "other hulls"), ("guess", "guess"), ("most", "perfect hands"))
KEY_STEP_MM = 7.0
"""From a mark of the key to its word."""


def trial_key(all_hulls: bool, room_mm: float) -> Picture:
    """What the marks mean, in a row as long as there is room; its upper left corner is at the origin."""
    marks: list[Mark] = []
    x, y = 0.0, -3.0
    for name, text in KEY_ALL if all_hulls else KEY:
        wide = KEY_STEP_MM + width_mm(text, PUPIL_MM) + 5.0
        if x + wide - 5.0 > room_mm:
            break
        at = (x + 2.5, y)
        if name in ("own", "other"):
            marks.append(disc(at, DOT_MM, INK if name == "own" else PAPER, "outline"))
        elif name == "guess":
            marks += _cross(at, CROSS_MM)
        elif name == "band":
            marks.append(Area((Box(x, y - 2.0, x + 5.0, y + 2.0).corners,), SHADE, "thin"))
        elif name == "sure":
            marks.append(Line(((x + 2.5, y - 2.4), (x + 2.5, y + 2.4)), "hidden"))
        else:
            marks.append(brim_mark(at))
        marks.append(Label(text, (x + KEY_STEP_MM, y - 0.35 * PUPIL_MM)))
        x += wide
    return Picture(tuple(marks), Box(0.0, -6.0, room_mm, 0.0))


def _cross(at: tuple[float, float], side: float) -> list[Mark]:
    x, y = at
    return [Line(((x - side, y - k * side), (x + side, y + k * side)), "outline") for k in (1, -1)]


def _row(held: float, guess: float | None, y: float, own: bool, dot: float) -> list[Mark]:
    marks: list[Mark] = []
    if guess is not None:
        marks.append(Line(((held, y), (guess, y)), "thin"))
        marks += _cross((guess, y), min(CROSS_MM, dot))
    marks.append(disc((held, y), dot, INK if own else PAPER, "outline"))
    return marks


def _over(text: str, x: float, top: float, box: Box) -> list[Mark]:
    """A word over a line, kept inside the box."""
    half = width_mm(text, SMALL_MM) / 2
    return [Label(text, (min(max(x, box.left + half), box.right - half), top + 3.2), SMALL_MM, "middle")]
