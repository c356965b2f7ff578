"""What cannot be, as it is drawn in the picture of a folded sheet: where it gapes, and where it passes through itself.

gape      between the two places of an edge that do not come together
crossing  the line on which one face passes through another; the part that has passed through is hatched
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from msgspec import Struct

from folder.draw.hull.light import Tones
from folder.draw.hull.lines import SpaceLine
from folder.draw.hull.plates import ON_TOP_MM, Plate
from folder.draw.style import STOP
from folder.fold.layers.clash import Clashes
from folder.fold.place import Folded
from folder.geometry.space import Floats, Ints, carry
from folder.units import TOLERANCES

GAPE = Tones("#D9717F", "#E58C98", "#F0A9B2")
"""Between the two places of an edge."""
MOST_PAIRS = 40
"""Of more faces that cross only so many are marked: a scribble would be all red."""
_HATCH_MM = 3.0
_LEAST_MM = 0.05
_OPPOSITE = -0.98
_HALF_DISC = 8


class FaultMarks(Struct, frozen=True, eq=False):
    """What is drawn of faults."""

    plates: tuple[Plate, ...] = ()
    lines: tuple[SpaceLine, ...] = ()

    @property
    def triangles(self) -> Floats:
        """(m, 3, 3) mm: what hides the lines behind it."""
        return np.array([plate.rings[0] for plate in self.plates]).reshape(-1, 3, 3)


def fault_marks(folded: Folded, clashes: Clashes | None = None) -> FaultMarks:
    """The gapes of a sheet that does not close; else the crossings of faces that pass through each other."""
    if folded.closure_gap_mm > TOLERANCES.take_up_mm:
        return _gapes(folded)
    if clashes is None or not len(clashes.pairs):
        return FaultMarks()
    return FaultMarks((), tuple(_crossings(folded, clashes.pairs[:MOST_PAIRS])))


def _gapes(folded: Folded) -> FaultMarks:
    faces = folded.faces
    plates: list[Plate] = []
    lines: list[SpaceLine] = []
    for edge in np.nonzero(folded.gaps > TOLERANCES.take_up_mm)[0].tolist():
        ends = faces.vertices[faces.edges[edge]]
        left, right = faces.sides[edge].tolist()
        a, b = (carry(np.repeat(folded.motions[face][None], 2, axis=0), ends) for face in (left, right))
        lines += [_red(a, left), _red(b, right)]
        for corners in _between(a, b, folded.normals[left]):
            normal = np.cross(corners[1] - corners[0], corners[2] - corners[0])
            size = float(np.linalg.norm(normal))
            if size > _LEAST_MM:
                plates.append(Plate((corners,), normal / size, GAPE, GAPE, on_top=True))
    return FaultMarks(tuple(plates), tuple(lines))


def _between(a: Floats, b: Floats, about: Floats) -> list[Floats]:
    """Triangles (3, 3) that fill the gape between two places (2, 3) of an edge; a half disc where they run apart from one point
    in opposite ways, about a direction (3,).
    """
    for k in (0, 1):
        one, other = a[1 - k] - a[k], b[1 - k] - b[k]
        length = float(np.linalg.norm(one))
        if np.linalg.norm(a[k] - b[k]) < _LEAST_MM and one @ other < _OPPOSITE * length * length:
            turns = np.linspace(0.0, np.pi, _HALF_DISC + 1)
            arc = a[k] + np.cos(turns)[:, None] * one + np.sin(turns)[:, None] * np.cross(about, one)
            return [np.array([a[k], *pair]) for pair in pairwise(arc)]
    return [np.array([a[0], a[1], b[1]]), np.array([a[0], b[1], b[0]])]


def _crossings(folded: Folded, pairs: Ints) -> list[SpaceLine]:
    """The lines on which faces of pairs (k, 2) pass through each other, and hatching on what has passed through."""
    lines: list[SpaceLine] = []
    for one, other in pairs.tolist():
        cuts = [
            segment
            for a in folded.corners[folded.faces.triangle_face == one]
            for b in folded.corners[folded.faces.triangle_face == other]
            if (segment := _common(a, b)) is not None
        ]
        lines += [_red(ends, one, other) for ends in cuts]
        smaller = one if folded.faces.areas[one] <= folded.faces.areas[other] else other
        lines += _hatching(folded, smaller, other if smaller == one else one)
    return lines


def _common(a: Floats, b: Floats) -> Floats | None:
    """(2, 3) where two triangles (3, 3) pass through each other; None where they do not."""
    na, nb = np.cross(a[1] - a[0], a[2] - a[0]), np.cross(b[1] - b[0], b[2] - b[0])
    along = np.cross(na, nb)
    size = float(np.linalg.norm(along))
    if size < 1e-6 * float(np.linalg.norm(na) * np.linalg.norm(nb)) or size == 0.0:
        return None
    found = []
    for corners, normal, at in ((a, nb, b[0]), (b, na, a[0])):
        off = (corners - at) @ normal / np.linalg.norm(normal)
        ends = [
            corners[i] + off[i] / (off[i] - off[j]) * (corners[j] - corners[i])
            for i, j in ((0, 1), (1, 2), (2, 0))
            if off[i] * off[j] < 0.0
        ]
        if len(ends) < 2:
            return None
        found.append(sorted(ends[:2], key=lambda p: float(p @ along)))
    start = max((pair[0] for pair in found), key=lambda p: float(p @ along))
    end = min((pair[1] for pair in found), key=lambda p: float(p @ along))
    return np.array([start, end]) if float((end - start) @ along) / size > _LEAST_MM else None


def _hatching(folded: Folded, face: int, through: int) -> list[SpaceLine]:
    """Slanting lines over a face, on the side of another on which less of it lies, or all over it where that tells nothing."""
    faces = folded.faces
    triangles = faces.vertices[faces.triangles[faces.triangle_face == face]]
    corners = triangles.reshape(-1, 2)
    motion = folded.motions[face][None]
    space = carry(np.repeat(motion, len(corners), axis=0), corners)
    normal, at = folded.normals[through], folded.motions[through][:3, 3]
    off = (space - at) @ normal
    beyond = -1.0 if -off.min() < off.max() else 1.0
    cut = float(off.min()) < -_LEAST_MM and float(off.max()) > _LEAST_MM
    lines = []
    slant = corners @ [1.0, 1.0]
    step = _HATCH_MM * np.sqrt(2.0)
    for level in np.arange(np.ceil(slant.min() / step) * step, slant.max(), step):
        for triangle in triangles:
            value = triangle @ [1.0, 1.0] - level
            ends = [
                triangle[i] + value[i] / (value[i] - value[j]) * (triangle[j] - triangle[i])
                for i, j in ((0, 1), (1, 2), (2, 0))
                if value[i] * value[j] < 0.0
            ]
            if len(ends) < 2:
                continue
            pair = carry(np.repeat(motion, 2, axis=0), np.array(ends[:2]))
            side = (pair - at) @ normal * beyond
            if cut and side.max() <= 0.0:
                continue
            if cut and side.min() < 0.0:
                low, high = (0, 1) if side[0] < side[1] else (1, 0)
                pair[low] += side[low] / (side[low] - side[high]) * (pair[high] - pair[low])
            lines.append(SpaceLine(pair, (face,), "outline", colour=STOP))
    return lines


def _red(ends: Floats, *faces: int) -> SpaceLine:
    return SpaceLine(ends, faces, "thick", ON_TOP_MM, STOP)
