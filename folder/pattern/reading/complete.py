"""A plan completed: the walls that are missing, and a rim where slanted walls leave hardly any."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from folder.pattern.pattern import Sheet
from folder.pattern.reading.floor import floor_of
from folder.pattern.reading.intended import INWARD, SIDES, IntendedWall, depth_of_wall, side_offset
from folder.pattern.reading.plan import SQUARE_RAD, HullPlan, outline_of_plan, round_mm
from folder.pattern.reading.roles import Roles

_LEAST_WALL_MM = 3.0
_USUAL_SHARE = 1.0 / 6.0
"""A square tray holds most with walls of a sixth of its side (textbook)."""
_LOW_SHARE = 0.7
"""A corner where the rim is lower than this share of the others is worth mending."""
_LEAST_RIM_SHARE = 1.0 / 12.0
"""A rim lower than half of what a good tray's is is worth mending too."""
_GOOD_ENOUGH = 0.9


def with_missing_walls(plan: HullPlan, sheet: Sheet, roles: Roles) -> HullPlan:
    """The plan with its floor, and with the walls that are missing."""
    outline = outline_of_plan(plan, sheet)
    turn = max((w.turn_rad for w in plan.walls), key=[w.turn_rad for w in plan.walls].count, default=SQUARE_RAD)
    added: list[IntendedWall] = []
    for _ in range(len(outline) + 1):
        walls = (*plan.walls, *added)
        floor = floor_of(outline, walls)
        bare = [s.edge for s in floor if s.wall is None]
        if not bare:
            break
        added += [_missing(outline, edge, plan, sheet, roles, turn) for edge in bare]
    used = {s.wall for s in floor}
    idle = sum(k not in used for k in range(len(plan.walls)))
    return replace(plan, outline=outline, walls=walls, floor=floor, added=tuple(added), lost=plan.lost + idle)


def _missing(outline: Sequence[complex], edge: int, plan: HullPlan, sheet: Sheet, roles: Roles, turn_rad: float) -> IntendedWall:
    """The wall that is missing along a side of the outline: as deep as the corners say, as its opposite, or as the others are."""
    start, end = outline[edge], outline[(edge + 1) % len(outline)]
    inward = (end - start) / abs(end - start) * 1j
    side = next((s for s in SIDES if abs(INWARD[s] - inward) < 1e-9), None)
    at = (inward.conjugate() * start).real
    depths = {w.side: depth_of_wall(w, sheet) for w in plan.walls if w.side is not None}
    said = [depth for s, depth in roles.marks if s == side and depth > _LEAST_WALL_MM]
    opposite = None if side is None else depths.get(SIDES[(side + 2) % 4])
    if side is not None and said:
        depth = sum(said) / len(said)
    elif opposite is not None:
        depth = opposite
    elif depths:
        depth = sum(depths.values()) / len(depths)
    else:
        depth = min(sheet.width_mm, sheet.height_mm) * _USUAL_SHARE
    hem = plan.hem_mm if side in plan.hem_sides else 0.0
    room = min(max(depth - (hem if side is not None else 0.0), _LEAST_WALL_MM, hem), 0.4 * min(sheet.width_mm, sheet.height_mm))
    return IntendedWall(inward, at + round_mm(room), turn_rad, side, drawn=0)


def with_better_rim(plan: HullPlan, sheet: Sheet) -> Iterator[HullPlan]:
    """Where slanted walls leave hardly any rim at a corner: they are moved in, or the point is made blunt by one wall more."""
    if not plan.whole or all(w.side is not None for w in plan.walls):
        return
    rims = plan.rims_mm
    usual = sorted(rims)[len(rims) // 2]
    usual = max(usual, max(rims) * _LOW_SHARE, min(sheet.width_mm, sheet.height_mm) * _LEAST_RIM_SHARE)
    low = [k for k, rim in enumerate(rims) if rim < _LOW_SHARE * usual]
    if not low:
        return
    yield from _moved_back(plan, low)
    yield from _blunt(plan, low, usual, sheet)


def _moved_back(plan: HullPlan, low: Sequence[int]) -> Iterator[HullPlan]:
    """Slanted walls at the low corners moved in, only as far as most of what that can win."""
    n = len(plan.floor)
    at_low = {plan.floor[k % n].wall for corner in low for k in (corner, corner - 1)}
    tried = []
    for by in range(1, 61):
        walls = tuple(
            replace(w, offset_mm=w.offset_mm + by) if k in at_low and w.side is None else w for k, w in enumerate(plan.walls)
        )
        moved = replace(plan, walls=walls, floor=floor_of(plan.outline, walls), moved=True)
        if not moved.whole or len(moved.floor) != n:
            break
        tried.append(moved)
    if tried:
        best = max(p.volume_mm3 for p in tried)
        yield next(p for p in tried if p.volume_mm3 >= _GOOD_ENOUGH * best)


def _blunt(plan: HullPlan, low: Sequence[int], usual: float, sheet: Sheet) -> Iterator[HullPlan]:
    """One wall more across each low corner, along the side of the sheet that it points at."""
    middle = complex(sheet.width_mm, sheet.height_mm) / 2.0
    added = []
    for k in low:
        corner = plan.floor[k].corner
        inward = max(INWARD, key=lambda way: (way.conjugate() * (middle - corner)).real)
        side = SIDES[INWARD.index(inward)]
        added.append(IntendedWall(inward, side_offset(side, round_mm(usual), sheet), plan.walls[0].turn_rad, side, drawn=0))
    walls = (*plan.walls, *added)
    floor = floor_of(plan.outline, walls)
    if {s.wall for s in floor} >= set(range(len(walls))):
        yield replace(plan, walls=walls, floor=floor, added=(*plan.added, *added), blunted=len(added))
