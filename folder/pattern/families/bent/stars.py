"""Bowls drawn out to the sheet's corners: the middle of each side is pleated in, and four points stand out.

F, C, R   a corner of the floor, a corner of the sheet, and the place on the sheet's edge where a pleat begins
facet     a side of the bowl, from a line on to C: F R C; a fan has two, F M C and M R C, with a kink M in its pleat
pleat     the spare sheet between two facets, in the middle of a side: an ear that hangs on the line F R (or F M R)

All is seen from the middle of the sheet, for the right half of the upper right quarter; the rest follows by turning and
mirroring. In space a pleat's line lies in the plane y = 0: each of its points there is as far from the one before and from
C as on the sheet, so every such bowl closes exactly.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

import numpy as np
from msgspec import Struct

from folder.errors import BadRequest
from folder.findings import Point
from folder.geometry.space import Floats
from folder.pattern.families.bent.ear import Ear, Ears
from folder.pattern.families.parameter import Drawing, Family, Parameter, Value, no_more, number, word
from folder.pattern.families.walls import signed_crease
from folder.pattern.pattern import Crease, Sheet

_FLOOR, _POINT, _PLEAT, _KINK = 1, 2, 3, 4
"""Order of folds."""

_LEAST_MM = 1.0
"""Parts of a pleat narrower than this cannot be folded (judgement)."""

_LEVEL_MM = 0.01
"""A pleat that ends lower than the rest of the rim by no more than this costs nothing."""

_SMALLEST = 10.0
"""A floor with a side shorter than this holds nothing."""


class _Star(Struct, frozen=True, eq=False):
    """One eighth of a bowl. Places on the sheet as complex numbers from its middle, in space (3,) mm."""

    half_mm: float
    line: tuple[complex, ...]
    """The upper edge of the right pleat on the sheet: F, M if there is one, R."""
    corner: Floats
    """C in space."""
    places: tuple[Floats, ...]
    """The line in space."""

    def ears(self, inside: bool) -> Ears:
        """The pleats that close."""
        sheet = [b - a for a, b in pairwise(self.line)]
        space = [b - a for a, b in pairwise(self.places)]
        between = [self._between(k) for k in range(len(space))]
        return Ears(
            tuple(math.atan2(way.imag, way.real) for way in sheet),
            tuple(math.atan2(way[2], way[0]) for way in space),
            tuple((math.pi + angle) / 2.0 for angle in between),
            inside,
        )

    def _between(self, k: int) -> float:
        """How far the sheet turns between the facets on both sides of a piece of the pleat's line."""
        return _turn(self.places[k], self.places[k + 1], self.corner, self.corner * _MIRROR)

    def kink_ends(self, ear: Ear) -> list[float]:
        """Where the pleat's kinks meet its middle line: how far from the sheet's middle; infinitely, if one runs away from it."""
        ends = []
        for k, kink in enumerate(ear.kinks):
            way = self.line[k + 1] - self.line[k]
            back = math.pi + math.atan2(way.imag, way.real) + kink.along_rad
            at = self.line[k + 1]
            runs_down = math.sin(back) < -1e-9
            ends.append(at.real - at.imag * math.cos(back) / math.sin(back) if runs_down else math.inf)
        return ends

    def is_sound(self, ear: Ear) -> bool:
        """The kinks end one after another on the pleat's middle line; a pleat that nothing else stops does not lower the rim."""
        along = [self.line[0].real, *self.kink_ends(ear), self.half_mm]
        if not ear.kinks and ear.fold_turn < 0.0:  # inside, and free to swing
            return self._tip_height(ear) >= min(self.corner[2], self.places[-1][2]) - _LEVEL_MM
        return all(b - a > _LEAST_MM for a, b in pairwise(along))

    def _tip_height(self, ear: Ear) -> float:
        """How high the end of the pleat's middle line comes to lie above the floor, mm."""
        sheet, space = self.line[-1] - self.line[-2], self.places[-1] - self.places[-2]
        turned, rise = math.atan2(sheet.imag, sheet.real), math.atan2(space[2], space[0])
        out = math.sin(turned) * math.sin(rise) + math.cos(turned) * math.cos(ear.angles_rad[-1]) * math.cos(rise)
        return float(self.places[-1][2] - self.line[-1].imag * out)

    def facet_turns(self) -> Iterator[float]:
        """The turns of the lines that run to C, from F on."""
        before = np.array([-self.places[0][1], self.places[0][0], 0.0])  # the next corner of the floor
        for here, after in pairwise(self.places):
            yield _turn(here, self.corner, before, after)
            before = here

    def floor_turn(self) -> float:
        """The turn of the floor's sides."""
        here = self.places[0]
        return _turn(here, np.array([-here[1], here[0], 0.0]), np.zeros(3), self.corner)


_MIRROR = np.array([1.0, -1.0, 1.0])


def _turn(start: Floats, end: Floats, left: Floats, right: Floats) -> float:
    """Signed turn, rad, at a crease between the faces that hold a point on its left and on its right. All (3,) mm."""
    along = (end - start) / np.linalg.norm(end - start)
    normals = np.cross(along, left - start), np.cross(right - start, along)
    one, other = (normal / np.linalg.norm(normal) for normal in normals)
    return math.atan2(float(along @ np.cross(other, one)), float(one @ other))


def _star(half_mm: float, floor_mm: float, turn_rad: float, line: Sequence[complex]) -> _Star | None:
    """The bowl with these corner triangles and pleats; None where the facets do not reach from pleat to corner."""
    out = floor_mm / math.sqrt(2.0)
    rise = math.sqrt(2.0) * half_mm - floor_mm / 2.0
    level = (floor_mm / 2.0 + rise * math.cos(turn_rad)) / math.sqrt(2.0)
    corner = np.array([level, level, rise * math.sin(turn_rad)])
    on_sheet = (complex(out, 0.0), *line)
    places = [np.array([out, 0.0, 0.0])]
    for before, here in pairwise(on_sheet):
        found = _reached(places[-1], abs(here - before), corner, abs(here - complex(half_mm, half_mm)))
        if found is None:
            return None
        places.append(found)
    return _Star(half_mm, on_sheet, corner, tuple(places))


def _reached(start: Floats, length_mm: float, corner: Floats, away_mm: float) -> Floats | None:
    """The place in the plane y = 0 that far from two others, of which the first lies in it: the higher of two. (3,) mm each."""
    across = away_mm**2 - corner[1] ** 2
    way = (corner - start)[[0, 2]]
    apart = float(np.hypot(*way))
    along = (length_mm**2 - across + apart**2) / (2.0 * apart)
    off = length_mm**2 - along**2
    if across <= 0.0 or off <= 0.0:
        return None
    x, z = start[[0, 2]] + (along * way + math.sqrt(off) * np.array([-way[1], way[0]])) / apart
    return np.array([x, 0.0, z])


def _drawn(star: _Star, ear: Ear) -> Drawing:
    """All four sides of the bowl on the sheet, a crimp on each pleat."""
    creases = tuple(crease for k in range(4) for crease in _side(star, ear, 1j**k))
    at = 0.15 * star.line[0].real + 0.85 * star.half_mm + 0.45j * star.line[-1].imag
    crimps = (_placed(star, at, 1j**k) for k in range(4))
    return Drawing(creases, (star.half_mm, star.half_mm), tuple((round(x, 2), round(y, 2)) for x, y in crimps))


def _placed(star: _Star, place: complex, quarter: complex) -> Point:
    """A place of the right side on the sheet, that side turned to another one."""
    turned = place * quarter
    return (star.half_mm + turned.real, star.half_mm + turned.imag)


def _side(star: _Star, ear: Ear, quarter: complex) -> Iterator[Crease]:
    """The creases of the right side, turned to another one: floor, lines to both corners, pleat."""

    def crease(start: complex, end: complex, turn: float, step: int) -> Crease:
        return signed_crease(_placed(star, start, quarter), _placed(star, end, quarter), turn, step)

    corner, edge = complex(star.half_mm, star.half_mm), complex(star.half_mm, 0.0)
    yield crease(star.line[0], star.line[0] * 1j, star.floor_turn(), _FLOOR)
    for start, turn in zip(star.line, star.facet_turns(), strict=False):
        yield crease(start, corner, turn, _POINT)
        yield crease(start.conjugate(), corner.conjugate(), turn, _POINT)
    for k, (own, other) in enumerate(zip(ear.own_turns, ear.other_turns, strict=True)):
        start, end = star.line[k], star.line[k + 1]
        yield crease(start, end, own, _PLEAT)
        yield crease(start.conjugate(), end.conjugate(), other, _PLEAT)
    yield crease(star.line[0], edge, ear.fold_turn, _PLEAT)
    for start, end, kink in zip(star.line[1:], star.kink_ends(ear), ear.kinks, strict=False):
        yield crease(start, complex(end, 0.0), -kink.turn_rad, _KINK)
        yield crease(start.conjugate(), complex(end, 0.0), kink.turn_rad, _KINK)


def _diamond_bowl(sheet: Sheet, values: Mapping[str, Value]) -> Drawing:
    return _bowl(sheet, values, [complex(0.0, number(values, "pleat"))], word(values, "side") == "inside", "diamond-bowl")


def _fan_bowl(sheet: Sheet, values: Mapping[str, Value]) -> Drawing:
    kink = complex(-number(values, "kink"), number(values, "spare"))
    pleat = complex(0.0, number(values, "pleat"))
    first = kink + sheet.width_mm / 2.0 - number(values, "floor") / math.sqrt(2.0)
    # A pleat that widens ever less stands inside, one that widens ever more outside: only so it can follow the bend.
    inside = kink.imag * (pleat - kink).real > (pleat - kink).imag * first.real
    return _bowl(sheet, values, [kink, pleat], inside, "fan-bowl")


def _bowl(sheet: Sheet, values: Mapping[str, Value], line: Sequence[complex], inside: bool, family: str) -> Drawing:
    """A bowl with pleats along a line, counted from the middle of the sheet's edge. BadRequest where there is none."""
    half = sheet.width_mm / 2.0
    floor, turn = number(values, "floor"), number(values, "turn")
    if abs(sheet.width_mm - sheet.height_mm) > 1e-9:
        raise BadRequest(
            "the sheet must be a square: the bowl is drawn out to all four corners",
            where=family,
            found=f"{sheet.width_mm:g} x {sheet.height_mm:g} mm",
            remedy="Cut a square first, or take a tray",
        )
    if floor / math.sqrt(2.0) > half + min(place.real for place in line) - _LEAST_MM:
        raise BadRequest(
            "the floor leaves no room for the pleats",
            where=f"{family}, parameter floor",
            found=f"{floor:g} mm",
            remedy=f"Give at most {no_more(max(0.0, half + min(p.real for p in line) - _LEAST_MM) * math.sqrt(2.0))} mm here",
        )
    star = _star(half, floor, math.radians(turn), [half + place for place in line])
    if star is None:
        raise BadRequest(
            "the sides do not reach from the pleats to the corners",
            where=f"{family}, parameters turn and pleat",
            found=f"{turn:g} deg, {number(values, 'pleat'):g} mm",
            remedy="Give a narrower pleat, or turn the corners up more",
        )
    ear = star.ears(inside).farthest(star.is_sound)
    if ear is None:
        raise BadRequest(
            "the pleats cannot follow the bend of the sides",
            where=f"{family}, parameters kink and spare",
            found=", ".join(f"{place.real:g}, {place.imag:g} mm" for place in line[:-1]) or "no kink",
            remedy="Bring the kink nearer to the straight line from floor to edge",
        )
    return _drawn(star, ear)


_MOST_TURN_DEG = 45.0
"""From some 48 deg on pleats that stand inside run into each other (found by trying)."""
_FLOOR_SIDE = "how long each side of the floor is; it stands on its corner"
_TURN_TEXT = "how far the four corner triangles turn up from the floor"
_PLEAT_TEXT = "half the width of each pleat at the sheet's edge"

DIAMOND_BOWL = Family(
    "diamond-bowl",
    "Diamond bowl",
    "A floor on its corner, four points, a pleat in each side: much load for few folds, on a small floor. Not yet folded in foil by us.",
    (
        Parameter("floor", _FLOOR_SIDE, 51.8, "mm", _SMALLEST, 400.0),
        Parameter("turn", _TURN_TEXT, 26.0, "deg", 10.0, _MOST_TURN_DEG),
        Parameter("pleat", _PLEAT_TEXT, 3.4, "mm", _LEAST_MM, 100.0),
        Parameter(
            "side", "on which side of the hull the pleats lie: outside or inside", "outside", "", choices=("outside", "inside")
        ),
    ),
    _diamond_bowl,
    corners=4,
    ready="diamond-bowl",
    has_level_rim=False,
    has_flat_flaps=False,
    has_scaled_lengths=True,
)
FAN_BOWL = Family(
    "fan-bowl",
    "Fan bowl",
    "A diamond bowl whose sides are bent too: the most load we know of, and 48 folds. Not yet folded in foil by us.",
    (
        Parameter("floor", _FLOOR_SIDE, 44.1, "mm", _SMALLEST, 400.0),
        Parameter("turn", _TURN_TEXT, 26.9, "deg", 10.0, _MOST_TURN_DEG),
        Parameter("kink", "how far the bend of each pleat lies from the sheet's edge", 21.7, "mm", _LEAST_MM, 400.0),
        Parameter("spare", "half the width of each pleat at its bend", 2.9, "mm", 0.2, 100.0),
        Parameter("pleat", _PLEAT_TEXT, 4.2, "mm", _LEAST_MM, 100.0),
    ),
    _fan_bowl,
    corners=4,
    ready="fan-bowl",
    has_level_rim=False,
    has_flat_flaps=False,
    has_scaled_lengths=True,
)
