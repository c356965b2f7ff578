"""Faces that pass through each other, and the layers of flat stacks.

slight   so little in the way of the layers that foil takes it up
pressed  with every fold above 178 deg laid flat, as a hand does: so the layers are judged
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from msgspec import Struct

from folder.findings import Finding, Point
from folder.fold.flat_rule import folded_flat
from folder.fold.layers.contact import Contacts, contacts_of, least_part_mm, no_contacts
from folder.fold.layers.face_frames import from_face
from folder.fold.layers.order import Layering, layering_of
from folder.fold.layers.tight import Tight, too_wide
from folder.fold.place import Folded, folded
from folder.geometry.space import Bools, Floats, Ints, frozen
from folder.pattern.faces.faces import Faces
from folder.units import TOLERANCES

MOST_FINDINGS = 8
"""Places named in one report."""
_SAME_PLACE_MM = 5.0
_FAR_TOO_WIDE_MM = 3.0
"""A strip too wide by more is reported as what it is: layers that have no order."""
_MOST_MEASURED = 100
"""Pairs of layers; with more the search for the strip that is too wide would take too long."""


class Slight(Struct, frozen=True):
    """What foil takes up: a strip that is a little too wide for the layers round it, or a part that runs a hair into another."""

    face: int
    other: int
    """The face it runs into; -1 for a strip that is too wide."""
    at: Point
    excess_mm: float


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
    slight: tuple[Slight, ...]
    """What foil takes up."""
    wide: tuple[Slight, ...]
    """Strips too wide for foil to take up, where that is why layers have no order."""
    complete: bool
    """False when it was not looked for: the sheet does not close, or has too many faces."""


def clash_tolerance_mm(shape: Folded) -> float:
    """How deep is touching: what a hand does not feel, and what the drawing is off by."""
    return TOLERANCES.closed_mm + min(shape.closure_gap_mm, TOLERANCES.take_up_mm)


def clashes_of(shape: Folded, measured: bool = True) -> Clashes:
    """Look for faces that pass through each other, and for the order of layers.

    Within the tolerance the sheet touches itself; up to what foil takes up a clash is slight: measured if asked for.
    """
    # A sheet that does not close has no one place for each face: what would pass through what is idle talk.
    closes = shape.closure_gap_mm <= TOLERANCES.take_up_mm
    shape = pressed(shape)
    tolerance_mm = clash_tolerance_mm(shape)
    most_mm = max(TOLERANCES.take_up_mm, tolerance_mm)

    def order(contacts: Contacts, margin_mm: float) -> Layering:
        return layering_of(shape, contacts, least_part_mm(tolerance_mm, margin_mm))

    def look(margin_mm: float) -> tuple[Contacts, Layering]:
        contacts = contacts_of(shape, tolerance_mm, margin_mm)
        return contacts, order(contacts, margin_mm)

    contacts = contacts_of(shape, tolerance_mm) if closes else no_contacts(complete=False)
    layering = order(contacts, tolerance_mm)
    slight: list[Slight] = []
    wide: list[Slight] = []
    if not layering.possible and most_mm > tolerance_mm:
        layering = look(most_mm)[1]
        if measured and layering.possible:
            tight = too_wide(look, order, tolerance_mm, most_mm)
            layering, slight = tight.layering, _strips(shape, tight)
    if measured and not layering.possible and len(layering.pairs) < _MOST_MEASURED and look(_FAR_TOO_WIDE_MM)[1].possible:
        tight = too_wide(look, order, most_mm, _FAR_TOO_WIDE_MM)
        wide = _strips(shape, tight) if tight.sure else []
    deep = contacts.crossing_mm > most_mm
    crossing, crossing_at = contacts.crossing[deep], contacts.crossing_at[deep]
    shallow, shallow_at = contacts.crossing[~deep], _points(shape, contacts.crossing[~deep, 0], contacts.crossing_at[~deep])
    slight += [
        Slight(face, other, at, mm)
        for (face, other), at, mm in zip(shallow.tolist(), shallow_at, contacts.crossing_mm[~deep].tolist(), strict=True)
    ]
    pairs = np.concatenate([crossing, layering.crease_crossing, layering.cyclic])
    twisted = np.arange(len(pairs)) >= len(pairs) - len(layering.cyclic)
    at = np.concatenate([
        from_face(shape, crossing[:, 0], crossing_at),
        from_face(shape, layering.crease_crossing[:, 0], layering.crease_crossing_at),
        _in_largest_triangle(shape, layering.cyclic[:, 0]),
    ])  # fmt: skip
    depth = np.zeros(len(pairs))
    depth[: len(crossing)] = contacts.crossing_mm[deep]
    return Clashes(
        frozen(pairs), frozen(at), frozen(depth), frozen(twisted), layering, tuple(slight), tuple(wide), contacts.complete
    )


def pressed(shape: Folded) -> Folded:
    """The shape with every fold that is all but flat pressed flat; as it is where it would then not close."""
    turn = shape.turn
    nearly = shape.faces.joined & folded_flat(turn) & (np.abs(turn) < math.pi - TOLERANCES.flat_rad)
    if not np.count_nonzero(nearly):
        return shape
    flat = folded(shape.faces, np.where(nearly, np.sign(turn) * math.pi, turn))
    return flat if flat.closure_gap_mm <= TOLERANCES.take_up_mm else shape


def clashing_faces(faces: Faces, turn: Floats) -> Ints:
    """Faces (2 k,) that take part in k clashes when the sheet is folded by turns (e,) rad, once for each clash."""
    return clashes_of(folded(faces, turn.copy()), measured=False).pairs.ravel()


def _strips(shape: Folded, tight: Tight) -> list[Slight]:
    places = _points(shape, tight.faces, tight.at)
    return [Slight(face, -1, at, tight.excess_mm) for face, at in zip(tight.faces.tolist(), places, strict=True)]


def _points(shape: Folded, face: Ints, at: Floats) -> list[Point]:
    """Places in space (n, 3) on the sheet, in faces (n,)."""
    return [(x, y) for x, y in from_face(shape, face, at).tolist()]


def _in_largest_triangle(shape: Folded, face: Ints) -> Floats:
    """(b, 2) mm: the middle of the largest triangle of each of some faces (b,)."""
    if not len(face):
        return np.empty((0, 2))
    faces = shape.faces
    largest = {}
    doubled = faces.vertices[faces.triangles]
    a, b = doubled[:, 1] - doubled[:, 0], doubled[:, 2] - doubled[:, 0]
    for n in np.argsort(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]).tolist():
        largest[int(faces.triangle_face[n])] = doubled[n].mean(axis=0)
    return np.array([largest[f] for f in face.tolist()]).reshape(-1, 2)


def clash_findings(shape: Folded, clashes: Clashes) -> list[Finding]:
    """A stop for each place where the sheet would have to pass through itself, the deepest first; then what foil takes up."""
    found: list[Finding] = []
    for strip in clashes.wide:
        if not _is_listed(found, strip.at):
            text = "This strip is too wide for the folds round it: it would have to go through one of them. Make it narrower."
            detail = f"{strip.excess_mm:.1f} mm too wide; {_lies_around(shape, strip.face, 'the strip')}."
            found.append(Finding("passes-through", "stop", strip.at, text, detail))
    for k in np.argsort(-clashes.depth_mm, kind="stable").tolist():
        at = (float(clashes.at[k, 0]), float(clashes.at[k, 1]))
        if _is_listed(found, at):
            continue
        if len(found) == MOST_FINDINGS:
            break
        if clashes.twisted[k]:
            if clashes.wide:
                continue  # these strips are why
            text = "The layers here cannot lie on each other in any order: one would have to go through another."
            detail = "The senses of the folds contradict each other where they lie flat, or a strip is far too wide."
        else:
            text = "Here one part of the foil would have to go through another part."
            deep = f"It goes {clashes.depth_mm[k]:.1f} mm through" if clashes.depth_mm[k] else "It goes through along a fold"
            detail = f"{deep}; {_lies_around(shape, int(clashes.pairs[k, 1]))}."
        found.append(Finding("passes-through", "stop", at, text, detail))
    return [*found, *_slight_findings(shape, clashes), *_not_known(shape, clashes)]


def _slight_findings(shape: Folded, clashes: Clashes) -> Iterator[Finding]:
    found: list[Finding] = []
    for slight in sorted(clashes.slight, key=lambda s: -s.excess_mm):
        if _is_listed(found, slight.at) or len(found) == MOST_FINDINGS:
            continue
        if slight.other < 0:
            text = "This strip is a little too wide for the folds round it. Foil will take it up; a narrower strip folds better."
            detail = f"{slight.excess_mm:.1f} mm too wide; {_lies_around(shape, slight.face, 'the strip')}."
        else:
            text = "Here one part of the foil runs a little into another part. Foil gives way so far."
            detail = f"{slight.excess_mm:.1f} mm deep; {_lies_around(shape, slight.other)}."
        found.append(Finding("passes-through", "note", slight.at, text, detail))
    yield from found


def _not_known(shape: Folded, clashes: Clashes) -> Iterator[Finding]:
    """What could not be found out."""
    unknown = clashes.layering.unknown
    if len(unknown):
        (x, y), *_ = _in_largest_triangle(shape, unknown[:, 0]).tolist()
        text = "Can the layers here lie on each other? It could not be found out: there are too many ways. Try it with paper."
        detail = f"The search for an order of {len(clashes.layering.pairs)} pairs of layers was given up."
        yield Finding("passes-through", "warn", (x, y), text, detail)
    if not clashes.complete and shape.closure_gap_mm <= TOLERANCES.take_up_mm:
        text = "There are too many folds here to see whether parts go through each other. Try it with paper."
        yield Finding("passes-through", "warn", None, text, f"{shape.faces.count} faces, too many of them near each other.")


def _is_listed(found: list[Finding], at: Point) -> bool:
    return any(f.at is not None and math.dist(f.at, at) < _SAME_PLACE_MM for f in found)


def _lies_around(shape: Folded, face: int, what: str = "the other part") -> str:
    corners = np.unique(shape.faces.ring[shape.faces.ring[:, 0] == face, 1])
    x, y = shape.faces.vertices[corners].mean(axis=0)
    return f"{what} lies around {x:.0f}, {y:.0f} mm on the sheet"
