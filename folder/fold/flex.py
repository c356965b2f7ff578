"""Whether the walls of a folded hull can still swing: all its folds fit, and yet they can turn together.

held      folds that lie flat, and layers that are pinched, stay as they are; every other fold may turn
motion    rates of the turns that open no vertex and slide no pinched layer, to first order
flexes    some motion turns a fold along the floor; one that only stirs a flap between other layers does not count
"""

from __future__ import annotations

import numpy as np

from folder.findings import Finding, Point
from folder.fold.closing.linkage import Linkage, linkage
from folder.fold.layers.held import pinches_of
from folder.fold.place import Folded
from folder.geometry.graph import components
from folder.geometry.space import Floats, cross
from folder.units import TOLERANCES

_ARM_MM = 75.0
"""At such a distance a turn slides a layer as far as a shift does: both are counted in rad."""

_NOTHING = 1e-6
"""Singular values below this part of the largest are zero: folds are given to 1e-9 at best."""


def flex_findings(shape: Folded, crimps: tuple[Point, ...], at: Point) -> list[Finding]:
    """A note where the hull can flex; it stands at a place of the sheet, mm."""
    turn = np.abs(shape.turn)
    link = linkage(shape.faces, (turn > TOLERANCES.flat_rad) & (turn < TOLERANCES.folded_flat_rad))
    rates = _unheld(shape, link, _opening_nothing(shape, link), crimps)
    faces = shape.faces
    flat = faces.joined & (turn < TOLERANCES.flat_rad)
    piece = components(faces.sides[flat], faces.count)
    walls = (piece[faces.sides[link.unknown]] == piece[faces.root]).any(axis=1)
    ways = _rank(np.linalg.svd(rates[walls], compute_uv=False)) if rates.shape[1] else 0
    if not ways:
        return []
    text = "This hull can flex. Press it into its shape and pinch the pleats at the rim, so that it stays."
    swing = f"Its walls can swing together in {ways} way{'s' * (ways > 1)}, flat folds and pinches held"
    detail = f"{swing}; the load is that of the shape as drawn."
    return [Finding("flexes", "note", at, text, detail)]


def _opening_nothing(shape: Folded, link: Linkage) -> Floats:
    """(m, p) rates of the unknown turns that open no vertex."""
    if not len(link.unknown):
        return np.empty((0, 0))
    _, jacobian = link.residual_and_jacobian(shape.turn)
    rows, _, slots = jacobian.shape
    whole = np.zeros((rows, 3, len(link.unknown) + 1))
    np.put_along_axis(whole, np.broadcast_to(link.slot[:, None, :], (rows, 3, slots)), jacobian, axis=2)
    return _null_space(whole[:, :, :-1].reshape(3 * rows, -1))


def _unheld(shape: Folded, link: Linkage, rates: Floats, crimps: tuple[Point, ...]) -> Floats:
    """(m, q) those combinations of rates (m, p) that slide no layer a pinch holds on another."""
    if not rates.shape[1]:
        return rates
    pinches = pinches_of(shape, crimps)
    spin, shift = _face_rates(shape, link, rates)
    rows = []
    for place, holds in zip(pinches.places, pinches.holds, strict=True):
        faces = np.unique(shape.faces.triangle_face[holds])
        if len(faces) > 1:
            turning = spin[faces] - spin[faces[0]]
            sliding = shift[faces] - shift[faces[0]] + cross(turning.transpose(0, 2, 1), place).transpose(0, 2, 1)
            rows.append(np.concatenate([turning, sliding / _ARM_MM], axis=1).reshape(-1, rates.shape[1]))
    return rates @ _null_space(np.concatenate(rows)) if rows else rates


def _face_rates(shape: Folded, link: Linkage, rates: Floats) -> tuple[Floats, Floats]:
    """How each face turns (f, 3, p) rad and is shifted at the origin (f, 3, p) mm at rates (m, p) of the unknown turns."""
    faces, count = shape.faces, rates.shape[1]
    by_edge = np.zeros((len(faces.edges), count))
    by_edge[link.unknown] = rates
    start, end = shape.ends
    axis = (end - start) / np.maximum(np.linalg.norm(end - start, axis=1), 1e-12)[:, None]
    spin, shift = np.zeros((faces.count, 3, count)), np.zeros((faces.count, 3, count))
    edges = np.nonzero(shape.shared)[0]
    for level in range(1, int(shape.level.max(initial=0)) + 1):
        for side, sign in ((0, 1.0), (1, -1.0)):
            new, old = faces.sides[edges, side], faces.sides[edges, 1 - side]
            across = (shape.level[new] == level) & (shape.level[old] == level - 1)
            edge = edges[across]
            turning = sign * axis[edge][:, :, None] * by_edge[edge][:, None, :]
            spin[new[across]] = spin[old[across]] + turning
            moved = cross(start[edge][:, None, :], turning.transpose(0, 2, 1)).transpose(0, 2, 1)
            shift[new[across]] = shift[old[across]] + moved
    return spin, shift


def _null_space(matrix: Floats) -> Floats:
    """(m, p) orthonormal directions that a matrix (n, m) takes to nothing."""
    _, size, rows = np.linalg.svd(matrix)
    return np.ascontiguousarray(rows[_rank(size) :].T)


def _rank(size: Floats) -> int:
    """How many singular values (k,) are not nothing."""
    return int(np.count_nonzero(size > _NOTHING * max(size.max(initial=0.0), 1.0)))
