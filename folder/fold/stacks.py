"""How many layers lie where: thick stacks, and the layers on the floor."""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct

from folder.findings import Finding, Point
from folder.fold.facing import from_face, holding
from folder.fold.layering import Layering
from folder.fold.place import Folded
from folder.geometry.space import Bools, Floats, Ints, cross
from folder.units import TOLERANCES

MOST_LAYERS_EASY = 6
"""More layers than this in one place are hard to fold sharply (common practice)."""

_SAME_PLACE_MM = 15.0
_HALVINGS = 2
"""Each triangle of the floor is asked at 4^this places."""
_MOST_PLACES = 2_000


class FloorLayers(Struct, frozen=True):
    """Layers that lie in the floor's plane, over the whole floor."""

    least: int
    most: int
    mean: float
    """Averaged over the floor's area."""


def floor_faces(shape: Folded) -> Bools:
    """(f,) the faces that lie in the plane of the root face, layers on it included."""
    faces = shape.faces
    height = np.abs(shape.corners[:, :, 2]).max(axis=1)
    off = np.zeros(faces.count)
    np.maximum.at(off, faces.triangle_face, height)
    flat: Bools = (off <= TOLERANCES.clash_mm + shape.closure_gap_mm) & shape.placed
    return flat


def floor_layers(shape: Folded) -> FloorLayers:
    """The layers on the floor, counted at places spread over it."""
    floor = floor_faces(shape)
    which = np.nonzero(floor)[0]
    if len(which) < 2:
        return FloorLayers(len(which), len(which), float(len(which)))
    rows = np.nonzero(floor[shape.faces.triangle_face])[0]
    corners = shape.corners[rows]
    corners = quartered(corners, _HALVINGS if len(rows) * 4**_HALVINGS <= _MOST_PLACES else 0)
    size = _area(corners)
    places = corners.mean(axis=1)
    count = layers_at(shape, which, places)
    # A place under n layers is asked n times, once by each of them.
    share = size / np.maximum(count, 1)
    large = size > 1e-6
    return FloorLayers(int(count[large].min()), int(count[large].max()), float((share * count).sum() / share.sum()))


def layers_at(shape: Folded, faces: Ints, places: Floats) -> Ints:
    """How many of some faces (n,) lie over or under places in space (p, 3), within 1 mm of its box: (p,)."""
    corners = shape.corners.reshape(-1, 3)
    owner = np.repeat(shape.faces.triangle_face, 3)
    low, high = np.full((shape.faces.count, 3), np.inf), np.full((shape.faces.count, 3), -np.inf)
    np.minimum.at(low, owner, corners)
    np.maximum.at(high, owner, corners)
    boxed = np.ones((len(places), len(faces)), dtype=np.bool_)
    for axis in range(3):
        at = places[:, axis, None]
        boxed &= (at >= low[faces, axis] - 1.0) & (at <= high[faces, axis] + 1.0)
    place, face = np.nonzero(boxed)
    over = holding(shape, faces[face], places[place])
    count: Ints = np.bincount(place[over], minlength=len(places))
    return count


def quartered(corners: Floats, times: int) -> Floats:
    """Triangles (n, 3, k) cut into four by the middles of their sides, so many times over: (4^times n, 3, k)."""
    for _ in range(times):
        a, b, c = corners.transpose(1, 0, 2)
        ab, bc, ca = ((corners + corners[:, [1, 2, 0]]) / 2.0).transpose(1, 0, 2)
        four = [np.stack(t, axis=1) for t in ((a, ab, ca), (ab, b, bc), (ca, bc, c), (ab, bc, ca))]
        corners = np.concatenate(four)
    return corners


def _area(corners: Floats) -> Floats:
    """(n, 3, 3) mm -> (n,) mm2."""
    size: Floats = np.linalg.norm(cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1) / 2.0
    return size


def stack_findings(shape: Folded, layering: Layering) -> list[Finding]:
    """A note for each place with very many layers."""
    found: list[Finding] = []
    for cell, at in zip(layering.cells, layering.cells_at, strict=True):
        if len(cell) <= MOST_LAYERS_EASY:
            break  # the largest come first
        x, y = from_face(shape, np.array(cell[:1]), at[None])[0].tolist()
        if any(f.at is not None and math.dist(f.at, (x, y)) < _SAME_PLACE_MM for f in found):
            continue
        text = "Many layers lie on each other here. Press each fold flat before you make the next."
        found.append(Finding("thick-stack", "note", (x, y), text, f"{len(cell)} layers in one place."))
    return found


def thin_floor(layers: FloorLayers, at: Point, sharp: bool) -> list[Finding]:
    """A note when objects with edges or points come to stand on a single layer."""
    if not sharp or layers.least != 1:
        return []
    text = "The floor is one layer thin: things with edges or points can poke through. Put them down gently."
    return [Finding("thin-floor", "note", at, text, f"1 to {layers.most} layers, {layers.mean:.1f} on average.")]
