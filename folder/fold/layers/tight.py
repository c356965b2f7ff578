"""Strips that are too wide for the layers round them, and by how much.

margin    what overlaps or sticks out by less only touches
tight     at a small margin the layers have no order, at a larger one they do: some strip is too wide by a margin between
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from folder.fold.layers.contact import Contacts
from folder.fold.layers.order import Layering
from folder.geometry.space import Bools, Floats, Ints, frozen

_ROUNDS = 7
"""Halvings of the margin: 1.2 mm to a hundredth."""
_MOST_TRIED = 12

Look = Callable[[float], tuple[Contacts, Layering]]
"""How the sheet touches itself at a margin, mm, and the order of layers that leaves."""
Order = Callable[[Contacts, float], Layering]


class Tight(Struct, frozen=True, eq=False):
    """The strips that are too wide, all by about the same. All arrays are read-only."""

    faces: Ints
    """(s,)"""
    at: Floats
    """(s, 3) mm in space: where each would have to pass through a fold."""
    excess_mm: float
    sure: bool
    """Each of them alone is in the way; else one was picked."""
    layering: Layering
    """An order that holds when they give way."""


def too_wide(look: Look, order: Order, low_mm: float, high_mm: float) -> Tight:
    """The strips that give the layers no order at the margin `low_mm`, where they have one at `high_mm`."""
    below, (loose, layering) = look(low_mm)[0], look(high_mm)
    for _ in range(_ROUNDS):
        middle = (low_mm + high_mm) / 2.0
        contacts, found = look(middle)
        if found.possible:
            high_mm, loose, layering = middle, contacts, found
        else:
            low_mm, below = middle, contacts
    new = np.nonzero(~_among(below.edge_in_face, loose.edge_in_face))[0]
    culprits = [k for k in new[:_MOST_TRIED].tolist() if not order(_with_edge_in_face(loose, below, k), high_mm).possible]
    rows = culprits or new[:1].tolist()
    if rows:
        faces, at = below.edge_in_face[rows, 1], below.edge_in_face_at[rows]
    else:
        more = np.nonzero(~_among(below.flat, loose.flat))[0][:1]
        faces, at = below.flat[more, 1], below.flat_at[more]
    return Tight(frozen(faces), frozen(at), (low_mm + high_mm) / 2.0, bool(culprits), layering)


def _with_edge_in_face(loose: Contacts, below: Contacts, row: int) -> Contacts:
    """Contacts with one edge more that runs through a face."""
    pairs = np.concatenate([loose.edge_in_face, below.edge_in_face[row, None]])
    at = np.concatenate([loose.edge_in_face_at, below.edge_in_face_at[row, None]])
    return replace(loose, edge_in_face=pairs, edge_in_face_at=at)


def _among(pairs: Ints, others: Ints) -> Bools:
    """(n,) which pairs (n, 2) are among others."""
    present = set(map(tuple, others.tolist()))
    return np.array([tuple(p) in present for p in pairs.tolist()], dtype=np.bool_)
