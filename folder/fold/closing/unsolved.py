"""Free turns that could not be found, and free turns that anything suits: what is said about them.

in the way   a given turn that keeps the free ones from closing a vertex: with another turn there, they would
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from msgspec import Struct

from folder.findings import Finding, Point, Remedy, Stroke
from folder.fold.closing.linkage import linkage
from folder.fold.closing.opening import openings
from folder.fold.closing.solve import Solution
from folder.fold.place import folded
from folder.fold.vertex import Fans, misfits
from folder.geometry.graph import components
from folder.geometry.space import Ints, distinct
from folder.pattern.faces.faces import Faces
from folder.pattern.pattern import Crease
from folder.units import DEG_PER_RAD, TOLERANCES

MOST_FINDINGS = 8
"""Points named in one report."""

MOST_EFFORT = 1e8
"""A sheet that takes more multiplications a step gets no remedy for its open folds: trying one out would take too long."""

ANY_ANGLE = "any-angle"
"""The code of the note that a flap may have any angle."""


class InTheWay(Struct, frozen=True):
    """A given turn that stands in the way, and the turn that would not."""

    crease: int
    needed_rad: float
    """Signed: valley positive."""


def unsolved_findings(faces: Faces, creases: Sequence[Crease], solution: Solution) -> list[Finding]:
    """A stop for each point that its free folds cannot close, a note for each flap that any angle suits."""
    return [*_stuck(faces, creases, solution), *_free_flaps(faces, solution)]


def _stuck(faces: Faces, creases: Sequence[Crease], solution: Solution) -> Iterator[Finding]:
    loose = (solution.fans.real & faces.free[solution.fans.edge]).any(axis=1)
    rows = np.nonzero(loose & (solution.gap_mm > TOLERANCES.take_up_mm))[0]
    if solution.given_up and len(rows):
        text = "There are too many open folds here to find out whether they close. Give some of them an angle."
        detail = f"{int((faces.free & faces.joined).sum())} pieces of open folds; the search was left early."
        places = tuple(_point(faces, int(v)) for v in solution.fans.vertex[rows])
        yield Finding("will-not-close", "stop", places[0], text, detail, places=places)
        return
    for row in rows[np.argsort(-solution.gap_mm[rows], kind="stable")][:MOST_FINDINGS].tolist():
        at = _point(faces, int(solution.fans.vertex[row]))
        off = f"At best it is {solution.misfit[row] * DEG_PER_RAD:.2f} deg off, which opens by {solution.gap_mm[row]:.2f} mm."
        found = in_the_way(faces, solution, row)
        if found is None:
            text = "Whatever the open folds here are turned to, this point does not close. It needs other lines."
            yield Finding("will-not-close", "stop", at, text, off)
            continue
        crease = creases[found.crease]
        was, needed = crease.signed_turn_rad * DEG_PER_RAD, found.needed_rad * DEG_PER_RAD
        text = "The open folds here find no place: one line that meets here is folded too far or not far enough."
        detail = f"{off} The line folded to {was:.1f} deg stands in the way: with {needed:.1f} deg the others close."
        yield Finding("will-not-close", "stop", at, text, detail, _turned(faces, creases, solution, found))


def in_the_way(faces: Faces, solution: Solution, row: int) -> InTheWay | None:
    """The given turn at a vertex (row of the fans) that best changes for its free turns to close it."""
    fans = solution.fans
    only = slice(row, row + 1)
    one = Fans(fans.vertex[only], fans.edge[only], fans.sector[only])
    edges = one.edge[one.edge >= 0]
    best: InTheWay | None = None
    least = (True, math.inf)
    on_floor = (faces.sides == faces.root).any(axis=1)
    given = np.unique(faces.crease[edges[~faces.free[edges] & (faces.crease[edges] >= 0)]])
    for crease in given.tolist():
        mine = edges[faces.crease[edges] == crease]
        unknown = np.zeros(len(faces.edges), dtype=np.bool_)
        unknown[edges[faces.free[edges]]] = True
        unknown[mine] = True
        link = linkage(faces, unknown, one)
        turn = link.closed(solution.turn)
        residual, _ = link.residual_and_jacobian(turn)
        needed = turn[mine]
        # The walls are what the pupil wants: a line beside the floor is changed last.
        change = (bool(on_floor[mine].any()), float(np.abs(needed - solution.turn[mine]).max()))
        same = float(np.ptp(needed)) < 1e-6 and abs(needed[0]) <= math.pi + 1e-6
        if same and np.abs(residual).max() < TOLERANCES.vertex_rad and change < least:
            best, least = InTheWay(crease, _plain(float(needed[0]))), change
    return best


def _plain(turn_rad: float) -> float:
    """A turn as one would write it down: whole half degrees where it is one but for rounding."""
    half = round(turn_rad * DEG_PER_RAD * 2.0) / 2.0 / DEG_PER_RAD
    return half if abs(half - turn_rad) < TOLERANCES.flat_rad else turn_rad


def _turned(faces: Faces, creases: Sequence[Crease], solution: Solution, found: InTheWay) -> Remedy | None:
    """The remedy that gives a line the turn it needs; None when fewer points would not close with it."""
    start = np.where(faces.crease == found.crease, found.needed_rad, solution.turn)
    link = linkage(faces, faces.free & faces.joined, solution.fans)
    if link.effort > MOST_EFFORT:
        return None
    after = link.closed(start, 15)
    gap = openings(folded(faces, after), solution.fans, misfits(solution.fans.turns(after), solution.fans.sector))
    if (gap > TOLERANCES.closed_mm).sum() >= (solution.gap_mm > TOLERANCES.closed_mm).sum():
        return None
    crease = creases[found.crease]
    sense = "valley" if found.needed_rad >= 0.0 else "mountain"
    words = f"Fold this line to {abs(found.needed_rad) * DEG_PER_RAD:.0f} degrees, {sense}."
    return Remedy(words, (found.crease,), (Stroke(crease.start, crease.end, sense, abs(found.needed_rad)),))


def _free_flaps(faces: Faces, solution: Solution) -> Iterator[Finding]:
    for group in _groups(faces, np.nonzero(solution.swings)[0]):
        ends, count = np.unique(faces.edges[group], return_counts=True)
        middle = faces.vertices[faces.edges[group[0]]].mean(axis=0)
        # Where its creases meet, or on the one crease there is.
        at = _point(faces, int(ends[count.argmax()])) if len(group) > 1 else (float(middle[0]), float(middle[1]))
        text = "Any angle works for the open folds here: nothing else decides it. One was chosen."
        angles = ", ".join(f"{a:.0f}" for a in np.unique(np.round(solution.turn[group] * DEG_PER_RAD)))
        yield Finding(ANY_ANGLE, "note", at, text, f"Chosen: {angles} deg. Give these folds a turn to settle it.")


def _groups(faces: Faces, edges: Ints) -> list[Ints]:
    """Edges (n,) in groups that hang together by their ends, each sorted, by their first edge."""
    name = components(faces.edges[edges], len(faces.vertices))[faces.edges[edges, 0]]
    groups = [edges[name == one] for one in distinct(name).tolist()]
    return sorted(groups, key=lambda g: int(g[0]))


def _point(faces: Faces, vertex: int) -> Point:
    x, y = faces.vertices[vertex].tolist()
    return (x, y)
