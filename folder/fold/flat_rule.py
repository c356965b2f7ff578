"""The rules of flat folding at one vertex, to what foil takes up.

flat   turned by nothing, or by so much that the sheet lies on itself: more than 178 deg
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

import numpy as np
from msgspec import Struct

from folder.findings import Finding, Point
from folder.fold.vertex import Fans
from folder.geometry.space import Bools, Floats
from folder.pattern.faces.cluster import clusters_of, fan_of_cluster, hairs, lengths
from folder.pattern.faces.faces import Faces
from folder.units import TOLERANCES

_HAIR_RAD = 1e-9

_RULES = (
    ("alternate angles must add up to 180 deg (Kawasaki)", "the corners between the lines do not match up"),
    ("valleys and mountains must differ by two (Maekawa)", "there are too many folds of one kind"),
    (
        "a small corner between two larger ones needs one valley and one mountain",
        "a narrow corner has two folds of one kind",
    ),
)


class Corner(Struct, frozen=True):
    """The creases folded flat at a vertex, or at vertices a hair apart, counter-clockwise; unfolded lines are left out.

    Plain numbers: there are few at a vertex, and many vertices.
    """

    vertices: tuple[int, ...]
    sectors: list[float]
    """(d,) rad, from each crease to the next."""
    turns: list[float]
    """(d,) rad, signed."""
    reach: list[float]
    """(d,) mm: how long each crease is."""


def kawasaki_residual(sectors: list[float]) -> float:
    """How far alternate sectors (d,) rad are from a half turn, rad; as far as can be where they are odd in number.

    Kawasaki's rule, found by Justin too.
    """
    return abs(sum(sectors[::2]) - math.pi) if len(sectors) % 2 == 0 else math.pi / 2.0


def maekawa_holds(turns: list[float]) -> bool:
    """Whether valleys and mountains, by their turns (d,) signed rad, differ by two (Maekawa; Justin)."""
    return abs(sum(1 if turn > 0.0 else -1 for turn in turns)) == 2


def small_sector_excess(sectors: list[float], turns: list[float]) -> list[float]:
    """(d,) rad: by how much each sector between creases of one sense is smaller than both its neighbours.

    Sectors (d,) rad, turns (d,) signed rad. More than nothing cannot be folded flat.
    """
    after, following = [*sectors[1:], sectors[0]], [*turns[1:], turns[0]]
    return [
        max(0.0, min(sectors[k - 1], after[k]) - sector) if (turns[k] > 0.0) == (following[k] > 0.0) else 0.0
        for k, sector in enumerate(sectors)
    ]


def flat_rule_findings(faces: Faces, fans: Fans, turn: Floats, opens: Floats) -> Iterator[Finding]:
    """A stop for each vertex folded flat that cannot be. `opens` (n,) mm: how far each vertex of the fans is from closing.

    What opens or overlaps by no more than foil takes up is left to the gap and to the layers. A vertex that a rounded
    drawing sets a hair apart from others passes where all of them together do.
    """
    row_of = dict(zip(fans.vertex.tolist(), opens.tolist(), strict=True))
    length = lengths(faces)
    hair = hairs(length)
    for corner in _corners(fans, turn, length):
        breaks = _rules_broken(corner, row_of)
        if any(breaks) and not _helped(faces, corner, turn, length, hair, row_of):
            for fails, (rule, words) in zip(breaks, _RULES, strict=True):
                if fails:
                    text = f"This point cannot be folded flat: {words}."
                    yield Finding("flat-rule", "stop", _at(faces, corner.vertices[0]), text, f"The rule: {rule}.")


def _rules_broken(corner: Corner, opens: dict[int, float]) -> tuple[bool, bool, bool]:
    """Which rules a corner breaks by more than foil takes up; `opens` mm, by vertex."""
    off = kawasaki_residual(corner.sectors)
    gap = max(max(opens[v] for v in corner.vertices), 2.0 * math.sin(off) * min(corner.reach))
    # As far as all the creases reach that bound the sector and its neighbours.
    reach, d = corner.reach, len(corner.reach)
    overlap = max(
        by * min(reach[k - 1], reach[k], reach[(k + 1) % d], reach[(k + 2) % d])
        for k, by in enumerate(small_sector_excess(corner.sectors, corner.turns))
    )
    most = TOLERANCES.take_up_mm
    return gap > most and off > _HAIR_RAD, not maekawa_holds(corner.turns), overlap > most


def _helped(
    faces: Faces, corner: Corner, turn: Floats, length: Floats, hair: tuple[Bools, Bools], opens: dict[int, float]
) -> bool:
    """The vertices a hair away make of a corner that breaks a rule one that breaks none.

    Turns (e,) rad, lengths (e,) mm, `hair` (e,) twice, `opens` mm by vertex.
    """
    for cluster, short in clusters_of(faces, corner.vertices[0], hair):
        if not faces.inner[list(cluster)].all():
            return True
        edge, direction = fan_of_cluster(faces, cluster, short)
        kept = folded_flat(turn)[edge]
        if np.count_nonzero(kept) < 3:
            return True
        whole = Corner(cluster, _between(direction[kept].tolist()), turn[edge[kept]].tolist(), length[edge[kept]].tolist())
        if not any(_rules_broken(whole, opens)):
            return True
    return False


def _at(faces: Faces, vertex: int) -> Point:
    x, y = faces.vertices[vertex].tolist()
    return (x, y)


def _corners(fans: Fans, turn: Floats, length: Floats) -> Iterator[Corner]:
    """Every inner vertex where at least three creases are folded flat and none is folded otherwise.

    Turns (e,) rad, lengths (e,) mm.
    """
    pressed = folded_flat(turn)
    flat = pressed | (np.abs(turn) < TOLERANCES.flat_rad)
    whole = np.where(fans.real, flat[fans.edge], True).all(axis=1)
    half = np.where(fans.real, pressed[fans.edge], False)
    start = fans.sector.cumsum(axis=1) - fans.sector
    for row in (whole & (half.sum(axis=1) >= 3)).nonzero()[0].tolist():
        kept = half[row]
        edge = fans.edge[row, kept]
        sectors = _between(start[row, kept].tolist())
        yield Corner((int(fans.vertex[row]),), sectors, turn[edge].tolist(), length[edge].tolist())


def folded_flat(turn: Floats) -> Bools:
    """(e,) turned so far that the sheet lies on itself."""
    return np.abs(turn) > TOLERANCES.folded_flat_rad


def _between(direction: list[float]) -> list[float]:
    """(d,) rad: sectors between directions (d,) rad in their order round; a hair the wrong way is no sector."""
    ahead = [b - a for a, b in pairwise(direction)]
    sectors = [(angle + 0.5) % (2.0 * math.pi) - 0.5 for angle in ahead]
    # Once round is a whole turn, also where directions a hair apart have changed places.
    return [*sectors, 2.0 * math.pi - sum(sectors)]
