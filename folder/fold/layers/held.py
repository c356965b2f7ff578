"""What holds a flap, and which flaps nothing holds.

held      a crimp pinches it to what lies under it, a layer lies over it, or it is a hem
hem       a flap that is long and narrow: foil keeps such a fold by itself (common practice)
tip       the place of a flap farthest from its hinge: there a crimp holds best
"""

from __future__ import annotations

import numpy as np
from msgspec import Struct

from folder.findings import Finding, Point, Remedy
from folder.fold.layers.face_frames import AHEAD, from_face, holding, to_local
from folder.fold.layers.order import Layering
from folder.fold.place import Folded
from folder.fold.sequence.flaps import HALF_TURN_RAD, Flap, flaps_of, reach
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
    flaps = flaps_of(shape, np.ones(len(shape.turn), dtype=np.bool_))
    if not flaps:
        return found
    for flap, lies in zip(flaps, _lie_by_themselves(shape, flaps, pinches_of(shape, crimps)), strict=True):
        if lies or is_covered(shape, layering, flap):
            continue
        at, under = _tip(shape, flap), _pinch(shape, layering, flap)
        remedy = Remedy("Pinch the layers together here.", crimps=(under,)) if under else None
        text = "Nothing holds this flap down: it can swing out. Pinch its tip to what it lies on."
        detail = f"The flap reaches {flap.depth_mm:.0f} mm from its fold; no crimp, hem or layer holds it."
        found.append(Finding("loose-flap", "warn", at, text, detail, remedy))
    return found


def _lie_by_themselves(shape: Folded, flaps: list[Flap], pinches: Pinches) -> list[bool]:
    """Which flaps are hems, or a crimp takes hold of them away from their hinge."""
    faces = shape.faces
    at, axis = np.array([flap.at for flap in flaps]), np.array([flap.axis for flap in flaps])
    holds = np.array([flap.faces for flap in flaps]).take(faces.triangle_face, axis=1)
    flap, triangle = holds.nonzero()
    off = reach(shape.corners.take(triangle, axis=0), at.take(flap, axis=0)[:, None], axis.take(flap, axis=0)[:, None])
    depth = np.zeros(len(flaps))
    np.maximum.at(depth, flap, off.max(axis=1))
    # Long and narrow.
    ends = faces.vertices.take(faces.edges, axis=0)
    ahead = ends[:, 1] - ends[:, 0]
    flat_mm = np.where(np.abs(shape.turn) > np.pi - HALF_TURN_RAD, np.hypot(ahead[:, 0], ahead[:, 1]), 0.0)
    hem = depth <= _HEM_SHARE * (np.array([flap.hinge for flap in flaps]) @ flat_mm)
    away = reach(pinches.places, at[:, None], axis[:, None]) > _HINGE_SHARE * depth[:, None]
    crimped = (holds @ pinches.holds.T) & away
    lie: list[bool] = (hem | crimped.any(axis=1)).tolist()
    return lie


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
    at = np.array(crimps, dtype=np.float64).reshape(-1, 2)
    face = shape.faces.faces_at(at)
    on_sheet = face >= 0
    face, at = face.compress(on_sheet), at.compress(on_sheet, axis=0)
    if not len(face):
        return Pinches(np.empty((0, 3)), np.empty((0, len(shape.corners)), dtype=np.bool_))
    places = carry(shape.motions.take(face, axis=0), at)
    return Pinches(places, _near(shape, places))


def _near(shape: Folded, places: Floats) -> Bools:
    """(c, t) which triangles lie within a pinch of places in space (c, 3)."""
    corners = shape.faces.triangle_corners
    ahead = corners.take(AHEAD, axis=1) - corners
    local = to_local(shape, shape.faces.triangle_face, places.T[:, :, None])
    # From each of the three corners, as seen square to the triangle: (3, c, t).
    off = local[:2, None] - corners[:, :, None]
    x, y, ahead_x, ahead_y = off[0], off[1], ahead[0][:, None], ahead[1][:, None]
    along = (x * ahead_x + y * ahead_y) / np.maximum(ahead_x * ahead_x + ahead_y * ahead_y, 1e-12)
    along = along.clip(0.0, 1.0)
    aside_x, aside_y = x - along * ahead_x, y - along * ahead_y
    far_mm2 = (aside_x * aside_x + aside_y * aside_y).min(axis=0) + local[2] * local[2]
    over = (y * ahead_x - x * ahead_y).min(axis=0) >= 0.0
    return (far_mm2 <= PINCH_MM**2) | (over & (np.abs(local[2]) <= PINCH_MM))


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
    places = _quartered(shape.corners[flap.faces[shape.faces.triangle_face]], 2).mean(axis=1)
    places = places[np.argsort(-flap.reach(places), kind="stable")]
    on = holding(shape, np.tile(others, len(places)), np.repeat(places, len(others), axis=0)).reshape(len(places), -1)
    if not on.any():
        return None
    place = int(on.any(axis=1).argmax())
    under = others[on[place]]
    x, y = from_face(shape, under[np.argsort(shape.level[under], kind="stable")[:1]], places[place][None])[0].tolist()
    return (round(x, 1), round(y, 1))


def _quartered(corners: Floats, times: int) -> Floats:
    """Triangles (n, 3, k) cut into four by the middles of their sides, so many times over: (4^times n, 3, k)."""
    for _ in range(times):
        a, b, c = corners.transpose(1, 0, 2)
        ab, bc, ca = ((corners + corners[:, [1, 2, 0]]) / 2.0).transpose(1, 0, 2)
        four = [np.stack(t, axis=1) for t in ((a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca))]
        corners = np.concatenate(four)
    return corners
