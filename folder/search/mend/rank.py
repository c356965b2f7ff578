"""Remedies for a whole drawing, best first.

A remedy that ends in a hull stands before every one that does not: what is pressed first must fold. Of these, and of the
others, one that gives up a wall stands behind every one that does not; then the one with the fewest stops comes first, then
the one that carries most (loads that differ by little are alike), then the one that changes least. A bow keeps its point
where that carries well enough: the idea is the pupil's. All are tried out: none is offered that leaves as many stops as there are.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from itertools import chain

from folder.pattern.edit import apply_remedy
from folder.pattern.pattern import Pattern
from folder.pattern.reading.build import drawn_as
from folder.pattern.reading.plans import plans_of
from folder.pattern.reading.roles import Roles, roles_of
from folder.pattern.reading.words import plan_text
from folder.search.mend.edits import missing_lines, proposed, small_edits
from folder.search.mend.tried import StudiedRemedy, changed_lines, lost_walls, stops_of, tried
from folder.studies import Study
from folder.verdict import verdict_of

BUDGET_S = 0.2
"""Work of this thread: after it nothing further is tried once a remedy is found that ends in a hull and gives up nothing."""
_PATIENCE = 2.5
"""So many times as long, once there is any remedy at all."""
MOST_OFFERED = 4
ALIKE_SHARE = 0.05
"""Loads that differ by less are alike: less than what two builds of one hull differ by (see `water.build_variation`)."""
_FAR_SHARE = 0.7
"""What holds less than this share of the best at the brim carries less in all hands."""
_POINT_SHARE = 0.6
"""A hull that keeps the point that was drawn is offered first where it carries this share of the one that cuts it off."""
_MOST_PLANS = 6
_FIRST_PLANS = 2
_MOST_READ = 400
"""Nobody means anything by more lines than this; each study of them takes seconds."""
_FEW = 3

Try = tuple[str, Pattern, int | None, bool]
"""Words, pattern, walls given up (None: to be found out), whether a point is cut off."""


def remedies(made: Study, *, budget_s: float = BUDGET_S, most: int = MOST_OFFERED) -> tuple[StudiedRemedy, ...]:
    """What would mend a drawing, the best first; nothing for a hull that nothing stops."""
    if verdict_of(made).level == "good":
        return ()
    before, began = stops_of(made), time.thread_time()
    found: list[StudiedRemedy] = []
    for text, pattern, lost, blunts in _tries(made, found):
        spent = time.thread_time() - began
        if (spent > budget_s and _ends_well(found)) or (spent > _PATIENCE * budget_s and found):
            break
        if pattern == made.pattern or any(r.pattern == pattern for r in found):
            continue
        remedy = tried(made, text, pattern, lost, blunts=blunts)
        if remedy.good or remedy.stops < before:
            found.append(remedy)
    if not any(r.good for r in found):
        found += _fresh_start(made)
    return _without_repeats(best_first(found))[:most]


def _ends_well(found: list[StudiedRemedy]) -> bool:
    """There is a remedy that ends in a hull and gives up no wall."""
    return any(r.good and not r.lost for r in found)


def _without_repeats(found: tuple[StudiedRemedy, ...]) -> tuple[StudiedRemedy, ...]:
    """Of remedies in the same words that come to the same, the first."""
    kept: list[StudiedRemedy] = []
    for r in found:
        alike = [k for k in kept if (k.text, k.verdict, k.stops) == (r.text, r.verdict, r.stops)]
        if not any(abs(k.brim_g - r.brim_g) <= ALIKE_SHARE * k.brim_g for k in alike):
            kept.append(r)
    return tuple(kept)


def best_first(found: list[StudiedRemedy]) -> tuple[StudiedRemedy, ...]:
    """The best first."""
    groups: dict[tuple[bool, int, int], list[StudiedRemedy]] = {}
    for r in found:
        groups.setdefault((not r.good, r.lost, r.stops), []).append(r)
    return tuple(r for key in sorted(groups) for r in _point_kept(_by_load(groups[key])))


def _point_kept(found: list[StudiedRemedy]) -> list[StudiedRemedy]:
    """The same, but where the first cuts off a point, the best that keeps it comes before it if that carries enough."""
    if not found[0].blunts:
        return found
    whole = [r for r in found if not r.blunts]
    first = _by_load(whole)[0] if whole else found[0]
    if first.likely_g < _POINT_SHARE * found[0].likely_g:
        return found
    return [first, *(r for r in found if r is not first)]


def _by_load(found: list[StudiedRemedy]) -> list[StudiedRemedy]:
    """Those that carry most first, of these the one that changes least. What holds far less is not asked what it likely carries."""
    brim = max(r.brim_g for r in found)
    near = [r for r in found if r.brim_g >= _FAR_SHARE * brim]
    best = max(r.likely_g for r in near)
    alike = [r for r in near if r.likely_g >= (1.0 - ALIKE_SHARE) * best]
    less = [r for r in near if r not in alike]
    far = [r for r in found if r not in near]
    return [
        *sorted(alike, key=lambda r: (r.changes, r.redrawn, -r.likely_g)),
        *sorted(less, key=lambda r: -r.likely_g),
        *sorted(far, key=lambda r: -r.brim_g),
    ]


def _tries(made: Study, found: list[StudiedRemedy]) -> Iterator[Try]:
    """What is to be tried, what is likely to end well first; `found` holds what has helped so far."""
    if len(made.pattern.creases) > _MOST_READ:
        return
    roles = roles_of(made.pattern)
    plans = _plans(made, roles)
    yield from plans[:_FIRST_PLANS]
    # Of a drawing that is not exact a small change makes no better hull than what it is read as.
    if not (_ends_well(found) and _is_rough(made, roles)):
        for text, pattern in chain(proposed(made), small_edits(made)):
            yield text, pattern, None, False
    yield from plans[_FIRST_PLANS:]


def _is_rough(made: Study, roles: Roles) -> bool:
    """Lines are crooked, drawn twice, or left to be worked out."""
    doubled = any(w.drawn > 1 for w in (*roles.walls, *roles.hems, *roles.across))
    return roles.crooked > 0 or doubled or bool(made.faces.free.any())


def _plans(made: Study, roles: Roles) -> list[Try]:
    """The hulls that the drawing may mean, drawn."""
    out: list[Try] = []
    for plan in plans_of(made.pattern, roles)[:_MOST_PLANS]:
        drawn = drawn_as(made.pattern, plan)
        if drawn is not None:
            gone, come = changed_lines(made.pattern, drawn)
            text = plan_text(made.pattern, roles, plan) if gone or len(come) > _FEW else f"Draw {missing_lines(len(come))}."
            out.append((text, drawn, plan.lost, plan.blunted > 0))
    return out


def possible_hulls(pattern: Pattern) -> Iterator[tuple[str, Pattern]]:
    """The hulls that a drawing may mean without giving up a wall or a point of it, in words and drawn exactly."""
    roles = roles_of(pattern)
    for plan in plans_of(pattern, roles)[:_MOST_PLANS]:
        drawn = drawn_as(pattern, plan) if not plan.lost and not plan.blunted else None
        if drawn is not None:
            yield plan_text(pattern, roles, plan), drawn


def _fresh_start(made: Study) -> list[StudiedRemedy]:
    """What is left when nothing else helps: a tray, and the drawing begun again."""
    for plan in plans_of(made.pattern, Roles()):
        drawn = drawn_as(made.pattern, plan)
        if drawn is not None:
            gone = max(1, lost_walls(made.pattern, drawn))
            fresh = tried(made, "Begin again with four walls, and fold all corners.", drawn, gone)
            within = (
                [] if fresh.good else [apply_remedy(drawn, f.remedy) for f in fresh.study.report.stops if f.remedy is not None]
            )
            text = "Begin again with four walls as your event allows them, and fold all corners."
            ruled = (tried(made, text, pattern, gone) for pattern in within)
            return [next((r for r in ruled if r.good), fresh)]
    return []


def mending(made: Study, times: int, *, budget_s: float = BUDGET_S) -> list[StudiedRemedy]:
    """The first remedy taken, then the first of what is left, up to so many times or until it is a hull."""
    taken: list[StudiedRemedy] = []
    while len(taken) < times:
        offered = remedies(taken[-1].study if taken else made, budget_s=budget_s, most=1)
        if not offered:
            break
        taken.append(offered[0])
    return taken
