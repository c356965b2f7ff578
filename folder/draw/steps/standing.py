"""What is said of walls that come up and of flaps that are laid flat."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from folder.draw.steps.ear import outward_words, pinching_words
from folder.draw.steps.names import how_many, listed_words, open_to_doubt, wall_name, wall_names
from folder.fold.place import Folded
from folder.fold.sequence.flaps import HALF_TURN_RAD, Flap
from folder.fold.sequence.flat_fold import on_table
from folder.fold.sequence.runs import NEAR_MM, distances_to_runs, table_outline
from folder.fold.sequence.steps import FoldStep
from folder.geometry.space import Bools, Floats
from folder.hull.hull import hull_of
from folder.hull.rim import corners, spill_elevations

_UPRIGHT_RAD = 0.03
"""Walls that miss standing straight by less are straight to the eye."""
_LEVEL_MM = 1.5
"""What foil takes up: a rim that is out of level by no more is level to the eye."""

_FOLDED_IN_SHARE = 0.35
"""A side of the outline shorter than this share of the longest is no wall's: a corner was folded in there."""


def raising_words(step: FoldStep, was: Folded, now: Folded, until: str = "", tip: str = "") -> tuple[str, ...]:
    """Walls up, and what becomes of the spare foil meanwhile; `until` and `tip` say how high rim and spare foil stand then."""
    corners = corner_count(step.flaps)
    if corners:
        where = "middle of the side" if in_mid_side(step, was) else "corner"
        points = outward_words(step, was, np.nonzero(_crests(step, was))[0].tolist())
        first = f"Fold the walls up{until}. Pinch the spare foil at the {where} flat{points}."
        return (
            (first, f"Do the same at {how_many(corners)} {'corners' if where == 'corner' else 'sides'}.")
            if corners > 1
            else (first,)
        )
    flat = step.edges & (np.abs(step.turn) > np.pi - HALF_TURN_RAD)
    if not flat.any() and int(step.edges.sum()) <= 4:
        many = int(step.edges.sum()) > 1
        first = "Fold the walls up along the dashed lines" if many else "Fold the wall up along the dashed line"
        if stands_straight(step):
            return (f"{first}, until {'they stand' if many else 'it stands'} straight.",)
        return (f"{first}{until}.",)
    return f"Fold up all lines at once, bit by bit{until}.", *pinching_words(step, was, now, tip)


def in_mid_side(step: FoldStep, was: Folded) -> bool:
    """Whether the spare foil of some walls is in the middle of the sides of what lies on the table, rather than at its corners."""
    return bool(step.flaps) and not _at_corners(was, _crests(step, was))


def _crests(step: FoldStep, was: Folded) -> Bools:
    """(e,) the folds in the middle of the flaps that are pinched."""
    inside = np.logical_or.reduce([flap.faces[was.faces.sides].all(axis=1) for flap in step.flaps])
    flat = np.abs(step.turn) > np.pi - HALF_TURN_RAD
    crests: Bools = inside & flat & step.edges & was.faces.joined
    return crests


def stands_straight(step: FoldStep) -> bool:
    """Whether all that comes up stands straight, to the eye."""
    return bool(np.allclose(np.abs(step.turn[step.edges]), np.pi / 2, atol=_UPRIGHT_RAD))


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
    """Whether one of some edges (e,) ends by a corner of what lies on the table, or where one was folded in, and not amid a side."""
    some = np.nonzero(edges & was.faces.joined)[0]
    if not len(some):
        return False
    outline = table_outline(was.corners.reshape(-1, 3))
    sides = np.roll(outline, -1, axis=0) - outline
    lengths = np.linalg.norm(sides, axis=1)
    folded_in = lengths < _FOLDED_IN_SHARE * lengths.max()
    runs = np.stack([outline, outline + sides], axis=1)[folded_in]
    ends = np.concatenate(on_table(was, some))
    near = np.linalg.norm(ends[:, None] - outline, axis=2) < lengths.min() / 4.0
    on_short = distances_to_runs(runs, ends) < NEAR_MM
    return bool(near.any() or on_short.any())


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
    if len({wall_name(direction) for direction in outward}) == count > 1:
        beside = [_middle(flap.shape, flap.wall)[:2] - np.array(flap.shape.faces.floor_at) for flap in flaps]
        turns = {np.sign(off[0] * to[1] - off[1] * to[0]) for off, to in zip(inward, beside, strict=True)}
        # From a corner to the wall on its left, seen from the middle: that way runs against the clock.
        way = {frozenset({1.0}): ", anticlockwise", frozenset({-1.0}): ", clockwise"}.get(frozenset(turns), "")
        return (f"Each flap lies on {f'the next wall{way}' if way else 'a wall of its own'}.",)
    names = wall_names(outward)
    if not names:
        return ("The picture shows on which wall each flap lies.",)
    if open_to_doubt(inward, names):
        to = {wall_name(off): wall_name(direction) for off, direction in zip(inward, outward, strict=True)}
        first, *rest = (
            f"{corner} {'flap' if not k else 'one'} on the {wall} wall" for k, (corner, wall) in enumerate(to.items())
        )
        return (f"The {listed_words([first, *(f'the {each}' for each in rest)])}.".replace(" flap on", " flap lies on", 1),)
    walls = f"the {listed_words(names)} wall{'s' if len(names) > 1 else ''}"
    return (f"The flap{'s lie' if count > 1 else ' lies'} on {walls}.",)


def _middle(shape: Folded, face: int) -> Floats:
    """(3,) mm: the middle of a face in space."""
    middle: Floats = shape.corners[shape.faces.triangle_face == face].reshape(-1, 3).mean(axis=0)
    return middle


def corner_count(flaps: Sequence[Flap]) -> int:
    """How many corners some flaps belong to: layers on one hinge are one flap."""
    hinges: list[Flap] = []
    for flap in flaps:
        if all(np.linalg.norm(np.cross(flap.at - h.at, h.axis)) > 1.0 for h in hinges):
            hinges.append(flap)
    return len(hinges)
