"""What holds a flap, and which flaps nothing holds.

held      a crimp pinches it to what lies under it, a layer lies over it, or it is a hem
hem       a flap that is long and narrow: foil keeps such a fold by itself (common practice)
tip       the place of a flap farthest from its hinge: there a crimp holds best
"""

from __future__ import annotations

import numpy as np

from folder.findings import Finding, Point, Remedy
from folder.fold.facing import cross, from_face, holding
from folder.fold.hinge import HALF_TURN_RAD, Flap, flaps_of
from folder.fold.layering import Layering
from folder.fold.place import Folded
from folder.fold.stacks import quartered
from folder.geometry.space import Floats, Ints

PINCH_MM = 5.0
"""A pinch of finger and thumb takes hold this far around its mark (common practice)."""

_HEM_SHARE = 0.25
"""A flap that reaches less far than this share of its hinge's length is a hem (common practice)."""
_HINGE_SHARE = 0.25
"""A pinch nearer to the hinge than this share of the flap's reach holds nothing."""


def loose_findings(shape: Folded, layering: Layering, crimps: tuple[Point, ...]) -> list[Finding]:
    """A warning for each flap that nothing holds, with a crimp as its remedy."""
    found = []
    if not len(layering.pairs):
        return []
    for flap in flaps_of(shape, np.ones(len(shape.turn), dtype=np.bool_)):
        if is_hem(shape, flap) or is_covered(shape, layering, flap) or is_crimped(shape, flap, crimps):
            continue
        at, under = _tip(shape, flap), _pinch(shape, layering, flap)
        remedy = Remedy("Pinch the layers together here.", crimps=(under,)) if under else None
        text = "Nothing holds this flap down: it can swing out. Pinch its tip to the wall."
        deep = _depth(shape, flap)
        detail = f"The flap reaches {deep:.0f} mm from its fold; no crimp, hem or layer holds it."
        found.append(Finding("loose-flap", "warn", at, text, detail, remedy))
    return found


def is_hem(shape: Folded, flap: Flap) -> bool:
    """Long and narrow."""
    ends = shape.faces.vertices[shape.faces.edges[flap.hinge]]
    flat = np.abs(shape.turn[flap.hinge]) > np.pi - HALF_TURN_RAD
    return _depth(shape, flap) <= _HEM_SHARE * float(np.hypot(*(ends[flat, 1] - ends[flat, 0]).T).sum())


def is_covered(shape: Folded, layering: Layering, flap: Flap) -> bool:
    """A layer lies over the flap, on the side to which it would swing out."""
    mine = flap.faces[layering.pairs]
    one = np.nonzero(mine[:, 0] != mine[:, 1])[0]
    first = layering.pairs[one, 0]
    # Where the flap goes when it begins to swing: square to itself.
    out = cross(flap.axis, layering.at[one] - flap.at)
    above = layering.above[one] * np.where(mine[one, 0], 1, -1)  # the other as seen from the first's inside
    side = np.sign((shape.normals[first] * out).sum(axis=1))
    return bool((above * side > 0).any())


def is_crimped(shape: Folded, flap: Flap, crimps: tuple[Point, ...]) -> bool:
    """A crimp takes hold of the flap, away from its hinge."""
    for crimp in crimps:
        face = shape.faces.face_at(crimp)
        if face < 0:
            continue
        motion = shape.motions[face]
        place = motion[:3, 0] * crimp[0] + motion[:3, 1] * crimp[1] + motion[:3, 3]
        from_hinge = float(np.linalg.norm(cross(place - flap.at, flap.axis)))
        if from_hinge > _HINGE_SHARE * _depth(shape, flap) and _distance(shape, np.nonzero(flap.faces)[0], place) <= PINCH_MM:
            return True
    return False


def _distance(shape: Folded, which: Ints, place: Floats) -> float:
    """How far a place in space lies from some faces, mm."""
    at = np.repeat(place[None], len(which), axis=0)
    off = (shape.normals[which] * (at - shape.motions[which, :3, 3])).sum(axis=1)
    over = np.abs(off)[holding(shape, which, at)]
    rows = np.isin(shape.faces.triangle_face, which)
    start = shape.corners[rows].reshape(-1, 3)
    ahead = shape.corners[rows][:, [1, 2, 0]].reshape(-1, 3) - start
    along = ((place - start) * ahead).sum(axis=1) / np.maximum((ahead * ahead).sum(axis=1), 1e-12)
    edge = np.linalg.norm(start + np.clip(along, 0.0, 1.0)[:, None] * ahead - place, axis=1)
    return float(min(over.min(initial=np.inf), edge.min(initial=np.inf)))


def _depth(shape: Folded, flap: Flap) -> float:
    corners = shape.corners[flap.faces[shape.faces.triangle_face]].reshape(-1, 3)
    return float(np.linalg.norm(cross(corners - flap.at, flap.axis), axis=1).max(initial=0.0))


def _tip(shape: Folded, flap: Flap) -> Point:
    """The tip on the sheet."""
    faces = shape.faces
    rows = np.nonzero(flap.faces[faces.triangle_face])[0]
    reach = np.linalg.norm(cross(shape.corners[rows] - flap.at, flap.axis), axis=2)
    row, corner = np.unravel_index(int(np.argmax(np.round(reach, 6))), reach.shape)
    x, y = faces.vertices[faces.triangles[rows[row], corner]].tolist()
    return (x, y)


def _pinch(shape: Folded, layering: Layering, flap: Flap) -> Point | None:
    """Where to pinch: a place on the sheet in what lies under the flap, as far from the hinge as may be; None without."""
    mine = flap.faces[layering.pairs]
    mixed = mine[:, 0] != mine[:, 1]
    others = np.unique(layering.pairs[mixed][~mine[mixed]])
    places = quartered(shape.corners[flap.faces[shape.faces.triangle_face]], 2).mean(axis=1)
    places = places[np.argsort(-np.linalg.norm(cross(places - flap.at, flap.axis), axis=1), kind="stable")]
    on = holding(shape, np.tile(others, len(places)), np.repeat(places, len(others), axis=0)).reshape(len(places), -1)
    if not on.any():
        return None
    place = int(on.any(axis=1).argmax())
    under = others[on[place]]
    x, y = from_face(shape, under[np.argsort(shape.level[under], kind="stable")[:1]], places[place][None])[0].tolist()
    return (round(x, 1), round(y, 1))
