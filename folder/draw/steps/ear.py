"""Spare foil that no fingers can hold by itself: it is pinched along its crest while the walls come up, and turned toward a wall.

crest   to the rim, between two strips of spare foil; folded flat
hinge   between a strip and a wall: the one about which all of it turns to that wall
way     round the hull, seen from above, from its crest to the wall it is turned to
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Literal

import numpy as np
from msgspec import Struct

from folder.draw.steps.names import listed_words, open_to_doubt, wall_names
from folder.fold.place import Folded
from folder.fold.sequence.flaps import HALF_TURN_RAD
from folder.fold.sequence.flat_fold import on_table
from folder.fold.sequence.runs import distances_to_runs, table_outline
from folder.fold.sequence.steps import FoldStep
from folder.geometry.space import Bools, Floats, Ints, carry
from folder.units import TOLERANCES

Way = Literal["clockwise", "anticlockwise"]

_STRIP = 1.5
"""Strips of spare foil beside its crest are alike, up to so many times; the walls are larger."""


class PinchedEar(Struct, frozen=True):
    """Spare foil on both sides of a crest. Edges and faces by number."""

    crest: int
    hinge: int
    wall: int
    """The face it is turned to."""
    way: Way
    lies: bool
    """It lies flat on its wall at the rim, or it stands off."""
    free: bool
    """It hangs by one straight line alone, from the floor to the rim: it could be turned to any angle."""


def crests_at_once(step: FoldStep, was: Folded) -> Ints:
    """The edges (n,) along which spare foil that no flap holds is pinched: to the rim, between two strips of it."""
    faces = was.faces
    flat = step.edges & faces.joined & (np.abs(step.turn) > np.pi - HALF_TURN_RAD) & (faces.inner[faces.edges].sum(axis=1) < 2)
    found = np.nonzero(flat)[0]
    if step.flaps or not len(found):
        return found[:0]
    # What lies beside them in all layers: in one alone a strip of a wall may be as narrow.
    rising, _, outer = _rising(step, was)
    here = np.searchsorted(rising, found)
    at_one = np.linalg.norm(outer[here][:, None] - outer, axis=2) < TOLERANCES.closed_mm
    wide = np.where(at_one, faces.areas[faces.sides[rising]].max(axis=1), 0.0).max(axis=1)
    return found[wide < _STRIP * wide.min()]


def _rising(step: FoldStep, was: Folded) -> tuple[Ints, Floats, Floats]:
    """What comes up: edges (n,), their ends (n, 2, 2) on the table, the outer ones (n, 2); mm from where the floor is."""
    edges = np.nonzero(step.edges & was.faces.joined)[0]
    ends = np.stack(on_table(was, edges), axis=1) - was.faces.floor_at
    outer = np.take_along_axis(ends, np.linalg.norm(ends, axis=2).argmax(axis=1)[:, None, None], axis=1)[:, 0]
    return edges, ends, outer


def ears_of(step: FoldStep, was: Folded, now: Folded) -> list[PinchedEar]:
    """The spare foil that is pinched in a step, once for each place where a crest runs on the table, through all layers there."""
    crests = crests_at_once(step, was)
    return list(_ears(step, was, now, crests)) if len(crests) else []


def _ears(step: FoldStep, was: Folded, now: Folded, crests: Ints) -> Iterator[PinchedEar]:
    turn = np.abs(step.turn)
    rising, ends, outer = _rising(step, was)
    rim = _on_outline(was, outer + was.faces.floor_at)
    rising, ends, outer = rising[rim], ends[rim], outer[rim]
    # Edges that end at one place of the rim, in the order in which one meets them round the hull.
    around = np.arctan2(outer[:, 1], outer[:, 0])
    order = np.argsort(around)
    apart = np.linalg.norm(np.diff(outer[order], axis=0), axis=1) > TOLERANCES.closed_mm
    groups = np.split(order, np.nonzero(apart)[0] + 1)
    if len(groups) > 1 and np.linalg.norm(outer[groups[0][0]] - outer[groups[-1][0]]) <= TOLERANCES.closed_mm:
        groups = [np.concatenate([groups[0], groups[-1]]), *groups[1:-1]]
    for k, group in enumerate(groups):
        crest = rising[group][np.isin(rising[group], crests)]
        if not len(crest) or len(groups) < 3:
            continue
        sides: tuple[tuple[Way, Ints], ...] = (("clockwise", groups[k - 1]), ("anticlockwise", groups[(k + 1) % len(groups)]))
        way, hinge = max(sides, key=lambda side: round(float(turn[rising[side[1]]].max()), 6))
        edge = int(hinge[turn[rising[hinge]].argmax()])
        root = np.min(np.linalg.norm(ends[group][:, None, :, None] - ends[edge][None, None, None], axis=4))
        yield PinchedEar(
            int(crest[0]),
            int(rising[edge]),
            _beyond(was, int(rising[edge]), outer[group[0]] + was.faces.floor_at),
            way,
            bool(turn[rising[edge]] > np.pi - HALF_TURN_RAD),
            bool(root < TOLERANCES.closed_mm and _starts_on_floor(now, int(rising[edge]))),
        )


def _on_outline(was: Folded, places: Floats) -> Bools:
    """(n,) whether places (n, 2) lie on the outline of what lies on the table."""
    outline = table_outline(was.corners.reshape(-1, 3))
    sides = np.stack([outline, np.roll(outline, -1, axis=0)], axis=1)
    on: Bools = distances_to_runs(sides, places).min(axis=1) < TOLERANCES.take_up_mm
    return on


def _beyond(was: Folded, edge: int, place: Floats) -> int:
    """The face beside an edge that lies farther from a place (2,) on the table."""
    triangles = was.corners[..., :2].mean(axis=1)
    far = [np.linalg.norm(triangles[was.faces.triangle_face == face] - place, axis=1).max() for face in was.faces.sides[edge]]
    return int(was.faces.sides[edge, int(np.argmax(far))])


def _starts_on_floor(now: Folded, edge: int) -> bool:
    faces = now.faces
    heights = carry(np.repeat(now.motions[faces.sides[edge].max()][None], 2, axis=0), faces.vertices[faces.edges[edge]])[:, 2]
    return bool((np.abs(heights) < TOLERANCES.closed_mm).any())


def outward_words(step: FoldStep, was: Folded, crests: Iterable[int]) -> str:
    """To which side spare foil points that is pinched along some crests; nothing where it is not one side."""
    up = np.sign(was.normals[was.faces.sides.max(axis=1), 2])
    ways = {bool(step.turn[crest] * up[crest] > 0) for crest in crests}
    return "" if len(ways) != 1 else f": it points {'outward' if ways == {True} else 'inward'}"


def pinching_words(step: FoldStep, was: Folded, now: Folded, tip: str) -> tuple[str, ...]:
    """What becomes of spare foil that is pinched at its crests while all comes up; `tip` says how high its tip stands then."""
    ears = ears_of(step, was, now)
    if not ears:
        return ()
    points = outward_words(step, was, (ear.crest for ear in ears))
    first = f"At the marks{_where(was, [ear.crest for ear in ears])}, pinch the spare foil flat{points}."
    lies = any(ear.lies for ear in ears)
    ways, walls = {ear.way for ear in ears}, wall_names(_outward(now, was, ear.wall) for ear in ears)
    if len(ways) == 1 and not lies:
        return first, f"Turn it {ears[0].way} toward the next wall{tip or '; it stands off'}."
    if len(ways) == 1:
        to = f"the next wall, {ears[0].way}"
    elif walls and not open_to_doubt(_crest_places(was, ears), walls):
        to = f"the {listed_words(walls, 'or')} wall"
    else:
        return first, f"{'Lay it on' if lies else 'Turn it toward'} the wall on which the picture shows it."
    if lies:
        return first, f"Lay it flat on {to}."
    return first, f"Turn it toward {to}{tip or '; it stands off'}."


def _crest_places(was: Folded, ears: Sequence[PinchedEar]) -> Floats:
    """(n, 2) mm: the middles of the crests on the table, from where the floor is."""
    places: Floats = np.mean(on_table(was, np.array([ear.crest for ear in ears])), axis=0) - was.faces.floor_at
    return places


def _outward(now: Folded, was: Folded, face: int) -> Floats:
    """(3,) the way out of the hull from a face, also of a layer that lies with its outside up."""
    way: Floats = -now.normals[face] * np.sign(was.normals[face, 2])
    return way


def _where(was: Folded, crests: Sequence[int]) -> str:
    """Where on what lies on the table some crests are, if they are alike all round."""
    outline = table_outline(was.corners.reshape(-1, 3))
    ends = np.concatenate(on_table(was, np.array(crests)))
    near = float(np.linalg.norm(outline - np.roll(outline, 1, axis=0), axis=1).min()) / 6.0
    for words, places in (
        (" at each corner", outline),
        (" in the middle of each side", (outline + np.roll(outline, 1, axis=0)) / 2),
    ):
        if bool((np.linalg.norm(ends[:, None] - places, axis=2) < near).any(axis=0).all()):
            return words
    return ""
