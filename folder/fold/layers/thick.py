"""Places where many layers lie on each other."""

from __future__ import annotations

import math

import numpy as np

from folder.findings import Finding
from folder.fold.layers.face_frames import from_face
from folder.fold.layers.order import Layering
from folder.fold.place import Folded

MOST_LAYERS_EASY = 6
"""More layers than this in one place are hard to fold sharply (common practice)."""

_SAME_PLACE_MM = 15.0


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
