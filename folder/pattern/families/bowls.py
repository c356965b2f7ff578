"""Families with more than four walls: the sheet is first folded in to a rounder outline, so that the rim is level."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from folder.errors import BadRequest
from folder.findings import Point
from folder.pattern.families.flat_stack import FlatStack
from folder.pattern.families.parameter import Drawing, Family, Parameter, Value, no_more, number
from folder.pattern.families.prefold import folded_in
from folder.pattern.families.trays import LEAST_FLOOR_MM, LEAST_WALL_MM, no_floor, walls_drawn
from folder.pattern.pattern import Sheet

_LEAST_STRIP_MM = 2.0
"""As the narrowest hem (common practice)."""


def inset(outline: Sequence[Point], depth_mm: float) -> tuple[Point, ...] | None:
    """A convex outline with every side moved in by one depth; None when a side vanishes."""
    n = len(outline)
    ahead = [complex(*outline[(k + 1) % n]) - complex(*outline[k]) for k in range(n)]
    inside = []
    for k, corner in enumerate(outline):
        before, after = ahead[k - 1] / abs(ahead[k - 1]), ahead[k] / abs(ahead[k])
        # Along the bisector, so far that both sides are one depth away.
        at = complex(*corner) + depth_mm * 1j * (before + after) / (1.0 + (before.conjugate() * after).real)
        inside.append((at.real, at.imag))
    kept = all(((complex(*inside[(k + 1) % n]) - complex(*inside[k])) * ahead[k].conjugate()).real > 1e-6 for k in range(n))
    return tuple(inside) if kept else None


def _bowl(stack: FlatStack, outline: Sequence[Point], values: Mapping[str, Value], family: str) -> Drawing:
    """One wall of one width on every side of an outline, each flap tucked on the next wall round."""
    wall = number(values, "wall")
    floor = inset(outline, wall)
    if floor is None or _narrowest(floor) < LEAST_FLOOR_MM:
        raise no_floor(family, "wall", wall, _most_wall(outline))
    n = len(outline)
    return walls_drawn(outline, floor, [math.radians(number(values, "turn"))] * n, [True] * n, stack)


def _narrowest(floor: Sequence[Point]) -> float:
    """The least width of a convex floor: over some side, how far the farthest corner lies from it."""
    widths = []
    for k, corner in enumerate(floor):
        along = complex(*floor[(k + 1) % len(floor)]) - complex(*corner)
        widths.append(max(((complex(*p) - complex(*corner)) * along.conjugate()).imag for p in floor) / abs(along))
    return min(widths)


def _most_wall(outline: Sequence[Point]) -> float:
    """The widest wall, to a tenth of a millimetre, that leaves a floor."""
    low, high = 0.0, max(x for x, _ in outline)
    while high - low > 0.01:
        wall = (low + high) / 2.0
        floor = inset(outline, wall)
        if floor and _narrowest(floor) >= LEAST_FLOOR_MM:
            low = wall
        else:
            high = wall
    return math.floor(low * 10.0) / 10.0


def _six_sided_bowl(sheet: Sheet, values: Mapping[str, Value]) -> Drawing:
    w, h = sheet.width_mm, sheet.height_mm
    side = min(w / 2.0, h / math.sqrt(3.0))
    x, y = w / 2.0, h / 2.0
    low, high = y - side * math.sqrt(0.75), y + side * math.sqrt(0.75)
    left, right = x - side, x + side
    half = side / 2.0
    outline = ((left, y), (x - half, low), (x + half, low), (right, y), (x + half, high), (x - half, high))
    return _bowl(folded_in(sheet, outline, [(1, 4), (0, 2, 3, 5)]), outline, values, "six-sided-bowl")


def _eight_sided_bowl(sheet: Sheet, values: Mapping[str, Value]) -> Drawing:
    across = min(sheet.width_mm, sheet.height_mm)
    left, bottom = (sheet.width_mm - across) / 2.0, (sheet.height_mm - across) / 2.0
    leg = across / (2.0 + math.sqrt(2.0))
    outline = _bevelled(left, bottom, left + across, bottom + across, leg)
    return _bowl(folded_in(sheet, outline, [(0, 4), (2, 6), (1, 3, 5, 7)]), outline, values, "eight-sided-bowl")


def _bevelled_tray(sheet: Sheet, values: Mapping[str, Value]) -> Drawing:
    # Moved out by the wall, a slanting side of the floor comes nearer to the corner than the square sides do.
    leg = number(values, "bevel") + number(values, "wall") * (2.0 - math.sqrt(2.0))
    most = min(sheet.width_mm, sheet.height_mm) / 2.0
    if leg > most - 1.0:
        raise BadRequest(
            "the bevels of two corners meet",
            where="bevelled-tray, parameter bevel",
            found=f"{number(values, 'bevel'):g} mm",
            remedy=f"Give at most {no_more(max(0.0, number(values, 'bevel') + most - 1.0 - leg))} mm, or lower walls",
        )
    outline = _bevelled(0.0, 0.0, sheet.width_mm, sheet.height_mm, leg)
    return _bowl(folded_in(sheet, outline, [(1, 3, 5, 7)]), outline, values, "bevelled-tray")


def _bevelled(left: float, bottom: float, right: float, top: float, leg: float) -> tuple[Point, ...]:
    """A rectangle with its corners cut off; the sides in order from the lower one, slanting ones at odd places."""
    return (
        (left + leg, bottom), (right - leg, bottom), (right, bottom + leg), (right, top - leg),
        (right - leg, top), (left + leg, top), (left, top - leg), (left, bottom + leg),
    )  # fmt: skip


def _pinched_barge(sheet: Sheet, values: Mapping[str, Value]) -> Drawing:
    point, strip = number(values, "point"), number(values, "strip")
    w, h = sheet.width_mm, sheet.height_mm
    if 2.0 * point > w - 2.0:
        raise BadRequest(
            "the two points meet in the middle",
            where="pinched-barge, parameter point",
            found=f"{point:g} mm",
            remedy=f"Give at most {no_more(w / 2.0 - 1.0)} mm on this sheet",
        )
    if 0.0 < strip < _LEAST_STRIP_MM:
        raise BadRequest(
            "a strip this narrow cannot be folded",
            where="pinched-barge, parameter strip",
            found=f"{strip:g} mm",
            remedy=f"Give 0 for no strip, or at least {_LEAST_STRIP_MM:g} mm",
        )
    if strip > h / 2.0 - LEAST_FLOOR_MM:
        raise BadRequest(
            "the strips leave no sheet between them",
            where="pinched-barge, parameter strip",
            found=f"{strip:g} mm",
            remedy=f"Give at most {no_more(h / 2.0 - LEAST_FLOOR_MM)} mm on this sheet",
        )
    outline = ((0.0, h / 2.0), (point, strip), (w - point, strip), (w, h / 2.0), (w - point, h - strip), (point, h - strip))
    groups = [(1, 4), (0, 2, 3, 5)] if strip else [(0, 2, 3, 5)]
    return _bowl(folded_in(sheet, outline, groups), outline, values, "pinched-barge")


def _wall(default: float) -> Parameter:
    return Parameter("wall", "how wide each wall is, from the floor line to the rim", default, "mm", LEAST_WALL_MM, 400.0)


_TURN = Parameter("turn", "how far the walls turn up from the floor", 65.0, "deg", 30.0, 90.0)

SIX_SIDED_BOWL = Family(
    "six-sided-bowl",
    "Six-sided bowl",
    "Six even walls spread the push of the water: take it for a round heap in the middle.",
    (_wall(25.0), _TURN),
    _six_sided_bowl,
    corners=6,
    ready="six-sided-bowl",
)
EIGHT_SIDED_BOWL = Family(
    "eight-sided-bowl",
    "Eight-sided bowl",
    "Nearly round: no weak corner, and it does not mind which way it tips. It asks for eight neat flaps.",
    (_wall(28.0), _TURN),
    _eight_sided_bowl,
    corners=8,
    ready="eight-sided-bowl",
)
BEVELLED_TRAY = Family(
    "bevelled-tray",
    "Bevelled tray",
    "A tray with slanting corners: small flaps that stay put, at the price of a little floor. Take it when corner flaps spring open.",
    (
        _wall(25.0),
        Parameter("bevel", "how much of each floor side the slanting corner takes", 15.0, "mm", 5.0, 400.0),
        _TURN,
    ),
    _bevelled_tray,
    corners=8,
    ready="bevelled-tray",
)
PINCHED_BARGE = Family(
    "pinched-barge",
    "Pinched barge",
    "Both ends are drawn to a point: a long floor for a row of things. Load it along the middle line.",
    (
        _wall(20.0),
        Parameter("point", "how long each pointed end is, on the folded outline", 60.0, "mm", 10.0, 450.0),
        Parameter("strip", "how wide a strip is folded in along each side first", 15.0, "mm", 0.0, 400.0),
        _TURN,
    ),
    _pinched_barge,
    corners=6,
    ready="pinched-barge",
)
