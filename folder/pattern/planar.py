"""What can be said of a drawing while it lies flat: lines that leave the sheet, stop short, contradict or crowd each other."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from folder.findings import Finding, Point, Remedy, Stroke
from folder.geometry.plane import clip_to_box
from folder.geometry.space import Bools, Floats, Ints
from folder.pattern.corner import to_sheet_edge
from folder.pattern.faces.cluster import clusters_of, fan_of_cluster, hairs, lengths
from folder.pattern.faces.faces import Faces
from folder.pattern.faces.snap import complex_of
from folder.pattern.pattern import Crease, Pattern
from folder.units import TOLERANCES

_SNAP = TOLERANCES.snap_mm
_STEP_RAD = math.pi / 1800.0


def planar_findings(pattern: Pattern, faces: Faces) -> list[Finding]:
    """Every planar finding of a pattern."""
    return [
        *_off_sheet(pattern),
        *_dots(pattern),
        *_stops_short(pattern, faces),
        *_lone_lines(faces),
        *_two_senses(pattern, faces),
        *_too_close(pattern),
    ]


def _point(xy: Floats) -> Point:
    """A place (2,) mm as numbers."""
    return (float(xy[0]), float(xy[1]))


def stroke(crease: Crease, start: Point, end: Point) -> Stroke:
    """A crease's line between two other places, as a remedy would add it."""
    return Stroke(start, end, crease.sense, crease.turn_rad)


def _off_sheet(pattern: Pattern) -> Iterator[Finding]:
    width, height = pattern.sheet.width_mm, pattern.sheet.height_mm
    for index, crease in enumerate(pattern.creases):
        if crease.sense == "guide":
            continue
        outside = [p for p in (crease.start, crease.end) if not _within(p, width, height)]
        if not outside:
            continue
        inside = _clipped(crease.start, crease.end, width, height)
        far = max(_overshoot(p, width, height) for p in outside)
        yield Finding(
            "off-sheet", "stop", outside[0], "This line runs off the sheet.", f"It leaves the sheet by {far:.1f} mm.",
            Remedy("Stop the line at the edge of the sheet.", (index,), (stroke(crease, *inside),)) if inside
            else Remedy("Take the line away.", (index,)),
        )  # fmt: skip


def _overshoot(p: Point, width: float, height: float) -> float:
    return max(-p[0], p[0] - width, -p[1], p[1] - height)


def _within(p: Point, width: float, height: float) -> bool:
    return _overshoot(p, width, height) <= _SNAP


def _clipped(start: Point, end: Point, width: float, height: float) -> tuple[Point, Point] | None:
    """The part of a line that lies on the sheet, or None."""
    inside = clip_to_box(start, end, (0.0, 0.0), (width, height))
    if inside is None or (inside[1] - inside[0]) * math.dist(start, end) <= _SNAP:
        return None
    ends = [(start[0] + t * (end[0] - start[0]), start[1] + t * (end[1] - start[1])) for t in inside]
    a, b = ((min(max(x, 0.0), width), min(max(y, 0.0), height)) for x, y in ends)
    return a, b


def _dots(pattern: Pattern) -> Iterator[Finding]:
    for index, crease in enumerate(pattern.creases):
        if crease.sense != "guide" and crease.length_mm <= _SNAP:
            yield Finding(
                "stops-short", "stop", crease.start, "This line is only a dot.", f"It is {crease.length_mm:.3f} mm long.",
                Remedy("Take the dot away.", (index,)),
            )  # fmt: skip


def _stops_short(pattern: Pattern, faces: Faces) -> Iterator[Finding]:
    if not len(faces.dangling):
        return
    width, height = pattern.sheet.width_mm, pattern.sheet.height_mm
    uses = np.bincount(np.concatenate([faces.edges.ravel(), faces.dangling[:, :2].ravel()]), minlength=len(faces.vertices))
    for index in sorted(set(faces.dangling[:, 2].tolist())):
        crease = pattern.creases[index]
        if index < 0 or crease.sense == "cut":
            continue
        parts = faces.vertices[faces.dangling[faces.dangling[:, 2] == index][:, :2]]
        tips = [
            _point(faces.vertices[v])
            for v in sorted(set(faces.dangling[faces.dangling[:, 2] == index, :2].ravel().tolist()))
            if uses[v] == 1
        ]
        tips = [tip for tip in tips if _within(tip, width, height)]
        if not tips and any(_overshoot(_point(p), width, height) > _SNAP for p in parts.reshape(-1, 2)):
            continue  # the loose part lies outside the sheet: off-sheet says so
        at = tips[0] if tips else _point(parts[0].mean(axis=0))
        loose = float(np.hypot(*(parts[:, 1] - parts[:, 0]).T).sum())
        yield Finding(
            "stops-short", "stop", at, "This fold stops in the middle of the sheet. A fold must run on to an edge or another fold.",
            f"{loose:.1f} mm of the line end in mid-sheet.", _led_on_or_trimmed(pattern, faces, index, tips),
        )  # fmt: skip


def _led_on_or_trimmed(pattern: Pattern, faces: Faces, index: int, tips: list[Point]) -> Remedy:
    """Lead a wholly loose line on to the sheet's edge when nothing is in its way; else take its loose part away."""
    crease = pattern.creases[index]
    width, height = pattern.sheet.width_mm, pattern.sheet.height_mm
    kept = faces.vertices[faces.edges[faces.crease == index]].reshape(-1, 2)
    if not len(kept):
        back = (crease.start[0] - crease.end[0], crease.start[1] - crease.end[1])
        ahead = (-back[0], -back[1])
        start = to_sheet_edge(crease.start, back, width, height) if crease.start in tips else crease.start
        end = to_sheet_edge(crease.end, ahead, width, height) if crease.end in tips else crease.end
        if (len(tips) == 2 or (_on_sheet_edge(start, width, height) and _on_sheet_edge(end, width, height))) and not _crossed(
            faces, start, end
        ):
            return Remedy("Lead the line on to the edge of the sheet.", (index,), (stroke(crease, start, end),))
        return Remedy("Take the line away.", (index,))
    along = (kept - np.array(crease.start)) @ (np.array(crease.end) - np.array(crease.start))
    ends = (_point(kept[along.argmin()]), _point(kept[along.argmax()]))
    return Remedy("Stop the line at the last fold it meets.", (index,), (stroke(crease, *ends),))


def _on_sheet_edge(p: Point, width: float, height: float) -> bool:
    return abs(_overshoot(p, width, height)) <= _SNAP


def _crossed(faces: Faces, start: Point, end: Point) -> bool:
    """Some crease lies in the way between two places."""
    folded = faces.edges[faces.crease >= 0]
    a, b = faces.vertices[folded[:, 0]], faces.vertices[folded[:, 1]]
    p, q = np.array(start), np.array(end)

    def side(u: Floats, v: Floats, w: Floats) -> Floats:
        """On which side of u -> v (..., 2) places w (..., 2) lie: -1, 0 or 1, (...,)."""
        return np.sign((v - u)[..., 0] * (w - u)[..., 1] - (v - u)[..., 1] * (w - u)[..., 0])

    return bool(((side(a, b, p) * side(a, b, q) <= 0) & (side(p, q, a) * side(p, q, b) <= 0)).any())


def _lone_lines(faces: Faces) -> Iterator[Finding]:
    for vertex, count in zip(*lone_vertices(faces), strict=True):
        lines = "one fold ends" if count == 1 else "two folds meet"
        yield Finding(
            "lone-line", "stop", _point(faces.vertices[vertex]),
            f"Here {lines} with nothing to help {'it' if count == 1 else 'them'}: the sheet cannot bend like that.",
            f"{count} turning crease(s) at an inner point, not one straight line; it takes at least four.",
        )  # fmt: skip


def lone_vertices(faces: Faces) -> tuple[list[int], list[int]]:
    """Inner vertices with fewer than three turning creases that are not one straight line, and how many they have.

    A vertex that a rounded drawing sets a hair apart from others is none where all of them together are none.
    """
    turns = faces.joined & (faces.free | (np.abs(faces.turn) > TOLERANCES.flat_rad))
    folding = np.nonzero(turns)[0]
    degree = np.bincount(faces.edges[folding].ravel(), minlength=len(faces.vertices))
    few = faces.inner & (degree > 0) & (degree < 3)
    hair = hairs(lengths(faces))
    vertices, counts = [], []
    for vertex in np.nonzero(few)[0].tolist():
        at_vertex = faces.edges[folding][(faces.edges[folding] == vertex).any(axis=1)]
        ahead = faces.vertices[at_vertex.sum(axis=1) - vertex] - faces.vertices[vertex]
        if not _is_straight(np.arctan2(ahead[:, 1], ahead[:, 0])) and not _helped(faces, vertex, turns, hair):
            vertices.append(vertex)
            counts.append(len(ahead))
    return vertices, counts


def _helped(faces: Faces, vertex: int, turns: Bools, hair: tuple[Bools, Bools]) -> bool:
    """The vertices a hair away make of a lone vertex one that may fold. `turns` (e,), `hair` (e,) twice."""
    for cluster, short in clusters_of(faces, vertex, hair):
        edges, direction = fan_of_cluster(faces, cluster, short)
        bent = direction[turns[edges]]
        if not faces.inner[list(cluster)].all() or len(bent) >= 3 or _is_straight(bent):
            return True
    return False


def _is_straight(direction: Floats) -> bool:
    """Two creases that leave in these directions (n,) rad are one line, to within what snapping may bend it."""
    return (
        len(direction) == 2 and math.cos(direction[1] - direction[0]) < 0.0 and abs(math.sin(direction[1] - direction[0])) < 0.02
    )


def _two_senses(pattern: Pattern, faces: Faces) -> Iterator[Finding]:
    for first, second in faces.overlaps.tolist():
        a, b = pattern.creases[first], pattern.creases[second]
        if (a.sense, a.turn_rad) == (b.sense, b.turn_rad):
            continue
        edge = faces.vertices[faces.edges[faces.crease == first]]
        on_second = np.abs(_offsets(edge.mean(axis=1), b)) <= 2 * _SNAP
        at = _point(edge[on_second][0].mean(axis=0)) if on_second.any() else a.start
        yield Finding(
            "two-senses", "stop", at, "Two lines lie on top of each other and want different folds.",
            f"One is {_in_words(a)}, the other {_in_words(b)}.", _longer_kept(first, a, second, b),
        )  # fmt: skip


def _longer_kept(first: int, a: Crease, second: int, b: Crease) -> Remedy:
    """Keep the longer line, which others lean on; of two alike the one that was drawn last."""
    if a.length_mm > b.length_mm + _SNAP:
        return Remedy(f"Take the shorter line away: {_in_words(b)}.", (second,))
    return Remedy(f"Take this line away: {_in_words(a)}.", (first,))


def _in_words(crease: Crease) -> str:
    turn = "free" if crease.turn_rad is None else f"{math.degrees(crease.turn_rad):.1f} deg"
    return f"{crease.sense}, {turn}"


def _offsets(points: Floats, crease: Crease) -> Floats:
    """Signed distances of points (n, 2) from a crease's line, mm."""
    along = (np.array(crease.end) - np.array(crease.start)) / crease.length_mm
    away = points - np.array(crease.start)
    return along[0] * away[:, 1] - along[1] * away[:, 0]


def _too_close(pattern: Pattern) -> Iterator[Finding]:
    drawn = [i for i, c in enumerate(pattern.creases) if c.sense != "guide" and c.length_mm > _SNAP]
    if len(drawn) < 2:
        return
    ends = np.array([(pattern.creases[i].start, pattern.creases[i].end) for i in drawn])
    for i, j, gap in zip(*close_parallels(ends), strict=True):
        middle = ends[[i, j]].reshape(-1, 2).mean(axis=0)
        yield Finding(
            "too-close", "warn", _point(middle), "These two folds are very close together: hard for fingers.",
            f"{gap:.1f} mm apart; {TOLERANCES.too_close_mm:.0f} mm or more folds well.",
        )  # fmt: skip


def close_parallels(ends: Floats, below_mm: float = TOLERANCES.too_close_mm) -> tuple[list[int], list[int], list[float]]:
    """Parallel lines (n, 2, 2) that run beside each other closer than so much, with the gap in mm.

    Each line is paired with its nearest on one side, not with all that lie beyond.
    """
    start, end = complex_of(ends).T
    # Directions are compared in steps of a tenth of a degree, half a turn being none.
    heading = np.rint(np.angle(end - start) / _STEP_RAD).astype(np.int64) % 1800
    back = np.exp(-1j * _STEP_RAD * heading)
    start, end = start * back, end * back
    offset = (start.imag + end.imag) / 2.0
    low, high = np.minimum(start.real, end.real), np.maximum(start.real, end.real)
    order = np.lexsort((offset, heading))
    firsts: list[Ints] = []
    seconds: list[Ints] = []
    alone = np.ones(len(ends), dtype=np.bool_)
    for k in range(1, len(ends)):
        i, j = order[:-k], order[k:]
        apart = offset[j] - offset[i]
        near = alone[i] & (heading[i] == heading[j]) & (apart < below_mm)
        if not np.count_nonzero(near):
            break
        near &= apart > 2 * _SNAP
        if not np.count_nonzero(near):
            continue
        hit = near & (np.minimum(high[i], high[j]) - np.maximum(low[i], low[j]) > 1.0)
        alone[i[hit]] = False
        firsts.append(i[hit])
        seconds.append(j[hit])
    if not firsts:
        return [], [], []
    first, second = np.concatenate(firsts), np.concatenate(seconds)
    return first.tolist(), second.tolist(), (offset[second] - offset[first]).tolist()
