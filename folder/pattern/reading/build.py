"""A plan drawn: the creases that fold the sheet to the hull it describes, with all its corners."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from itertools import pairwise

from msgspec.structs import replace

from folder.errors import BadRequest
from folder.findings import Point
from folder.pattern.families.flat_stack import FlatStack
from folder.pattern.families.parameter import Drawing
from folder.pattern.families.prefold import SIDES as SIDE_NAMES
from folder.pattern.families.prefold import folded_in, hemmed
from folder.pattern.families.trays import walls_drawn
from folder.pattern.families.weld import too_fine
from folder.pattern.pattern import Crease, Pattern, Sheet
from folder.pattern.reading.intended import IntendedWall, Side, depth_of_wall
from folder.pattern.reading.plan import HullPlan

PLEAT_MM = 4.0
"""A pleat no wider than fingers can fold (see `units.TOLERANCES.too_close_mm`)."""
_LEAST_FLOOR_MM = 5.0


def drawn_as(pattern: Pattern, plan: HullPlan) -> Pattern | None:
    """The pattern with its lines drawn as the plan has them; guides stay. None where that cannot be folded."""
    sheet = pattern.sheet
    corners: list[complex] = list(plan.corners)
    border = list(plan.outline)
    try:
        stack = _stack(sheet, plan)
        for pleat in plan.pleats:
            stack, corners, border = _with_pleat(stack or FlatStack.of(sheet), plan, pleat, corners, border, sheet)
        drawing = _walled(_points(border), _points(corners), plan.turns_rad, stack)
    except BadRequest:
        return None
    if drawing is None or too_fine(drawing.creases, sheet):
        return None
    guides = tuple(c for c in pattern.creases if c.sense == "guide")
    at = pattern.floor_at if stack is None and _holds(corners, complex(*pattern.floor_at)) else drawing.floor_at
    creases = tuple(_near_grid(c) for c in drawing.creases)
    return replace(pattern, creases=(*guides, *creases), crimps=drawing.crimps, floor_at=at, family=None)


def _near_grid(crease: Crease) -> Crease:
    """The crease with ends that are whole numbers of a thousandth but for rounding put on them."""

    def put(p: Point) -> Point:
        return (_tidy(p[0]), _tidy(p[1]))

    return replace(crease, start=put(crease.start), end=put(crease.end))


def _tidy(value: float) -> float:
    near = round(value, 3)
    return near if abs(near - value) < 1e-9 else value


def _points(places: Sequence[complex]) -> tuple[Point, ...]:
    return tuple((p.real, p.imag) for p in places)


def _holds(corners: Sequence[complex], place: complex) -> bool:
    ring = [*corners, corners[0]]
    return all(((b - a).conjugate() * (place - a)).imag > 0.0 for a, b in pairwise(ring))


def _stack(sheet: Sheet, plan: HullPlan) -> FlatStack | None:
    """The sheet with its hems, or its corners folded in; None where nothing is folded before the walls."""
    if plan.hem_sides and plan.folded_in:
        raise BadRequest("hems and corners folded in")
    if plan.hem_sides:
        return hemmed(sheet, plan.hem_mm, [SIDE_NAMES[side] for side in plan.hem_sides])[0]
    if plan.folded_in:
        outline = _points(plan.outline)
        ways = [complex(*b) - complex(*a) for a, b in zip(outline, (*outline[1:], outline[0]), strict=True)]
        lines = [k for k, w in enumerate(ways) if any(abs(w / abs(w) * 1j - f.inward) < 1e-6 for f in plan.folded_in)]
        return folded_in(sheet, outline, [(k,) for k in lines])
    return None


def _with_pleat(
    stack: FlatStack, plan: HullPlan, pleat: IntendedWall, corners: Sequence[complex], border: Sequence[complex], sheet: Sheet
) -> tuple[FlatStack, list[complex], list[complex]]:
    """The sheet with a pleat where a line crosses its floor; the floor and outline as they then lie on the table."""
    assert pleat.side is not None
    upright = pleat.side in (1, 3)
    along = [p.real if upright else p.imag for p in corners]
    depth = depth_of_wall(pleat, sheet)
    at = _place_of(pleat.side, depth, sheet)
    low, high = min(along) + 1.0 + 1.5 * PLEAT_MM, max(along) - 1.0 - 1.5 * PLEAT_MM
    if high - low < _LEAST_FLOOR_MM:
        raise BadRequest("no floor is left beside the pleat")
    at = min(max(at, low), high)
    # On the sheet both folds lie as far from the line that was drawn; on the table the second lies on the part folded over.
    far, near = at - PLEAT_MM / 2.0, at - 1.5 * PLEAT_MM
    step = 1 + max((c.step or 0 for c in stack.creases), default=0)
    # What was folded over is brought back: the sheet, and the hem on it where one runs across the pleat.
    layers = 2 if ({0, 2} & set(plan.hem_sides) and upright) or ({1, 3} & set(plan.hem_sides) and not upright) else 1
    if upright:
        stack = stack.fold((far, 0.0), (far, sheet.height_mm), step)
        stack = stack.fold((near, sheet.height_mm), (near, 0.0), step + 1, most=layers)
    else:
        stack = stack.fold((sheet.width_mm, far), (0.0, far), step)
        stack = stack.fold((0.0, near), (sheet.width_mm, near), step + 1, most=layers)
    shift = 2.0 * PLEAT_MM * (1.0 if upright else 1j)

    def laid(p: complex) -> complex:
        return p - shift if (p.real if upright else p.imag) > at else p

    return stack, [laid(p) for p in corners], [laid(p) for p in border]


def _place_of(side: Side, depth_mm: float, sheet: Sheet) -> float:
    """Where across the sheet a line at a depth from a side lies, mm from the left or from below."""
    return (depth_mm, sheet.width_mm - depth_mm, sheet.height_mm - depth_mm, depth_mm)[side]


def _walled(outline: Sequence[Point], floor: Sequence[Point], turns: Sequence[float], stack: FlatStack | None) -> Drawing | None:
    """Walls round the floor, with flaps in the first way that can be folded."""
    for strict in (True, False):  # at a sharp corner the flap stands out over the rim: it can be folded all the same
        for tucks in _tucks(len(floor)):
            with suppress(BadRequest):
                return walls_drawn(outline, floor, turns, tucks, stack, strict=strict)
    return None


def _tucks(corners: int) -> Iterator[list[bool]]:
    """Four walls: both flaps on every second one, so that these are whole; more walls: one flap on each."""
    alternate = [[(k % 2 == 0) == first for k in range(corners)] for first in (False, True)] if corners % 2 == 0 else []
    around = [[True] * corners, [False] * corners]
    yield from (*alternate, *around) if corners == 4 else (*around, *alternate)
