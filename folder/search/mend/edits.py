"""Small changes that are tried first: a fold turned the other way or to another turn, corners folded, what a finding proposes.

Each is a sentence and the pattern with it. They come as they are asked for: to propose costs little, to study them more.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

from msgspec.structs import replace

from folder.findings import Finding, Point, Remedy, Report
from folder.fold.remedy import with_remedies
from folder.pattern.construct import Mirror, mirrored
from folder.pattern.edit import SHORTEST_MM, apply_remedy, floor_corners, with_creases
from folder.pattern.faces.faces import faces_of
from folder.pattern.flap import flap_at
from folder.pattern.pattern import Crease, Pattern, Sheet
from folder.pattern.reading.words import number_words
from folder.studies import Study
from folder.units import TOLERANCES

Proposal = tuple[str, Pattern]
ALL_CORNERS = "Fold all corners."
_MOST_SINGLE = 12
"""Drawings with more folds than this are not turned over fold by fold."""
_MOST_MIRRORED = 100
"""A drawing with more lines than this is a scribble: nobody has drawn half of it."""
_SQUARE_RAD = math.pi / 2.0
_WALL_SHARE = 0.3
_SAME_MM = 3.0
"""Mirror images nearer than this are meant to be the same line."""


def small_edits(made: Study) -> Iterator[Proposal]:
    """Small changes of a drawing, likely ones first."""
    pattern = made.pattern
    yield from completed(pattern)
    yield from turned_up(pattern)
    yield from squared(pattern)
    if folded := with_all_corners(pattern):
        yield ALL_CORNERS, folded
    yield from _other_way(pattern)


def proposed(made: Study) -> Iterator[Proposal]:
    """What the findings themselves propose, each once."""
    proposals: list[Remedy] = []
    for finding in point_report(made).stops:
        remedy = finding.remedy
        if remedy is not None and remedy not in proposals:
            proposals.append(remedy)
            yield _words(finding, remedy), apply_remedy(made.pattern, remedy)


def point_report(made: Study) -> Report:
    """The report of a drawing, with a remedy tried out for each point that does not close."""
    if made.folds:
        return made.report
    return Report.of(with_remedies(made.pattern, made.folded, made.fold_findings)).merged()


def _words(finding: Finding, remedy: Remedy) -> str:
    """The remedy's own words."""
    return remedy.text if remedy.text else finding.text


def completed(pattern: Pattern) -> Iterator[Proposal]:
    """A drawing that is only half there, with the mirror images of its lines where there is no line yet."""
    for images in IMAGES if len(pattern.creases) <= _MOST_MIRRORED else ():
        lines = list(pattern.creases)
        for crease in pattern.creases:
            for image in images(pattern.sheet, crease):
                lines += _uncovered(image, lines)
        n = len(lines) - len(pattern.creases)
        if pattern.creases and n:
            yield f"Draw {missing_lines(n)}, as on the other side.", with_creases(pattern, lines)


def missing_lines(n: int) -> str:
    """So many lines, in words."""
    return "the missing line" if n == 1 else f"the {number_words(n, 'missing line').removeprefix('the ')}"


def _half_turned(sheet: Sheet, crease: Crease) -> tuple[Crease, ...]:
    """The image of a line on a sheet turned by half a turn: what hulls with a flap on every wall have."""

    def put(p: Point) -> Point:
        return (sheet.width_mm - p[0], sheet.height_mm - p[1])

    return (replace(crease, start=put(crease.start), end=put(crease.end)),)


def _mirror_images(mirror: Mirror) -> Callable[[Sheet, Crease], tuple[Crease, ...]]:
    return lambda sheet, crease: mirrored(sheet, crease, mirror)[1:]


IMAGES = (_mirror_images("left-right"), _mirror_images("top-bottom"), _half_turned, _mirror_images("four"))
"""Every mirror of the sheet: what gives the images of a line."""


def _uncovered(crease: Crease, lines: Sequence[Crease]) -> list[Crease]:
    """What is left of a line where none lies along it yet, or nearly so: no two lines are laid on each other."""
    if crease.length_mm < SHORTEST_MM:
        return []
    start, size = complex(*crease.start), crease.length_mm
    unit = (complex(*crease.end) - start) / size
    covered = []
    for line in lines:
        first, last = ((complex(*p) - start) * unit.conjugate() for p in (line.start, line.end))
        if max(abs(first.imag), abs(last.imag)) < _SAME_MM:
            covered.append(tuple(sorted((first.real, last.real))))
    left, at = [], 0.0
    for low, high in sorted((*covered, (size, size))):
        if min(low, size) - at > _SAME_MM:
            left.append((at, min(low, size)))
        at = max(at, high)
    if left == [(0.0, size)]:
        return [crease]
    places = [(start + a * unit, start + b * unit) for a, b in left]
    return [replace(crease, start=(p.real, p.imag), end=(q.real, q.imag)) for p, q in places]


def _is_wall(crease: Crease, pattern: Pattern) -> bool:
    """A long line that stands up: not one that is folded flat."""
    side = min(pattern.sheet.width_mm, pattern.sheet.height_mm)
    turns = crease.turn_rad is not None and TOLERANCES.flat_rad < crease.turn_rad
    return crease.sense in ("valley", "mountain") and turns and crease.length_mm >= _WALL_SHARE * side


def turned_up(pattern: Pattern) -> Iterator[Proposal]:
    """Walls that fold away from you turned up, all at once."""
    away = [i for i, c in enumerate(pattern.creases) if _is_wall(c, pattern) and c.sense == "mountain"]
    if away:
        yield f"Turn {all_of(away)} the other way.", _with_sense(pattern, away, "valley")
    folding = [i for i, c in enumerate(pattern.creases) if c.sense in ("valley", "mountain")]
    if away and len(folding) > len(away):
        yield "Turn every fold the other way.", _flipped(pattern, folding)


def squared(pattern: Pattern) -> Iterator[Proposal]:
    """Walls that stand askew turned to 90 degrees, all at once; and all to the turn that most of them have."""
    walls = {i: c.turn_rad for i, c in enumerate(pattern.creases) if _is_wall(c, pattern) and c.turn_rad is not None}
    turns = list(walls.values())
    if not turns:
        return
    usual = max(turns, key=lambda t: (turns.count(t), -abs(t - _SQUARE_RAD)))
    for turn in dict.fromkeys((usual, _SQUARE_RAD)):
        off = [i for i, t in walls.items() if abs(t - turn) > 1e-9]
        if off:
            creases = [replace(c, turn_rad=turn) if i in off else c for i, c in enumerate(pattern.creases)]
            yield f"Fold {all_of(off)} to {math.degrees(turn):g} degrees.", with_creases(pattern, creases)


def all_of(walls: Sequence[int]) -> str:
    """So many walls, in words."""
    return f"all {number_words(len(walls), 'wall').removeprefix('the ')}" if len(walls) > 2 else number_words(len(walls), "wall")


def _with_sense(pattern: Pattern, chosen: Sequence[int], sense: str) -> Pattern:
    creases = [
        replace(c, sense="valley" if sense == "valley" else "mountain") if i in chosen else c
        for i, c in enumerate(pattern.creases)
    ]
    return with_creases(pattern, creases)


def _flipped(pattern: Pattern, chosen: Sequence[int]) -> Pattern:
    def flipped(c: Crease) -> Crease:
        return replace(c, sense="mountain" if c.sense == "valley" else "valley")

    return with_creases(pattern, [flipped(c) if i in chosen else c for i, c in enumerate(pattern.creases)])


def _other_way(pattern: Pattern) -> Iterator[Proposal]:
    """One fold turned the other way."""
    folding = [i for i, c in enumerate(pattern.creases) if c.sense in ("valley", "mountain")]
    for i in folding if len(folding) <= _MOST_SINGLE else ():
        yield "Turn this fold the other way.", _flipped(pattern, [i])


def with_all_corners(pattern: Pattern) -> Pattern | None:
    """The pattern with every corner of its floor folded to a flap; None where there is no corner to fold."""
    faces = faces_of(pattern)
    places = [faces.vertices[v] for v in floor_corners(faces)]
    made = pattern
    for k, place in enumerate(places):
        faces = faces_of(made)
        corners = floor_corners(faces)
        vertex = next((v for v in corners if abs(faces.vertices[v] - place).max() < 1e-6), None)
        remedy = None if vertex is None else flap_at(made, faces, vertex, faces.root, k % 2 == 1)
        if remedy is not None:
            made = apply_remedy(made, remedy)
    return None if made is pattern else made
