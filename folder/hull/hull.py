"""The hull: the folded sheet with its floor, its walls, its rim and what they measure.

floor        the faces in the plane of the face under `floor_at`
wall         what rises from the floor; its height is taken straight out, all along each floor crease
rim          the height to which water must rise to come in over the edge line
"""

from __future__ import annotations

from functools import cached_property

import numpy as np
from msgspec import Struct

from folder.fold.place import Folded
from folder.geometry.graph import components, reached
from folder.geometry.plane import signed_area
from folder.geometry.space import Bools, Floats, Ints, frozen
from folder.hull.rim import level_moments, level_rim
from folder.hull.seam import Seams, seams_of
from folder.hull.skin import Skin, neighbours_of
from folder.hull.wall import OPEN_MM, OpenSide, floor_creases, open_sides, wall_heights
from folder.hull.weight import Weight, foil_weight
from folder.pattern.faces.faces import Cover, Faces, cover_of

FLOOR_RAD, FLOOR_MM = 0.01, 0.3
"""A face belongs to the floor's plane when it leans and lies off by less: what rounding by hand does."""


class Hull(Struct, frozen=True, eq=False, dict=True):
    """A folded sheet as a vessel."""

    folded: Folded
    thickness_um: float
    skin: Skin
    cover: Cover
    """The floor, in the hull's frame."""
    floor_faces: Bools
    """(f,) which faces are floor."""
    offset: Floats
    """(2,) mm: where the origin of the hull's frame lies in the plane of the root face."""

    @cached_property
    def weight(self) -> Weight:
        """The hull's own weight."""
        return foil_weight(self.skin, self.thickness_um)

    @cached_property
    def rim(self) -> tuple[float, int]:
        """Height of the rim above the floor, mm, and the vertex of the skin that sets it. Infinite without an edge line."""
        height, vertex = level_rim(self.skin)
        return max(0.0, height), vertex

    @property
    def rim_height_mm(self) -> float:
        """How high water may stand outside before it comes in."""
        return self.rim[0]

    @cached_property
    def _floor_creases(self) -> tuple[Bools, Ints]:
        """The floor's faces (f,) that hang together with the root, and the creases (w,) across which walls rise from them."""
        piece = floor_piece(self.folded, self.floor_faces)
        return piece, floor_creases(self.folded, piece)

    @property
    def floor_piece(self) -> Bools:
        """(f,) the floor's faces that hang together with the root."""
        return self._floor_creases[0]

    @property
    def wall_edges(self) -> Ints:
        """(w,) the edges of the net across which walls rise from the floor."""
        return self._floor_creases[1]

    @cached_property
    def wall_heights(self) -> Floats:
        """(w, 3) mm: the wall over each floor crease, where it is lowest, on average, and where it is highest."""
        return wall_heights(self.folded, *self._floor_creases)

    @cached_property
    def mean_wall_mm(self) -> float:
        """How high the walls stand on average, all along the floor's creases, mm; zero without walls."""
        faces = self.folded.faces
        ends = faces.vertices[faces.edges[self._floor_creases[1]]]
        lengths = np.hypot(*(ends[:, 1] - ends[:, 0]).T)
        return float(np.average(self.wall_heights[:, 1], weights=lengths)) if len(lengths) else 0.0

    @cached_property
    def open_sides(self) -> list[OpenSide]:
        """The sides of the floor that have no wall; none while the rim stands over the floor."""
        if self.rim_height_mm >= OPEN_MM:
            return []
        outline = np.array(self.cover.outline) + self.offset
        return open_sides(self.folded, *self._floor_creases, self.wall_heights, outline)

    @cached_property
    def seams(self) -> Seams:
        """Where tape would keep water out."""
        faces = self.folded.faces
        shown = self.folded.placed[faces.triangle_face]
        return seams_of(self.skin, faces.triangle_face[shown], (self.skin.neighbours < 0) & _cut_sides(faces, shown))

    def volume_to_mm3(self, level_mm: float) -> float:
        """What the hull displaces, floor level, in water that stands `level_mm` above the floor."""
        moments = level_moments(self.skin, level_mm)
        return float(level_mm * moments[0, 0] - moments[0, 3])

    @cached_property
    def volume_mm3(self) -> float:
        """What the hull displaces with the water at its rim."""
        return self.volume_to_mm3(self.rim_height_mm)


def hull_of(folded: Folded, thickness_um: float, *, folds: bool = True) -> Hull | None:
    """The hull of a folded sheet; None when nothing lies under `floor_at`.

    Of a sheet that does not fold (`folds` false) nobody asks what lies on its floor: that is then the root and what is level
    with it unfolded. What thousands of faces cover that are folded onto each other takes time that grows like their square.
    """
    faces = folded.faces
    if faces.root < 0:
        return None
    floor_faces = _floor_faces(folded)
    if not folds:
        floor_faces = floor_piece(folded, floor_faces & (folded.normals[:, 2] > 0))
    cover = _floor_cover(folded, floor_faces)
    if not cover.outline:
        return None
    offset = np.array(cover.centre)
    shown = folded.placed[faces.triangle_face]
    ids, triangles = _split_vertices(faces, shown)
    vertices = np.zeros((ids, 3))
    # Written from the farthest face to the nearest, so that a vertex that does not quite close lies where the floor has it.
    order = np.argsort(-folded.level[faces.triangle_face[shown]], kind="stable")
    vertices[triangles[order]] = folded.corners[shown][order]
    vertices[:, :2] -= offset
    base = floor_piece(folded, floor_faces) & (folded.normals[:, 2] > 0)
    floor = np.nonzero(base[faces.triangle_face[shown]])[0]
    skin = Skin.of(vertices, triangles, floor, _neighbours(faces, shown, triangles))
    outline = tuple((x - cover.centre[0], y - cover.centre[1]) for x, y in cover.outline)
    moved = Cover(cover.area_mm2, (0.0, 0.0), outline, cover.parts, cover.layers_least, cover.layers_most)
    return Hull(folded, thickness_um, skin, moved, frozen(floor_faces), frozen(offset))


def _floor_faces(folded: Folded) -> Bools:
    """(f,) the faces that lie level in the floor's plane."""
    level = np.abs(folded.normals[:, 2]) > np.cos(FLOOR_RAD)
    heights = np.zeros(folded.faces.count)
    np.maximum.at(heights, folded.faces.triangle_face, np.abs(folded.corners[..., 2]).max(axis=1))
    return folded.placed & level & (heights <= FLOOR_MM)


def floor_piece(folded: Folded, floor_faces: Bools) -> Bools:
    """(f,) the floor faces that hang together with the root in the floor's plane: others only lie on it."""
    faces = folded.faces
    sides = faces.sides[faces.joined]
    sides = sides[floor_faces[sides].all(axis=1)]
    piece = np.zeros(faces.count, dtype=np.bool_)
    piece[faces.root] = True
    return reached(piece, sides)


def _floor_cover(folded: Folded, floor_faces: Bools) -> Cover:
    """What the floor faces (f,) cover, and how many layers."""
    faces = folded.faces
    pieces: list[Floats] = []
    for face in np.nonzero(floor_faces)[0].tolist():
        motion = folded.motions[face]
        ring = faces.vertices[faces.outer_ring(face)]
        if abs(signed_area(ring)) > faces.areas[face] + 1e-6:
            # A face with a hole is laid down triangle by triangle.
            pieces += list(folded.corners[faces.triangle_face == face, :, :2])
        else:
            pieces.append(ring @ motion[:2, :2].T + motion[:2, 3])
    return cover_of(pieces)


def _split_vertices(faces: Faces, shown: Bools) -> tuple[int, Ints]:
    """How many vertices the skin has and its triangles (m, 3), of those shown (t,): a vertex on a cut counts once for each lip."""
    triangles, face = faces.triangles[shown], faces.triangle_face[shown]
    if not faces.cut.any():
        return len(faces.vertices), triangles
    # Copies of a vertex start as one for each face and are joined across whole edges.
    copies = np.unique(face[:, None] * len(faces.vertices) + triangles)
    whole = np.nonzero(faces.joined)[0]
    pairs = [
        np.searchsorted(copies, faces.sides[whole, side, None] * len(faces.vertices) + faces.edges[whole]).ravel()
        for side in (0, 1)
    ]
    a, b = (np.minimum(p, len(copies) - 1) for p in pairs)
    real = (copies[a] == (faces.sides[whole, 0, None] * len(faces.vertices) + faces.edges[whole]).ravel()) & (
        copies[b] == (faces.sides[whole, 1, None] * len(faces.vertices) + faces.edges[whole]).ravel()
    )
    joined = np.column_stack([a[real], b[real]])
    names, index = np.unique(components(joined, len(copies)), return_inverse=True)
    return len(names), index[np.searchsorted(copies, face[:, None] * len(faces.vertices) + triangles)]


def _neighbours(faces: Faces, shown: Bools, triangles: Ints) -> Ints | None:
    """Neighbours (m, 3) of each triangle (m, 3) with cuts left open; None when there is no cut and shared vertices tell."""
    if not faces.cut.any():
        return None
    across = neighbours_of(triangles)
    across[_cut_sides(faces, shown)] = -1
    return across


def _cut_sides(faces: Faces, shown: Bools) -> Bools:
    """(m, 3) the sides of the shown triangles that are slit."""
    width = len(faces.vertices)
    lips = faces.edges[faces.cut]
    keys = lips.min(axis=1) * width + lips.max(axis=1)
    tail, head = faces.triangles[shown], np.roll(faces.triangles[shown], -1, axis=1)
    return np.isin(np.minimum(tail, head) * width + np.maximum(tail, head), keys)
