"""Bars with spread: what each of several designs carries, from low to high, with a mark at what is likely.

spread  one row: a band from low to high, a stroke at likely, and a hollow diamond at the most there could be
axis    round numbers under the rows, with light lines up through them

Told apart by shape, so that it reads in black and white.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from msgspec import Struct

from folder.draw.picture import PUPIL_MM, Area, Box, Label, Line, Mark, Picture
from folder.draw.style import FOIL, INK, PAPER
from folder.draw.text import clean, shortened, width_mm
from folder.findings import Point
from folder.units import rounded_down

BAND_MM = 5.0
"""Height of a band."""
SAID_MM = 6.4
"""From the middle of a band up to the middle of the words over it."""
DOWN_MM = 2.6
"""How far the middle of a band lies below the middle of its row, so that band and words together stand in it."""
ROW_MM = 17.0
"""Least height of a row: its words over its band."""
AXIS_MM = 8.0
"""Room under the rows for the axis."""
MOST_STEPS = 6
TICK_ROOM_MM = 4.0
"""Between the numbers of an axis."""
KEY_MM = 7.0
WINNER = "#BFDAD5"
"""The band of the best: a tint of the colour of what is picked."""
NAME_SHARE = 0.34
"""How much of a chart's width its names may take."""


class Spread(Struct, frozen=True):
    """One row. `low_likely_high` is None where there is no number; `text` then tells why."""

    name: str
    low_likely_high: tuple[float, float, float] | None
    most: float | None = None
    text: str = ""
    about: bool = False
    """The numbers are a first count: it is said of the likely one."""

    @property
    def reach(self) -> float:
        """The largest number of the row."""
        return max(*(self.low_likely_high or (0.0, 0.0)), self.most or 0.0)


def ticks(most: float, steps: int = MOST_STEPS) -> tuple[float, ...]:
    """Round numbers from 0 to the first that is no less than `most`: 1, 2 or 5 times a power of ten apart."""
    if not most > 0.0:
        return (0.0, 1.0)
    power = 10.0 ** math.floor(math.log10(most / steps))
    step = next(times * power for times in (1, 2, 5, 10) if most <= steps * times * power * (1.0 + 1e-9))
    return tuple(k * step for k in range(math.ceil(most / step - 1e-9) + 1))


def bars(spreads: Sequence[Spread], box: Box, unit: str = "g") -> Picture:
    """The bands of the rows in a box, shared out equally from its top, and the axis at its bottom."""
    most = max((spread.reach for spread in spreads), default=0.0)
    steps = int(box.width / (width_mm(f"{most:.0f} {unit}", PUPIL_MM) + TICK_ROOM_MM))
    values = ticks(most, min(max(steps, 1), MOST_STEPS))
    # The last number of the axis stands half over its end.
    right = box.right - width_mm(f"{values[-1]:g} {unit}", PUPIL_MM) / 2 - 1.0
    left = box.left + width_mm("0", PUPIL_MM)
    floor, row = box.bottom + AXIS_MM, (box.height - AXIS_MM) / max(len(spreads), 1)

    def at(value: float) -> float:
        return left + (right - left) * value / values[-1]

    marks: list[Mark] = []
    for value in values:
        marks.append(Line(((at(value), floor), (at(value), box.top)), "thin", colour=FOIL))
        number = f"{value:g} {unit}" if value == values[-1] else f"{value:g}"
        marks.append(Label(number, (at(value), box.bottom + 1.2), anchor="middle"))
    marks.append(Line(((left, floor), (right, floor)), "thin"))
    for k, spread in enumerate(spreads):
        middle = box.top - (k + 0.5) * row - DOWN_MM
        if spread.low_likely_high is None:
            marks += _words(spread.text, left + 1.0, middle, right)
            continue
        low, likely, high = spread.low_likely_high
        marks += _band((at(low), at(likely), at(high)), None if spread.most is None else at(spread.most), middle)
        words = f"likely {rounded_down(likely)} {unit} ({rounded_down(low)} to {rounded_down(high)})"
        if width_mm(words, PUPIL_MM, "bold") > box.width - 2.0:  # the key says which mark is the likely one
            words = words.removeprefix("likely ")
        # The words may run beyond the axis, but not out of the box.
        start = max(min(at(low), box.right - width_mm(words, PUPIL_MM, "bold") - 1.0), box.left + 0.6)
        marks += _words(words, start, middle + SAID_MM, box.right)
    return Picture(tuple(marks), box)


def spread_chart(spreads: Sequence[Spread], wide_mm: float = 180.0, row_mm: float = ROW_MM, unit: str = "g") -> Picture:
    """A whole chart with names and key; its lower left corner is at the origin."""
    names = [clean(spread.name) for spread in spreads]
    widest = max((width_mm(name, PUPIL_MM, "bold") for name in names), default=0.0)
    side = min(widest, NAME_SHARE * wide_mm) + 4.0
    foot = key_rows(wide_mm) * KEY_MM + 3.0
    box = Box(side, foot, wide_mm, foot + AXIS_MM + row_mm * len(spreads))
    marks: list[Mark] = []
    for k, name in enumerate(names):
        y = box.top - (k + 0.5) * row_mm - DOWN_MM
        short = shortened(name, PUPIL_MM, side - 4.0, "bold")
        marks.append(Label(short, (0.0, y - 0.35 * PUPIL_MM), weight="bold"))
    chart = Picture(tuple(marks), Box(0.0, 0.0, wide_mm, box.top)) + bars(spreads, box, unit)
    return chart + chart_key(wide_mm).moved(0.0, foot - 3.0)


KEY = (
    ("band", "8 builds in 10 end here"),
    ("likely", "likely"),
    ("most", "brim load: level and perfect"),
)
"""What the marks of a row mean. The band: one build in ten carries less, one in ten more (water.working)."""


def chart_key(room_mm: float) -> Picture:
    """What the marks mean, in as many rows as it takes; the upper left corner is at the origin."""
    marks: list[Mark] = []
    x, y = 0.0, -KEY_MM / 2
    for (name, text), (x, y) in zip(KEY, _key_places(room_mm), strict=True):
        middle = (x + 6.0, y)
        if name == "band":
            marks.append(_block(Box(x, y - BAND_MM / 2, x + 12.0, y + BAND_MM / 2)))
        elif name == "likely":
            marks.append(_stroke(*middle))
        else:
            marks.append(brim_mark(middle))
        marks.append(Label(text, (x + 15.0, y - 0.35 * PUPIL_MM)))
    return Picture(tuple(marks), Box(0.0, -key_rows(room_mm) * KEY_MM, room_mm, 0.0))


def key_rows(room_mm: float) -> int:
    """How many rows the key takes."""
    return len({y for _, y in _key_places(room_mm)})


def _key_places(room_mm: float) -> list[Point]:
    places: list[Point] = []
    x, y = 0.0, -KEY_MM / 2
    for _, text in KEY:
        wide = 15.0 + width_mm(text, PUPIL_MM)
        if x and x + wide > room_mm:
            x, y = 0.0, y - KEY_MM
        places.append((x, y))
        x += wide + 6.0
    return places


def bar_key(room_mm: float) -> Picture:
    """What the marks of a row mean, in one line as far as there is room; its upper left corner is at the origin."""
    marks: list[Mark] = []
    x, y = 0.0, -3.0
    for name, text, wide in (("band", "8 builds in 10", 9.0), ("likely", "likely", 3.0), ("most", "perfect hands", 5.0)):
        room = wide + 2.0 + width_mm(text, PUPIL_MM)
        if x + room > room_mm:
            break
        if name == "band":
            marks.append(_block(Box(x, y - 2.0, x + wide, y + 2.0)))
        elif name == "likely":
            marks.append(Area((Box(x + wide / 2 - 0.8, y - 3.0, x + wide / 2 + 0.8, y + 3.0).corners,), INK))
        else:
            marks.append(brim_mark((x + wide / 2, y)))
        marks.append(Label(text, (x + wide + 2.0, y - 0.35 * PUPIL_MM)))
        x += room + 6.0
    return Picture(tuple(marks), Box(0.0, -6.0, room_mm, 0.0))


class Axis(Struct, frozen=True):
    """Numbers along the foot of rows that are drawn one by one; their left and right ends, mm."""

    values: tuple[float, ...]
    left: float
    right: float

    @classmethod
    def over(cls, most: float, left: float, right: float) -> Axis:
        """An axis from 0 to no less than `most` between two places, with as many numbers as have room."""
        steps = int((right - left) / (width_mm(f"{most:.0f}", PUPIL_MM) + 3 * TICK_ROOM_MM))
        values = ticks(most, min(max(steps, 1), MOST_STEPS))
        end = right - width_mm(f"{values[-1]:g}", PUPIL_MM) / 2 - 1.0
        return cls(values, left + width_mm("0", PUPIL_MM), end)

    def at(self, value: float) -> float:
        """Where a number stands."""
        return self.left + (self.right - self.left) * value / self.values[-1]


def row_bar(spread: Spread, axis: Axis, box: Box, *, strong: bool = False, bare: bool = False) -> Picture:
    """One row of a chart in a box of its own, with the light lines of the axis up through it; `bare` without its words."""
    marks: list[Mark] = [Line(((axis.at(v), box.bottom), (axis.at(v), box.top)), "thin", colour=FOIL) for v in axis.values]
    if spread.low_likely_high is None:
        marks += _words(spread.text, axis.left + 1.0, box.middle[1], box.right)
        return Picture(tuple(marks), box)
    low, likely, high = (axis.at(value) for value in spread.low_likely_high)
    y = box.middle[1] - (0.0 if bare else DOWN_MM)
    marks += _band((low, likely, high), None if spread.most is None else axis.at(spread.most), y, WINNER if strong else FOIL)
    if not bare:
        words = f"{'about' if spread.about else 'likely'} {rounded_down(spread.low_likely_high[1])}"
        wide = width_mm(words, PUPIL_MM, "bold")
        marks += _words(words, min(max(likely - wide / 2, box.left + 0.6), box.right - wide - 1.0), y + SAID_MM, box.right)
    return Picture(tuple(marks), box)


def axis_row(axis: Axis, box: Box) -> Picture:
    """The axis under rows that are drawn one by one, its line along the top of the box."""
    y = box.top - 0.5
    marks: list[Mark] = [Line(((axis.left, y), (axis.right, y)), "outline")]
    marks += [Label(f"{value:g}", (axis.at(value), y - 5.0), anchor="middle") for value in axis.values]
    return Picture(tuple(marks), box)


def _band(at: tuple[float, float, float], most: float | None, y: float, fill: str = FOIL) -> Iterator[Mark]:
    low, likely, high = at
    if most is not None:
        yield Line(((high, y), (most, y)), "hidden")
    yield _block(Box(low, y - BAND_MM / 2, high, y + BAND_MM / 2), fill)
    yield _stroke(likely, y)
    if most is not None:
        yield brim_mark((most, y))


def _block(box: Box, fill: str = FOIL) -> Area:
    return Area((box.corners,), fill, "outline")


def _stroke(x: float, y: float) -> Area:
    return Area((Box(x - 0.8, y - BAND_MM / 2 - 1.0, x + 0.8, y + BAND_MM / 2 + 1.0).corners,), INK)


def brim_mark(at: Point) -> Area:
    """The mark of the most there could be."""
    x, y = at
    return Area((((x - 2.2, y), (x, y - 2.6), (x + 2.2, y), (x, y + 2.6)),), PAPER, "outline")


def _words(text: str, x: float, y: float, right: float) -> tuple[Mark, ...]:
    """Words on paper of their own, so that the lines of the axis do not run through them; their middle is at `y`."""
    short = shortened(clean(text), PUPIL_MM, right - x - 0.5, "bold")
    label = Label(short, (x, y - 0.35 * PUPIL_MM), weight="bold")
    wide = width_mm(short, PUPIL_MM, "bold")
    return Area((Box(x - 0.5, label.at[1] - 1.2, x + wide + 0.5, label.at[1] + 3.6).corners,), PAPER), label
