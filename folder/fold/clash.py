"""Faces that pass through each other, and the layers of flat stacks."""

from __future__ import annotations

import math

import numpy as np
from msgspec import Struct

from folder.findings import Finding
from folder.fold.contact import contacts_of, no_contacts
from folder.fold.facing import from_face
from folder.fold.layering import Layering, layering_of
from folder.fold.place import Folded, folded
from folder.geometry.space import Bools, Floats, Ints, frozen
from folder.pattern.faces import Faces
from folder.units import TOLERANCES

MOST_FINDINGS = 8
"""Places named in one report."""
_SAME_PLACE_MM = 5.0


class Clashes(Struct, frozen=True, eq=False):
    """Where the folded sheet would have to pass through itself, and its layers. All arrays are read-only."""

    pairs: Ints
    """(k, 2) faces."""
    at: Floats
    """(k, 2) mm: a place on the sheet, in the first face of each pair."""
    depth_mm: Floats
    """(k,) how deep they cross; 0 for layers in an order that cannot be."""
    twisted: Bools
    """(k,) layers in an order that cannot be, rather than faces that cross."""
    layering: Layering
    complete: bool
    """False when it was not looked for: the sheet does not close, or has too many faces."""


def clash_tolerance_mm(shape: Folded) -> float:
    """How deep is touching: what foil gives way, and what the drawing is off by."""
    return TOLERANCES.clash_mm + min(shape.closure_gap_mm, TOLERANCES.take_up_mm)


def clashes_of(shape: Folded) -> Clashes:
    """Look for faces that pass through each other, and for the order of layers."""
    tolerance_mm = clash_tolerance_mm(shape)
    # A sheet that does not close has no one place for each face: what would pass through what is idle talk.
    closes = shape.closure_gap_mm <= TOLERANCES.take_up_mm
    contacts = contacts_of(shape, tolerance_mm) if closes else no_contacts(complete=False)
    layering = layering_of(shape, contacts, tolerance_mm)
    pairs = np.concatenate([contacts.crossing, layering.torn, layering.broken])
    twisted = np.arange(len(pairs)) >= len(pairs) - len(layering.broken)
    at = np.concatenate([
        from_face(shape, contacts.crossing[:, 0], contacts.crossing_at),
        from_face(shape, layering.torn[:, 0], layering.torn_at),
        _where_broken(shape, layering),
    ])  # fmt: skip
    depth = np.zeros(len(pairs))
    depth[: len(contacts.crossing)] = contacts.crossing_mm
    return Clashes(frozen(pairs), frozen(at), frozen(depth), frozen(twisted), layering, contacts.complete)


def clashing_faces(faces: Faces, turn: Floats) -> Ints:
    """Faces that take part in a clash when the sheet is folded by these turns, once for each clash."""
    return clashes_of(folded(faces, turn.copy())).pairs.ravel()


def _where_broken(shape: Folded, layering: Layering) -> Floats:
    """(b, 2) mm: places where layers have no order, in the first face of each pair."""
    if not len(layering.broken):
        return np.empty((0, 2))
    faces = shape.faces
    largest = {}
    doubled = faces.vertices[faces.triangles]
    a, b = doubled[:, 1] - doubled[:, 0], doubled[:, 2] - doubled[:, 0]
    for n in np.argsort(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]).tolist():
        largest[int(faces.triangle_face[n])] = doubled[n].mean(axis=0)
    return np.array([largest[f] for f in layering.broken[:, 0].tolist()]).reshape(-1, 2)


def clash_findings(shape: Folded, clashes: Clashes) -> list[Finding]:
    """A stop for each place where the sheet would have to pass through itself, the deepest first."""
    found: list[Finding] = []
    for k in np.argsort(-clashes.depth_mm, kind="stable").tolist():
        at = (float(clashes.at[k, 0]), float(clashes.at[k, 1]))
        if any(f.at is not None and math.dist(f.at, at) < _SAME_PLACE_MM for f in found):
            continue
        if len(found) == MOST_FINDINGS:
            break
        if clashes.twisted[k]:
            text = "The layers here cannot lie on each other in any order: one would have to go through another."
            detail = "The senses of the folds contradict each other where they lie flat."
        else:
            text = "Here one part of the foil would have to go through another part."
            deep = f"It goes {clashes.depth_mm[k]:.1f} mm through" if clashes.depth_mm[k] else "It goes through along a fold"
            other = shape.faces.vertices[np.unique(shape.faces.ring[shape.faces.ring[:, 0] == clashes.pairs[k, 1], 1])].mean(axis=0)
            detail = f"{deep}; the other part lies around {other[0]:.0f}, {other[1]:.0f} mm on the sheet."
        found.append(Finding("passes-through", "stop", at, text, detail))
    if not clashes.complete and shape.closure_gap_mm <= TOLERANCES.take_up_mm:
        text = "There are too many folds here to see whether parts go through each other."
        found.append(Finding("passes-through", "note", None, text, f"{shape.faces.count} faces, too many of them near each other."))
    return found
