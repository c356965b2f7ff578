"""States on the way from one fold to the next: walls half way up, flaps half way round.

share     how far along, 0 at the start, 1 at the end
state     turns for every edge, and whether they close
driven    the creases round the floor: they go with the share, and the others follow so that all closes
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from msgspec import Struct

from folder.fold.closing.linkage import Linkage, linkage
from folder.fold.closing.solve import spokes
from folder.fold.vertex import Fans, fans_of, misfits
from folder.geometry.space import Bools, Floats, frozen
from folder.pattern.faces.faces import Faces
from folder.units import TOLERANCES

_STOPS = 12
_ROUNDS = 30
_EXACT_MM = 1e-6
_NEAR_RAD = 0.1
"""Where the walls stand and all else is this near, the end is reached."""
_SLACK_RAD = 0.05
_MOST_JUMP_RAD = 0.8
"""What closes farther off than this is another state, not the one asked for."""
_MOST_RAD = np.pi + 1e-6
_DRIVEN_WEIGHT = 0.2
"""How much less willingly the creases round the floor move, where they must give way too."""
_LAST_SHARE = 0.75
"""Where flaps go on moving after the walls stand, the walls take this much of the way."""


class PartwayState(Struct, frozen=True, eq=False):
    """Turns on the way."""

    turn: Floats
    """(e,) rad, read-only."""
    closed: bool
    """The sheet comes back onto itself round every vertex, as well as at the end of the way."""


class _Way:
    """What the states of one way have in common."""

    def __init__(self, faces: Faces, start: Floats, end: Floats) -> None:
        self.faces, self.start, self.end = faces, start, end
        self.fans: Fans = fans_of(faces)
        self.spoke = spokes(faces, self.fans)
        self.moves: Bools = faces.joined & ((np.abs(start) > 1e-9) | (np.abs(end) > 1e-9))
        self.driven: Bools = self.moves & (faces.sides == faces.root).any(axis=1)
        # First only what follows moves; where that cannot close, the driven creases give way too.
        self.moving = [self.moves & ~self.driven, self.moves]
        self.linkages: dict[bytes, Linkage] = {}
        # A drawing that is off by rounding is off on the way too.
        off = max(self.gap_mm(start), self.gap_mm(end))
        self.exact_mm, self.allowed_mm = 1.5 * off + _EXACT_MM, max(off, TOLERANCES.closed_mm)

    def gap_mm(self, turn: Floats) -> float:
        misfit = misfits(self.fans.turns(turn), self.fans.sector)
        return float((2.0 * np.sin(misfit / 2.0) * self.spoke).max(initial=0.0))

    def near(self, turn: Floats) -> PartwayState:
        """The state nearest to these turns (e,) rad that closes, the driven creases kept as they are if that can be."""
        for moving, allowed in zip(tuple(self.moving), (self.exact_mm, self.allowed_mm)[-len(self.moving) :], strict=True):
            found = self.link(moving).closed(turn, _ROUNDS)
            over = np.abs(found) > _MOST_RAD
            if over.any():
                # No crease folds farther than back onto itself.
                found = self.link(moving & ~over).closed(np.clip(found, -np.pi, np.pi), _ROUNDS)
            change = np.abs(found - turn)
            # Driven creases that have gone back by half have gone another way.
            near = (change < _MOST_JUMP_RAD).all() and (change <= np.abs(turn - self.start) / 2.0 + _SLACK_RAD)[self.driven].all()
            if near and self.gap_mm(found) <= allowed and (np.abs(found) <= _MOST_RAD).all():
                return PartwayState(frozen(found), True)
            # What did not close once is not asked again.
            self.moving = self.moving[-1:]
        return PartwayState(frozen(turn.copy()), False)

    def link(self, moving: Bools) -> Linkage:
        """The linkage with some edges (e,) moving, made once."""
        key = moving.tobytes()
        if key not in self.linkages:
            self.linkages[key] = linkage(self.faces, moving, self.fans, np.where(self.driven, _DRIVEN_WEIGHT, 1.0))
        return self.linkages[key]

    def raised(self, share: float, stops: int) -> list[PartwayState]:
        """States from the start up to a share, each from the one before; the driven creases go with the share."""
        states = [PartwayState(frozen(self.start.copy()), True)]
        for k in range(1, stops + 1):
            level = self.mixed(share * k / stops)
            ahead = level
            if k > 2 and states[-1].closed and states[-2].closed:
                ahead = 2.0 * states[-1].turn - states[-2].turn
            state = self.near(np.where(self.driven, level, ahead))
            states.append(state if state.closed else PartwayState(frozen(level), False))
        return states

    def laid_flat(self, begin: PartwayState, stops: int) -> list[PartwayState]:
        """States from where the walls stand on to the end."""
        ahead = self.end - begin.turn
        states = [self.near(begin.turn + k / stops * ahead) for k in range(1, stops)]
        return [*states, self.whole()]

    def whole(self) -> PartwayState:
        """The end."""
        return PartwayState(frozen(self.end.copy()), self.gap_mm(self.end) <= TOLERANCES.take_up_mm)

    def mixed(self, share: float) -> Floats:
        """(e,) rad: each turn at its share of the way."""
        return self.start + share * (self.end - self.start)


def partway(faces: Faces, end: Floats, share: float, start: Floats | None = None) -> PartwayState:
    """The state a share of the way from the turns `start` (e,), by default the flat sheet, to `end` (e,).

    The creases round the floor are exactly at their share wherever that closes. Where no state nearby closes, or the end
    itself does not, each turn is at its share and `closed` is False.
    """
    way = _Way(faces, np.zeros_like(end) if start is None else start, end)
    if share < 1.0 and not way.whole().closed:
        return PartwayState(frozen(way.mixed(share)), False)
    return way.raised(max(share, 0.0), max(2, round(share * _STOPS)))[-1] if share < 1.0 else way.whole()


class Path(Struct, frozen=True, eq=False):
    """States that lead on from one to the next. Arrays are read-only."""

    shares: Floats
    """(s,) from 0 to 1."""
    turns: Floats
    """(s, e) rad."""
    closed: Bools
    """(s,)"""
    ways: tuple[_Way, ...]
    """(s,) what each state was found by, together with the one before."""

    def at(self, share: float) -> PartwayState:
        """The state at a share, between two of the stops: closed again, so that the sheet keeps its lengths."""
        share = min(max(share, 0.0), 1.0)
        after = min(max(int(np.searchsorted(self.shares, share)), 1), len(self.shares) - 1)
        low, high = self.shares[after - 1], self.shares[after]
        part = (share - low) / (high - low)
        if part in (0.0, 1.0):
            stop = after if part else after - 1
            return PartwayState(self.turns[stop], bool(self.closed[stop]))
        turn = (1.0 - part) * self.turns[after - 1] + part * self.turns[after]
        if self.closed[after - 1 : after + 1].all():
            return self.ways[after].near(turn)
        return PartwayState(frozen(turn), False)


def path(faces: Faces, *states: Floats) -> Path:
    """States that lead from one of `states` (e,) to the next, all of which close. With one, from the flat sheet to it.

    On each leg first the creases round the floor go up and the others follow. Where these come out elsewhere than in
    the next state, they then go on alone: walls are raised first, flaps are laid round after.
    """
    if len(states) == 1:
        states = (np.zeros_like(states[0]), *states)
    legs = [_leg(_Way(faces, a, b)) for a, b in pairwise(states)]
    shares = [np.zeros(1), *((n + s[1:]) / len(legs) for n, (s, _, _) in enumerate(legs))]
    found = [legs[0][1][0], *(state for _, states, _ in legs for state in states[1:])]
    ways = [legs[0][2], *(way for s, _, way in legs for _ in s[1:])]
    turns, closed = np.array([s.turn for s in found]), np.array([s.closed for s in found])
    return Path(frozen(np.concatenate(shares)), frozen(turns), frozen(closed), tuple(ways))


def _leg(way: _Way) -> tuple[Floats, list[PartwayState], _Way]:
    """The stops of one leg: shares (s,), states, and how they were found."""
    if not way.whole().closed:
        # To what does not come together no closed state leads: looking for one, stop by stop, is all for nothing.
        return np.array([0.0, 1.0]), [PartwayState(frozen(way.start.copy()), True), way.whole()], way
    states = way.raised(1.0, _STOPS)
    shares = np.linspace(0.0, 1.0, _STOPS + 1)
    if np.abs(states[-1].turn - way.end).max(initial=0.0) < _NEAR_RAD:
        states[-1] = way.whole()
    else:
        states += way.laid_flat(states[-1], _STOPS // 2)
        shares = np.concatenate([shares * _LAST_SHARE, np.linspace(_LAST_SHARE, 1.0, _STOPS // 2 + 1)[1:]])
    return shares, states, way
