"""What holds a flap, and which flaps nothing holds.

held      a crimp pinches it to what lies under it, a layer lies over it, or it is a hem
hem       a flap that is long and narrow: foil keeps such a fold by itself (common practice)
tip       the place of a flap farthest from its hinge: there a crimp holds best
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from folder.findings import Finding, Point, Remedy
from folder.fold.facing import from_face, holding
from folder.fold.hinge import HALF_TURN_RAD, Flap, flaps_of
from folder.fold.layering import Layering
from folder.fold.place import Folded
from folder.fold.stacks import quartered
from folder.geometry.space import Bools, Floats, carry, cross

PINCH_MM = 5.0
"""A pinch of finger and thumb takes hold this far around its mark (common practice)."""

_HEM_SHARE = 0.25
"""A flap that reaches less far than this share of its hinge's length is a hem (common practice)."""
_HINGE_SHARE = 0.25
"""A pinch nearer to the hinge than this share of the flap's reach holds nothing."""


def loose_findings(shape: Folded, layering: Layering, crimps: tuple[Point, ...]) -> list[Finding]:
    """A warning for each flap that nothing holds, with a crimp as its remedy."""
    found: list[Finding] = []
    if not len(layering.pairs):
        return found
    pinches = pinches_of(shape, crimps)
    for flap in flaps_of(shape, np.ones(len(shape.turn), dtype=np.bool_)):
        if is_hem(shape, flap) or is_crimped(flap, pinches) or is_covered(shape, layering, flap):
            continue
        at, under = _tip(shape, flap), _pinch(shape, layering, flap)
        remedy = Remedy("Pinch the layers together here.", crimps=(under,)) if under else None
        text = "Nothing holds this flap down: it can swing out. Pinch its tip to the wall."
        detail = f"The flap reaches {flap.depth_mm:.0f} mm from its fold; no crimp, hem or layer holds it."
        found.append(Finding("loose-flap", "warn", at, text, detail, remedy))
    return found


def is_hem(shape: Folded, flap: Flap) -> bool:
    """Long and narrow."""
    flat = flap.hinge & (np.abs(shape.turn) > np.pi - HALF_TURN_RAD)
    ends = shape.faces.vertices[shape.faces.edges[flat]]
    return flap.depth_mm <= _HEM_SHARE * float(np.hypot(*(ends[:, 1] - ends[:, 0]).T).sum())


def is_covered(shape: Folded, layering: Layering, flap: Flap) -> bool:
    """A layer lies over the flap, on the side to which it would swing out."""
    mine = flap.faces[layering.pairs]
    one = np.nonzero(mine[:, 0] != mine[:, 1])[0]
    # Where the flap goes when it begins to swing: square to itself.
    out = cross(flap.axis, layering.at[one] - flap.at)
    side = (shape.normals[layering.pairs[one, 0]] * out).sum(axis=1)
    above = np.where(mine[one, 0], layering.above[one], -layering.above[one])  # the other as seen from the first's inside
    return bool((above * side > 0.0).any())


class Pinches(Struct, frozen=True, eq=False):
    """Where crimps take hold; those beside the sheet are left out."""

    places: Floats
    """(c, 3) mm in space."""
    holds: Bools
    """(c, t) which triangles they reach."""


def pinches_of(shape: Folded, crimps: tuple[Point, ...]) -> Pinches:
    """What each crimp takes hold of."""
    which = [(face, crimp) for crimp in crimps if (face := shape.faces.face_at(crimp)) >= 0]
    if not which:
        return Pinches(np.empty((0, 3)), np.empty((0, len(shape.corners)), dtype=np.bool_))
    places = carry(shape.motions[[face for face, _ in which]], np.array([crimp for _, crimp in which]))
    return Pinches(places, _near(shape, places))


def _near(shape: Folded, places: Floats) -> Bools:
    """(c, t) which triangles lie within a pinch of places in space (c, 3)."""
    corners, normals = shape.corners, shape.normals[shape.faces.triangle_face]
    ahead = corners[:, [1, 2, 0]] - corners
    off = places[:, None, None] - corners
    along = np.einsum("ctij,tij->cti", off, ahead) / np.maximum(np.einsum("tij,tij->ti", ahead, ahead), 1e-12)
    to_side = off - np.clip(along, 0.0, 1.0)[..., None] * ahead
    beside = np.einsum("ctij,ctij->cti", to_side, to_side) <= PINCH_MM**2
    over = np.einsum("ctij,tij->cti", off, cross(normals[:, None], ahead)) >= 0.0
    height = np.abs(np.einsum("ctj,tj->ct", off[:, :, 0], normals))
    near: Bools = beside.any(axis=2) | (over.all(axis=2) & (height <= PINCH_MM))
    return near


def is_crimped(flap: Flap, pinches: Pinches) -> bool:
    """A crimp takes hold of the flap, away from its hinge."""
    on = pinches.holds[:, flap.faces[flap.shape.faces.triangle_face]].any(axis=1)
    return bool((on & (flap.reach(pinches.places) > _HINGE_SHARE * flap.depth_mm)).any())


def _tip(shape: Folded, flap: Flap) -> Point:
    """The tip on the sheet."""
    faces = shape.faces
    rows = np.nonzero(flap.faces[faces.triangle_face])[0]
    reach = flap.reach(shape.corners[rows])
    row, corner = np.unravel_index(int(np.argmax(np.round(reach, 6))), reach.shape)
    x, y = faces.vertices[faces.triangles[rows[row], corner]].tolist()
    return (x, y)


def _pinch(shape: Folded, layering: Layering, flap: Flap) -> Point | None:
    """Where to pinch: a place on the sheet in what lies under the flap, as far from the hinge as may be; None without."""
    mine = flap.faces[layering.pairs]
    mixed = mine[:, 0] != mine[:, 1]
    others = np.unique(layering.pairs[mixed][~mine[mixed]])
    places = quartered(shape.corners[flap.faces[shape.faces.triangle_face]], 2).mean(axis=1)
    places = places[np.argsort(-flap.reach(places), kind="stable")]
    on = holding(shape, np.tile(others, len(places)), np.repeat(places, len(others), axis=0)).reshape(len(places), -1)
    if not on.any():
        return None
    place = int(on.any(axis=1).argmax())
    under = others[on[place]]
    x, y = from_face(shape, under[np.argsort(shape.level[under], kind="stable")[:1]], places[place][None])[0].tolist()
    return (round(x, 1), round(y, 1))
