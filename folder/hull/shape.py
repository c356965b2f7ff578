"""What the hull's shape says: its measures, and the findings about floor, walls and edge line."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from msgspec import Struct

from folder.findings import Finding, Point
from folder.fold.place import Folded
from folder.geometry.soup import moments_below
from folder.hull.hull import Hull
from folder.pattern.pattern import Pattern
from folder.pattern.planar import close_parallels
from folder.units import FOIL_DENSITY_G_PER_CM3, MM3_PER_CM3, TOLERANCES

LEAST_FLOOR_MM2 = 25.0
"""A floor smaller than a small button carries nothing (common practice)."""

EVEN_MM = 0.5
"""Walls that differ by less are one height: what a careful pair of hands folds (common practice)."""

EDGE_CODES = ("floor-breaks", "edge-dips", "open-seam")
"""Findings that mean something only once the sheet folds."""

_NEARLY_LEVEL = np.cos(np.radians(15.0))


class Measures(Struct, frozen=True):
    """What a hull measures. Heights are over the floor."""

    floor_area_mm2: float
    wall_height_mm: float
    """The lowest wall."""
    wall_height_most_mm: float
    """The highest wall."""
    rim_height_mm: float
    volume_mm3: float
    """What it displaces with the water at the rim."""
    foil_mass_g: float
    floor_layers: int
    """Fewest layers of foil anywhere on the floor."""
    floor_layers_most: int
    faces: int
    creases: int


class Difficulty(Struct, frozen=True):
    """How hard a pattern is to fold."""

    creases: int
    turns: int
    """How many different turns the hands have to judge."""
    smallest_spacing_mm: float | None
    """Smallest distance between parallel creases that are hard for fingers; None when all are wide apart."""


def difficulty_of(pattern: Pattern) -> Difficulty:
    """How hard a pattern is to fold."""
    turning = [c for c in pattern.creases if c.sense in ("valley", "mountain")]
    gaps = close_parallels(np.array([(c.start, c.end) for c in turning]))[2] if len(turning) > 1 else []
    return Difficulty(len(turning), len({c.turn_rad for c in turning}), min(gaps) if gaps else None)


def measures_of(pattern: Pattern, folded: Folded, hull: Hull | None) -> Measures:
    """The measures of a hull, as far as there is one."""
    sheet = pattern.sheet
    volume = sheet.width_mm * sheet.height_mm * sheet.thickness_um / 1000.0
    walls = hull.wall_heights if hull else np.empty(0)
    return Measures(
        floor_area_mm2=hull.cover.area_mm2 if hull else 0.0,
        wall_height_mm=float(walls.min(initial=np.inf)) if len(walls) else 0.0,
        wall_height_most_mm=float(walls.max(initial=0.0)),
        rim_height_mm=hull.rim_height_mm if hull else 0.0,
        volume_mm3=max(0.0, hull.volume_mm3) if hull else 0.0,
        foil_mass_g=volume * FOIL_DENSITY_G_PER_CM3 / MM3_PER_CM3,
        floor_layers=hull.cover.layers_least if hull else 0,
        floor_layers_most=hull.cover.layers_most if hull else 0,
        faces=folded.faces.count,
        creases=sum(c.sense in ("valley", "mountain") for c in pattern.creases),
    )


def hull_findings(hull: Hull | None, pattern: Pattern) -> list[Finding]:
    """The findings about floor, walls and edge line."""
    if hull is None or hull.cover.area_mm2 < LEAST_FLOOR_MM2:
        area = hull.cover.area_mm2 if hull else 0.0
        return [
            Finding(
                "no-floor",
                "stop",
                pattern.floor_at,
                "There is no flat floor here to put a load on.",
                f"{area:.0f} mm2 of floor.",
            )
        ]
    return [*_floor(hull), *_edge(hull)]


def needs_tape(hull: Hull) -> bool:
    """The edge line dips below the rim that the walls could give."""
    return bool(len(hull.wall_heights)) and hull.rim_height_mm < float(hull.wall_heights.min()) - EVEN_MM


def sealed_mm3(hull: Hull, finding: Finding) -> float | None:
    """What the hull would displace if a finding about its edge line were put right; None for any other finding.

    As if all seams were taped, and what is too low were as high as the walls.
    """
    if finding.code not in ("edge-dips", "open-seam", "cut-drawn") or not len(hull.wall_heights):
        return None
    walls = hull.wall_heights
    level = np.array([walls.max() if finding.code == "edge-dips" else walls.min()])
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
    rim, walls = hull.rim_height_mm, hull.wall_heights
    wall, highest = (float(walls.min()), float(walls.max())) if len(walls) else (0.0, 0.0)
    uneven = wall > EVEN_MM and highest > wall + EVEN_MM
    if wall > EVEN_MM and rim >= wall - EVEN_MM and not uneven:
        return
    at = sheet_place(hull, _dip(hull))
    if wall <= EVEN_MM:
        text = "Nothing stands up round the floor, so water comes straight in."
        yield Finding("edge-dips", "warn", at, text, f"The wall is {wall:.1f} mm high. Do the walls fold toward you?")
    elif rim < wall - EVEN_MM:
        length = open_seam_mm(hull, wall)
        if length > 0.0:
            text = "Here two edges meet but nothing joins them: water comes in unless it is taped, and tape is not allowed."
            yield Finding(
                "open-seam",
                "stop",
                at,
                text,
                f"{length:.1f} mm of open edge lie below the walls' {wall:.1f} mm; the rim is {rim:.1f} mm.",
            )
        else:
            text = "The edge of the sheet dips here, below the walls."
            yield Finding("edge-dips", "warn", at, text, f"{rim:.1f} mm high here, the walls {wall:.1f} mm.")
    if uneven:
        text = "One wall is lower than the others: the water comes in there first."
        yield Finding("edge-dips", "warn", at, text, f"{wall:.1f} mm against {highest:.1f} mm.")


def _dip(hull: Hull) -> int:
    """The vertex of the skin where water comes in first: on the edge line itself where that is as low as the rim."""
    height, vertex = hull.rim
    low = np.nonzero(hull.skin.on_edge & (np.abs(hull.skin.vertices[:, 2] - height) < TOLERANCES.level_mm))[0]
    return int(low[0]) if len(low) and not hull.skin.on_edge[vertex] else vertex


def open_seam_mm(hull: Hull, below_mm: float) -> float:
    """Length of the lips of all cuts that lie lower than a height, each cut counted once, mm."""
    faces, folded = hull.folded.faces, hull.folded
    total = 0.0
    for edge in np.nonzero(faces.cut)[0]:
        ends = faces.vertices[faces.edges[edge]]
        longest = 0.0
        for side in faces.sides[edge]:
            if side >= 0 and folded.placed[side]:
                z = ends @ folded.motions[side, 2, :2] + folded.motions[side, 2, 3]
                longest = max(longest, _share_below(float(z[0]), float(z[1]), below_mm))
        total += longest * float(np.hypot(*(ends[1] - ends[0])))
    return total


def _share_below(a: float, b: float, level: float) -> float:
    """Which share of a straight edge between two heights lies below a level."""
    low, high = min(a, b), max(a, b)
    if high <= level:
        return 1.0
    return 0.0 if low >= level else (level - low) / (high - low)


def sheet_place(hull: Hull, vertex: int) -> Point:
    """Where a vertex of the skin lies on the flat sheet, mm."""
    triangle, corner = (int(i[0]) for i in np.nonzero(hull.skin.triangles == vertex))
    shown = np.nonzero(hull.folded.placed[hull.folded.faces.triangle_face])[0]
    x, y = hull.folded.faces.vertices[hull.folded.faces.triangles[shown[triangle], corner]]
    return (float(x), float(y))
