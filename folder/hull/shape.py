"""What the hull's shape says: its measures, and the findings about floor, walls and edge line."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from msgspec import Struct

from folder.findings import Finding, Point
from folder.fold.place import Folded
from folder.geometry.soup import moments_below
from folder.hull.footprint import outline_of, smallest_rectangle
from folder.hull.hull import Hull
from folder.hull.wall import OPEN_MM
from folder.hull.weight import foil_mass_g
from folder.pattern.pattern import Pattern
from folder.units import TOLERANCES

LEAST_FLOOR_MM2 = 25.0
"""A floor smaller than a small button carries nothing (common practice)."""

EDGE_ON_FLOOR = "The edge of the sheet comes down to the floor here: water comes straight in."

WALLS_AWAY = "The walls fold away from you, so none stands here. Turn the sheet over: mountains become valleys."

EVEN_MM = 0.5
"""Walls that differ by less are one height: what a careful pair of hands folds (common practice)."""

_NEARLY_LEVEL = np.cos(np.radians(15.0))


class Measures(Struct, frozen=True):
    """What a hull measures. Heights are over the floor."""

    floor_area_mm2: float
    wall_height_mm: float
    """The lowest place of the lowest wall."""
    wall_height_most_mm: float
    """The highest place of the highest wall."""
    rim_height_mm: float
    volume_mm3: float
    """What it displaces with the water at the rim."""
    foil_mass_g: float
    floor_layers: int
    """Fewest layers of foil anywhere on the floor."""
    floor_layers_most: int
    faces: int
    creases: int
    footprint_mm: tuple[float, float]
    """Length and width of the smallest rectangle that holds the folded hull, flaps and all; zeros where it does not fold."""


def measures_of(pattern: Pattern, folded: Folded, hull: Hull | None, *, folds: bool = True) -> Measures:
    """The measures of a hull, as far as there is one. What does not fold has no walls, no rim and no volume."""
    sheet = pattern.sheet
    walls = hull.wall_heights if hull and folds else np.empty((0, 3))
    return Measures(
        floor_area_mm2=hull.cover.area_mm2 if hull else 0.0,
        wall_height_mm=float(walls[:, 0].min()) if len(walls) else 0.0,
        wall_height_most_mm=float(walls[:, 2].max(initial=0.0)),
        rim_height_mm=hull.rim_height_mm if hull and folds else 0.0,
        volume_mm3=max(0.0, hull.volume_mm3) if hull and folds else 0.0,
        foil_mass_g=foil_mass_g(sheet.width_mm * sheet.height_mm, sheet.thickness_um),
        floor_layers=hull.cover.layers_least if hull else 0,
        floor_layers_most=hull.cover.layers_most if hull else 0,
        faces=folded.faces.count,
        creases=sum(c.sense in ("valley", "mountain") for c in pattern.creases),
        footprint_mm=smallest_rectangle(outline_of(hull)) if hull and folds else (0.0, 0.0),
    )


def hull_findings(hull: Hull | None, pattern: Pattern) -> list[Finding]:
    """The findings about floor, walls and edge line of a sheet that folds."""
    missing = floor_missing(hull, pattern)
    return missing if missing or hull is None else [*_floor(hull), *_edge(hull)]


def floor_missing(hull: Hull | None, pattern: Pattern) -> list[Finding]:
    """A stop where there is no floor."""
    if hull is not None and hull.cover.area_mm2 >= LEAST_FLOOR_MM2:
        return []
    area = hull.cover.area_mm2 if hull else 0.0
    text = "There is no flat floor here to put a load on."
    return [Finding("no-floor", "stop", pattern.floor_at, text, f"{area:.0f} mm2 of floor.")]


def sealed_mm3(hull: Hull, finding: Finding) -> float | None:
    """What the hull would displace if a finding about its edge line were put right; None for any other finding.

    As if all seams were taped, and all the edge were as high as the walls are on average: what one wall gains another
    loses. Where a side has no wall there is nothing to compare with.
    """
    walls = hull.wall_heights
    if finding.code not in ("edge-dips", "open-seam", "cut-drawn") or not len(walls) or hull.open_sides:
        return None
    joined = hull.seams.joined_mm if hull.seams.needs_tape else float(walls[:, 0].min())
    level = np.array([hull.mean_wall_mm if finding.code == "edge-dips" else joined])
    moments = moments_below(hull.skin.soup, np.array([[0.0, 0.0, 1.0]]), level)[0]
    return float(level[0] * moments[0, 0] - moments[0, 3])


def _floor(hull: Hull) -> Iterator[Finding]:
    faces = hull.folded.faces
    if hull.cover.parts > 1:
        yield Finding(
            "floor-breaks", "warn", _middle(hull, int(np.nonzero(hull.floor_faces)[0][-1])),
            "The floor is in more than one piece.", f"{hull.cover.parts} pieces that do not touch.",
        )  # fmt: skip
    touching = faces.joined & (hull.floor_faces[faces.sides].sum(axis=1) == 1)
    beside = sorted(set(faces.sides[touching].ravel().tolist()))
    leaning = [f for f in beside if not hull.floor_faces[f] and hull.folded.normals[f, 2] > _NEARLY_LEVEL]
    for face in leaning:
        tilt = np.degrees(np.arccos(min(1.0, hull.folded.normals[face, 2])))
        text = "This part of the floor is not level: things will slide."
        yield Finding("floor-breaks", "warn", _middle(hull, face), text, f"{tilt:.1f} deg from level.")


def _middle(hull: Hull, face: int) -> Point:
    x, y = hull.folded.faces.vertices[hull.folded.faces.outer_ring(face)].mean(axis=0)
    return (float(x), float(y))


def _edge(hull: Hull) -> Iterator[Finding]:
    rim, seams = hull.rim_height_mm, hull.seams
    if seams.needs_tape:
        text = "Here two edges meet but nothing joins them: water comes in unless it is taped, and tape is not allowed."
        below = f"{seams.length_below_mm(seams.joined_mm):.1f} mm of open edge lie below {seams.joined_mm:.1f} mm"
        places = tuple(sheet_place(hull, vertex) for vertex in seams.lowest)
        yield Finding("open-seam", "stop", places[0], text, f"{below}; the rim is {rim:.1f} mm.", places=places)
    sides = hull.open_sides
    away = len(hull.wall_heights) and not hull.wall_heights.any()
    text = WALLS_AWAY if away else "No wall stands on this side: water comes straight in."
    for side in sides:
        detail = f"The wall is {side.wall_mm:.1f} mm high on a side of {side.length_mm:.1f} mm."
        yield Finding("open-side", "stop", side.at, text, detail)
    if seams.needs_tape or sides:
        return
    if rim < OPEN_MM:
        yield Finding("open-side", "stop", _dip(hull), EDGE_ON_FLOOR, f"The rim is {rim:.1f} mm.")
        return
    if hull.mean_wall_mm > rim + EVEN_MM:
        text = "The edge is lower here than elsewhere: the water comes in here first."
        yield Finding(
            "edge-dips", "note", _dip(hull), text, f"{rim:.1f} mm high here, the walls {hull.mean_wall_mm:.1f} mm on average."
        )


def _dip(hull: Hull) -> Point:
    """The place on the flat sheet where water comes in first: on the edge line itself where that is as low as the rim."""
    height, vertex = hull.rim
    low = np.nonzero(hull.skin.on_edge & (np.abs(hull.skin.vertices[:, 2] - height) < TOLERANCES.level_mm))[0]
    return sheet_place(hull, int(low[0]) if len(low) and not hull.skin.on_edge[vertex] else vertex)


def sheet_place(hull: Hull, vertex: int) -> Point:
    """Where a vertex of the skin lies on the flat sheet, mm."""
    triangle, corner = (int(i[0]) for i in np.nonzero(hull.skin.triangles == vertex))
    shown = np.nonzero(hull.folded.placed[hull.folded.faces.triangle_face])[0]
    x, y = hull.folded.faces.vertices[hull.folded.faces.triangles[shown[triangle], corner]]
    return (float(x), float(y))
