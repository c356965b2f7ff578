"""What is said of walls that come up and of flaps that are laid flat, and how counts and lists are said."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np

from folder.fold.place import Folded
from folder.fold.sequence.flaps import HALF_TURN_RAD, Flap
from folder.fold.sequence.flat_fold import on_table
from folder.fold.sequence.steps import FoldStep
from folder.geometry.plane import convex_hull
from folder.geometry.space import Bools, Floats, Ints
from folder.hull.hull import hull_of
from folder.hull.rim import corners, spill_elevations

_UPRIGHT_RAD = 0.03
_LEVEL_MM = 1.5
"""What foil takes up: a rim that is out of level by no more is level to the eye."""
_STRIP = 1.5
"""Strips of spare foil beside its crest are alike, up to so many times; the walls are larger."""

_ALL = {2: "both", 3: "all three", 4: "all four", 5: "all five", 6: "all six", 7: "all seven", 8: "all eight"}
_ROUND = ("right", "back right", "back", "back left", "left", "front left", "front", "front right")
"""Names of walls by where they stand, seen from above, counter-clockwise from the right."""
_LISTED = ("left", "right", "front", "back", "front left", "front right", "back left", "back right")


def raising_words(step: FoldStep, was: Folded) -> tuple[str, ...]:
    """Walls up, and what becomes of the spare foil meanwhile."""
    corners = corner_count(step.flaps)
    if corners:
        inside = np.logical_or.reduce([flap.faces[was.faces.sides].all(axis=1) for flap in step.flaps])
        flat = np.abs(step.turn) > np.pi - HALF_TURN_RAD
        where = "corner" if _at_corners(was, inside & flat & step.edges) else "middle of the side"
        first = f"Fold the walls up. Pinch the spare foil at the {where} flat: it points outward."
        return (
            (first, f"Do the same at {how_many(corners)} {'corners' if where == 'corner' else 'sides'}.")
            if corners > 1
            else (first,)
        )
    flat = step.edges & (np.abs(step.turn) > np.pi - HALF_TURN_RAD)
    if not flat.any() and int(step.edges.sum()) <= 4:
        many = int(step.edges.sum()) > 1
        first = "Fold the walls up along the dashed lines" if many else "Fold the wall up along the dashed line"
        if np.allclose(np.abs(step.turn[step.edges]), np.pi / 2, atol=_UPRIGHT_RAD):
            return (f"{first}, until {'they stand' if many else 'it stands'} straight.",)
        return (f"{first}.",)
    first = "Fold up all lines at once, little by little."
    crests = crests_at_once(step, was)
    return (first, *_pinching_words(step, was, crests)) if len(crests) else (first,)


def _pinching_words(step: FoldStep, was: Folded, crests: Ints) -> tuple[str, ...]:
    """What becomes of spare foil that is too small to hold, which is pinched at its crests (n,) while all comes up."""
    faces = was.faces
    here = np.zeros(faces.count, dtype=np.bool_)
    here[faces.sides[crests].ravel()] = True
    # Where the spare foil hangs on its wall at the rim: there it lies on it, or stands off.
    hangs = step.edges & faces.joined & (here[faces.sides].sum(axis=1) == 1) & (faces.inner[faces.edges].sum(axis=1) < 2)
    lies = np.abs(step.turn[hangs]).max(initial=0.0) > np.pi - HALF_TURN_RAD
    ways = {bool(turn > 0) for turn in step.turn[crests]}
    way = "" if len(ways) > 1 else f": it points {'outward' if ways == {True} else 'inward'}"
    then = "Lay it against its wall." if lies else "Turn it toward its wall: at the rim it stands off."
    return f"At the marks{_where(was, crests)}, pinch the spare foil flat{way}.", then


def _where(was: Folded, crests: Ints) -> str:
    """Where on what lies on the table some crests (n,) are, if they are alike all round."""
    outline = convex_hull(was.corners.reshape(-1, 3)[:, :2].round(3), 1e-3)
    ends = np.concatenate(on_table(was, crests))
    near = float(np.linalg.norm(outline - np.roll(outline, 1, axis=0), axis=1).min()) / 6.0
    for words, places in (
        (" at each corner", outline),
        (" in the middle of each side", (outline + np.roll(outline, 1, axis=0)) / 2),
    ):
        if bool((np.linalg.norm(ends[:, None] - places, axis=2) < near).any(axis=0).all()):
            return words
    return ""


def crests_at_once(step: FoldStep, was: Folded) -> Ints:
    """The edges (n,) along which spare foil that no flap holds is pinched: to the rim, between two strips of it."""
    faces = was.faces
    flat = step.edges & faces.joined & (np.abs(step.turn) > np.pi - HALF_TURN_RAD) & (faces.inner[faces.edges].sum(axis=1) < 2)
    found = np.nonzero(flat)[0]
    if step.flaps or not len(found):
        return found[:0]
    wide = faces.areas[faces.sides[found]].max(axis=1)
    return found[wide < _STRIP * wide.min()]


def rim_words(was: Folded) -> str:
    """How the rim is to be, seen from the side."""
    hull = hull_of(was, 0.0)
    if hull is not None:
        rim = spill_elevations(hull.skin.vertices[None, :, 2], hull.skin)[0][list(corners(hull.skin))]
        rim = rim[np.isfinite(rim) & (rim > _LEVEL_MM)]
        if len(rim) and np.ptp(rim) > _LEVEL_MM:
            return "The rim is higher in some places: check it against the picture."
    return "Check that the rim is level all round."


def _at_corners(was: Folded, edges: Bools) -> bool:
    """Whether one of some edges (e,) ends by a corner of what lies on the table, rather than in the middle of a side."""
    some = np.nonzero(edges & was.faces.joined)[0]
    if not len(some):
        return False
    outline = convex_hull(was.corners.reshape(-1, 3)[:, :2].round(3), 1e-3)
    shortest = float(np.linalg.norm(outline - np.roll(outline, 1, axis=0), axis=1).min())
    ends = np.concatenate(on_table(was, some))[:, None]
    return bool((np.linalg.norm(ends - outline, axis=2) < shortest / 4.0).any())


def laying_words(flaps: Sequence[Flap], was: Folded) -> tuple[str, ...]:
    """Where the flaps are laid flat."""
    middle = np.array([*was.faces.floor_at, 0.0])
    outside = all(float(flap.away @ (flap.at - middle)) > 0 for flap in flaps)
    first = f"Fold the flap flat against the {'outside' if outside else 'inside'} of its wall."
    count = corner_count(flaps)
    again = (f"Do the same with {how_many(count)} flaps.",) if count > 1 else ()
    return first, *_on_walls(flaps, count), *again


def _on_walls(flaps: Sequence[Flap], count: int) -> tuple[str, ...]:
    """On which walls the flaps lie, by where these stand in the picture."""
    inward = [flap.at[:2] - np.array(flap.shape.faces.floor_at) for flap in flaps]
    outward = [flap.away if flap.away[:2] @ off > 0 else -flap.away for flap, off in zip(flaps, inward, strict=True)]
    names = {wall_name(direction) for direction in outward}
    if len(names) == count > 1:
        turns = {np.sign(off[0] * out[1] - off[1] * out[0]) for off, out in zip(inward, outward, strict=True)}
        return (f"Each flap lies on a wall of its own{': go round the same way' if len(turns) == 1 else ''}.",)
    if len(names) > 4:
        return ("The picture shows on which wall each flap lies.",)
    listed = [name for name in _LISTED if name in names]
    return (f"The flap{'s lie' if count > 1 else ' lies'} on the {listed_words(listed)} wall{'s' if len(names) > 1 else ''}.",)


def wall_name(outward: Floats) -> str:
    """The name of a wall that faces outward in a direction (3,), seen from above."""
    return _ROUND[round(math.atan2(float(outward[1]), float(outward[0])) / (math.pi / 4)) % 8]


def corner_count(flaps: Sequence[Flap]) -> int:
    """How many corners some flaps belong to: layers on one hinge are one flap."""
    hinges: list[Flap] = []
    for flap in flaps:
        if all(np.linalg.norm(np.cross(flap.at - h.at, h.axis)) > 1.0 for h in hinges):
            hinges.append(flap)
    return len(hinges)


def how_many(count: int) -> str:
    """All of so many."""
    return _ALL.get(count, "all the")


def listed_words(names: Iterable[str]) -> str:
    """Names in a list with an `and`."""
    *most, last = names
    return f"{', '.join(most)} and {last}" if most else last
