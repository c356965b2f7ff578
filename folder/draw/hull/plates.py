"""Flat things in space as they are painted: the layers of a folded sheet, and whatever is to stand among them.

plate   a flat piece with two sides, each with its tones
layer   of a sheet: faces that hang together without a fold between them are one plate, so that no seam shows
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache

import numpy as np
import shapely
from msgspec import Struct
from msgspec.structs import replace

from folder.draw.hull.border import borders_of
from folder.draw.hull.depth import Planes, back_to_front
from folder.draw.hull.lift import layers_of
from folder.draw.hull.light import DULL, SHINY, Tones, brightness
from folder.draw.hull.view import View
from folder.draw.picture import Area
from folder.findings import Point
from folder.fold.place import Folded
from folder.geometry.space import Bools, Floats, carry, frozen

EDGE_ON = 1e-3
"""What is turned away from the viewer's direction by a sine less than this is not painted."""
ON_TOP_MM = 1.0
_GRID_MM = 1e-3
"""To this grid faces are joined: rounding leaves no slits between them."""


class Plate(Struct, frozen=True, eq=False):
    """A flat piece."""

    rings: tuple[Floats, ...]
    """(n, 3) mm in space each: the border, then holes."""
    normal: Floats
    """(3,) unit."""
    front: Tones = SHINY
    """The side from which the normal points."""
    back: Tones = DULL
    lift_mm: float = 0.0
    """How far along the normal it counts as lying: tells which of two in one plane lies over the other."""
    face: int = -1
    """The first of its faces, for the layers of a sheet."""
    tinted: bool = False
    on_top: bool = False
    """It lies over all else in its plane, from whichever side it is seen."""

    def moved(self, turn: Floats, shift: Floats) -> Plate:
        """It after a rigid motion: turn (3, 3), then shift (3,) mm."""
        return replace(self, rings=tuple(ring @ turn.T + shift for ring in self.rings), normal=turn @ self.normal)


def layer_plates(folded: Folded, lifts: Floats, tint: Bools | None = None) -> tuple[Plate, ...]:
    """The placed layers of a folded sheet in its own frame; `lifts` (f,) as `layer_lifts` has them; tinted faces (f,) stay apart."""
    return _plates(folded, lifts.tobytes(), b"" if tint is None else np.packbits(tint).tobytes())


@lru_cache(maxsize=32)
def _plates(folded: Folded, lift_bytes: bytes, tint_bytes: bytes) -> tuple[Plate, ...]:
    faces, borders = folded.faces, borders_of(folded.faces)
    lifts = np.frombuffer(lift_bytes)
    tint = np.zeros(faces.count, dtype=np.bool_)
    if tint_bytes:
        tint = np.unpackbits(np.frombuffer(tint_bytes, dtype=np.uint8), count=faces.count).astype(np.bool_)
    shown = np.nonzero(folded.placed)[0]
    groups: dict[tuple[int, bool], list[int]] = {}
    for face, layer in zip(shown.tolist(), layers_of(folded)[shown].tolist(), strict=True):
        groups.setdefault((layer, bool(tint[face])), []).append(face)
    plates = []
    for (_, tinted), members in groups.items():
        motion = folded.motions[members[0]][None]
        for flat in _joined([borders.rings(borders.places, face) for face in members]):
            rings = tuple(frozen(carry(np.repeat(motion, len(ring), axis=0), ring)) for ring in flat)
            lift = float(lifts[members[0]])
            plates.append(Plate(rings, folded.normals[members[0]], lift_mm=lift, face=members[0], tinted=tinted))
    return tuple(plates)


def _joined(faces: list[list[Floats]]) -> Iterator[list[Floats]]:
    """Faces, each its border and holes (n, 2), as the pieces they make together."""
    if len(faces) == 1:
        yield faces[0]
        return
    whole = shapely.union_all([shapely.Polygon(border, holes) for border, *holes in faces], grid_size=_GRID_MM)
    for part in shapely.get_parts(whole):
        if part.geom_type == "Polygon":
            yield [shapely.get_coordinates(ring)[:-1] for ring in shapely.get_rings(part)]


def painted(
    plates: Sequence[Plate], view: View, origin: Floats, fill: Callable[[Plate, bool, float], str] | None = None
) -> list[tuple[Plate, Area]]:
    """Each plate, or parts of it, as it is seen, the farthest first, so that all hide what lies behind them.

    `origin` (3,) mm comes to lie at 0, 0. `fill` gives the colour of a plate by whether its front is seen, and by its brightness;
    the tones of the plate are taken when it is not given.
    """
    axes = view.axes
    normals = np.array([p.normal for p in plates]).reshape(-1, 3) @ axes.T
    shown = [k for k in range(len(plates)) if abs(normals[k, 2]) > EDGE_ON]
    if not shown:
        return []
    rings = [(k, ring) for k in shown for ring in plates[k].rings]
    size = [len(ring) for _, ring in rings]
    seen = (np.concatenate([ring for _, ring in rings]) - origin) @ axes.T
    owner = np.array([k for k, _ in rings])
    circles = shapely.linearrings(seen[:, :2], indices=np.repeat(np.arange(len(size)), size))
    first = np.array([int((owner == k).argmax()) for k in shown])
    shapes = shapely.polygons(circles[first])
    for n, k in enumerate(shown):
        if len(plates[k].rings) > 1:
            shapes[n] = shapely.Polygon(circles[first[n]], circles[first[n] + 1 : first[n] + len(plates[k].rings)])
    starts = np.cumsum(size) - size
    bias = np.array([plates[k].lift_mm for k in shown]) * np.sign(normals[shown, 2])
    bias[[plates[k].on_top for k in shown]] = ON_TOP_MM
    order = back_to_front(shapes, Planes(seen[starts[first]], normals[shown], bias))
    level = brightness(normals[shown], view)
    found = []
    for n, shape in order:
        plate, front = plates[shown[n]], bool(normals[shown[n], 2] > 0.0)
        bright = float(level[n])
        colour = (plate.front if front else plate.back).at(bright) if fill is None else fill(plate, front, bright)
        if outline := rings_of(shape):
            found.append((plate, Area(outline, colour)))
    return found


def rings_of(shape: shapely.Geometry) -> tuple[tuple[Point, ...], ...]:
    """The borders of a polygon or of several."""
    coordinates, ring = shapely.get_coordinates(rings := shapely.get_rings(shape), return_index=True)
    return tuple(tuple((x, y) for x, y in coordinates[ring == k][:-1].tolist()) for k in range(len(rings)))
