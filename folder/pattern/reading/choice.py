"""Which lines of a drawing are its walls, its hems, its pleats: every way it may be meant.

nested    two walls drawn along one side: the inner or the outer one is the wall
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from folder.pattern.pattern import Sheet
from folder.pattern.reading.intended import SIDES, IntendedWall, Side, depth_of_wall
from folder.pattern.reading.plan import HullPlan, round_mm
from folder.pattern.reading.roles import HEM_MM, Roles

MOST_PLEATS = 2
_DEEP_SHARE = 0.28
"""A wall that takes more of the sheet than this is rare: what is left for the floor holds less (judgement)."""


def first_plans(sheet: Sheet, roles: Roles) -> Iterator[HullPlan]:
    """Which lines are walls, hems, pleats: as they are read first, then as they may be meant too."""
    if roles.hems and roles.folded_in:  # short ones are the mitres of the hems, long ones walls
        roles = replace(roles, folded_in=(), walls=(*roles.walls, *(w for w in roles.folded_in if w.laid)))
    readings = [roles]
    if roles.folded_in:  # folded all the way by mistake
        readings.append(replace(roles, folded_in=(), walls=(*roles.walls, *roles.folded_in)))
    readings += [other for r in readings for other in _with_deep_pleats(r, sheet)]
    for reading in readings:
        yield from _chosen(sheet, reading)
    slanted = [w for w in (*roles.walls, *roles.folded_in) if w.side is None]
    if slanted:
        rest = replace(roles, folded_in=(), walls=tuple(w for w in roles.walls if w.side is not None))
        for plan in _chosen(sheet, rest):
            yield replace(plan, lost=plan.lost + sum(w.laid for w in slanted))


def _with_deep_pleats(roles: Roles, sheet: Sheet) -> Iterator[Roles]:
    """A line far from its side may run across the floor, and no wall be drawn on that side."""
    room = min(sheet.width_mm, sheet.height_mm)
    deep = [w for w in roles.walls if w.side is not None and depth_of_wall(w, sheet) > _DEEP_SHARE * room]
    if deep:
        walls = tuple(w for w in roles.walls if w not in deep)
        yield replace(roles, walls=walls, across=(*roles.across, *deep))


def _chosen(sheet: Sheet, roles: Roles) -> Iterator[HullPlan]:
    """Which of nested lines are the walls, and what becomes of the others."""
    along = {side: [w for w in roles.walls if w.side == side] for side in SIDES}
    slanted = [w for w in roles.walls if w.side is None]
    hem_sides = tuple(w.side for w in roles.hems if w.side is not None)
    hem_mm = sum(depth_of_wall(w, sheet) for w in roles.hems) / max(1, len(roles.hems))
    nested = any(len(walls) > 1 for walls in along.values())
    for inner in (False, True) if nested else (False,):
        walls, over = list(slanted), list(roles.across)
        hems = dict.fromkeys(hem_sides, hem_mm)
        lost = 0
        for side, found in along.items():
            if not found:
                continue
            chosen = found[-1] if inner else found[0]
            walls.append(chosen)
            others = [w for w in found if w is not chosen]
            outer = depth_of_wall(found[0], sheet)
            if inner and len(found) == 2 and not hem_sides and outer <= min(depth_of_wall(chosen, sheet) / 2.0 + 1.0, HEM_MM):
                hems[side] = outer
            elif inner:
                lost += len(others)
            else:
                over += others
        depth = sum(hems.values()) / max(1, len(hems))
        for pleats, gone in _extras(over, lost):
            base = HullPlan((), tuple(walls), (), round_mm(depth), tuple(hems), roles.folded_in, pleats, lost=gone)
            yield base
            if hems:  # a hem drawn after the tray: the walls keep their height, and the tray moves in
                yield replace(base, walls=tuple(_moved_in(w, depth, hems) for w in walls), moved=True)


def _moved_in(wall: IntendedWall, by_mm: float, hems: dict[Side, float]) -> IntendedWall:
    return replace(wall, offset_mm=wall.offset_mm + by_mm) if wall.side in hems else wall


def _extras(over: Sequence[IntendedWall], lost: int) -> Iterator[tuple[tuple[IntendedWall, ...], int]]:
    """What becomes of lines that cross the floor: level or upright ones are folded flat to pleats, as far as that can be.

    A slanted line through the middle of the floor can be no wall: to give it up is no loss.
    """
    straight = [w for w in over if w.side is not None]
    for ways in ((1, 3), (0, 2)):
        pleats = tuple(w for w in straight if w.side in ways)[:MOST_PLEATS]
        if pleats:
            yield pleats, lost + len(straight) - len(pleats)
    yield (), lost + len(straight)
