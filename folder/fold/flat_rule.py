"""The rules of flat folding at one vertex, to what foil takes up.

flat   turned by nothing, or by so much that the sheet lies on itself: more than 178 deg
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from msgspec import Struct

from folder.findings import Finding, Point
from folder.fold.vertex import Fans
from folder.geometry.space import Bools, Floats
from folder.pattern.cluster import clusters_of, fan_of_cluster, lengths
from folder.pattern.faces import Faces
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


class Corner(Struct, frozen=True, eq=False):
    """The creases folded flat at a vertex, or at vertices a hair apart, counter-clockwise; unfolded lines are left out."""

    vertices: tuple[int, ...]
    sectors: Floats
    """(d,) rad, from each crease to the next."""
    turns: Floats
    """(d,) rad, signed."""
    reach: Floats
    """(d,) mm: how long each crease is."""


def flat_rule_breaks(sectors: Floats, turns: Floats, tolerance_rad: float) -> tuple[bool, bool, bool]:
    """Which rules of flat folding one vertex of half turns breaks: (d,) rad, (d,) signed rad.

    alternating  alternate sectors sum to a half turn (Kawasaki; Justin)
    count        valleys and mountains differ by two (Maekawa; Justin)
    small        a sector smaller than both neighbours lies between creases of opposite sense
    """
    small = (_smaller_by(sectors, turns) > tolerance_rad).any()
    return _alternate_off(sectors) > tolerance_rad, not _count_fits(turns), bool(small)


def _alternate_off(sectors: Floats) -> float:
    """How far alternate sectors are from a half turn, rad; a half turn where the sectors are odd in number."""
    return abs(float(sectors[::2].sum()) - math.pi) if len(sectors) % 2 == 0 else math.pi / 2.0


def _count_fits(turns: Floats) -> bool:
    return abs(int((turns > 0).sum()) - int((turns < 0).sum())) == 2


def _smaller_by(sectors: Floats, turns: Floats) -> Floats:
    """(d,) rad: by how much each sector between creases of one sense is smaller than both its neighbours."""
    least = np.minimum(np.roll(sectors, 1), np.roll(sectors, -1))
    alike = np.sign(turns) == np.sign(np.roll(turns, -1))
    smaller: Floats = np.where(alike, np.maximum(least - sectors, 0.0), 0.0)
    return smaller


def flat_rule_findings(faces: Faces, fans: Fans, turn: Floats, opens: Floats) -> Iterator[Finding]:
    """A stop for each vertex folded flat that cannot be. `opens` (n,) mm: how far each vertex of the fans is from closing.

    What opens or overlaps by no more than foil takes up is left to the gap and to the layers. A vertex that a rounded
    drawing sets a hair apart from others passes where all of them together do.
    """
    row_of = dict(zip(fans.vertex.tolist(), opens.tolist(), strict=True))
    for corner in _corners(faces, fans, turn):
        broken = _broken(corner, row_of)
        if any(broken) and not _helped(faces, corner, turn, row_of):
            for fails, (rule, words) in zip(broken, _RULES, strict=True):
                if fails:
                    text = f"This point cannot be folded flat: {words}."
                    yield Finding("flat-rule", "stop", _at(faces, corner.vertices[0]), text, f"The rule: {rule}.")


def _broken(corner: Corner, opens: dict[int, float]) -> tuple[bool, bool, bool]:
    """Which rules a corner breaks by more than foil takes up; `opens` mm, by vertex."""
    off = _alternate_off(corner.sectors)
    gap = max(max(opens[v] for v in corner.vertices), 2.0 * math.sin(off) * float(corner.reach.min()))
    # As far as all the creases reach that bound the sector and its neighbours.
    along = np.minimum.reduce([np.roll(corner.reach, k) for k in (1, 0, -1, -2)])
    overlap = float((_smaller_by(corner.sectors, corner.turns) * along).max())
    most = TOLERANCES.take_up_mm
    return gap > most and off > _HAIR_RAD, not _count_fits(corner.turns), overlap > most


def _helped(faces: Faces, corner: Corner, turn: Floats, opens: dict[int, float]) -> bool:
    """The vertices a hair away make of a corner that breaks a rule one that breaks none."""
    for cluster, hair in clusters_of(faces, corner.vertices[0]):
        if not faces.inner[list(cluster)].all():
            return True
        edge, direction = fan_of_cluster(faces, cluster, hair)
        kept = folded_flat(turn)[edge]
        if np.count_nonzero(kept) < 3:
            return True
        whole = Corner(cluster, _between(direction[kept]), turn[edge[kept]], lengths(faces)[edge[kept]])
        if not any(_broken(whole, opens)):
            return True
    return False


def _at(faces: Faces, vertex: int) -> Point:
    x, y = faces.vertices[vertex].tolist()
    return (x, y)


def _corners(faces: Faces, fans: Fans, turn: Floats) -> Iterator[Corner]:
    """Every inner vertex where at least three creases are folded flat and none is folded otherwise."""
    pressed = folded_flat(turn)
    flat = pressed | (np.abs(turn) < TOLERANCES.flat_rad)
    whole = np.where(fans.real, flat[fans.edge], True).all(axis=1)
    half = np.where(fans.real, pressed[fans.edge], False)
    length = lengths(faces)
    for row in (whole & (half.sum(axis=1) >= 3)).nonzero()[0].tolist():
        start = np.cumsum(fans.sector[row]) - fans.sector[row]
        edge = fans.edge[row, half[row]]
        yield Corner((int(fans.vertex[row]),), _between(start[half[row]]), turn[edge], length[edge])


def folded_flat(turn: Floats) -> Bools:
    """(e,) turned so far that the sheet lies on itself."""
    flat: Bools = np.abs(turn) > TOLERANCES.folded_flat_rad
    return flat


def _between(direction: Floats) -> Floats:
    """(d,) rad: sectors between directions (d,) rad in their order round; a hair the wrong way is no sector."""
    sectors = np.roll(direction, -1) - direction
    sectors = (sectors + 0.5) % (2.0 * math.pi) - 0.5
    # Once round is a whole turn, also where directions a hair apart have changed places.
    sectors[-1] += 2.0 * math.pi - sectors.sum()
    return sectors
