"""Sheets for the fold's tests: one vertex, a strip, a tray with all its turns at choice, a Miura patch."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from folder.fold.flat_rule import kawasaki_residual, maekawa_holds, small_sector_excess
from folder.geometry.space import Floats
from folder.pattern.corner import to_sheet_edge
from folder.pattern.faces.faces import Faces
from folder.pattern.pattern import Crease, Pattern, Sheet

Turn = float | None
"""Signed degrees; None = free."""


def crease(start: tuple[float, float], end: tuple[float, float], turn_deg: Turn, sense: str = "") -> Crease:
    """A crease with a signed turn; a free one needs its sense named."""
    if turn_deg is None:
        return Crease(start, end, "mountain" if sense == "mountain" else "valley", None)
    return Crease(start, end, "valley" if turn_deg >= 0 else "mountain", math.radians(abs(turn_deg)))


def vertex_sheet(sectors_deg: Sequence[float], turns_deg: Sequence[Turn], senses: str = "", first_deg: float = 7.0) -> Pattern:
    """One vertex in the middle of a sheet; crease i is followed by sector i, counter-clockwise.

    `senses` holds v or m for each crease and is only needed for free ones.
    """
    at = (75.0, 75.0)
    angles = np.radians(first_deg + np.concatenate([[0.0], np.cumsum(sectors_deg)[:-1]]))
    words = {"v": "valley", "m": "mountain"}
    creases = tuple(
        crease(at, to_sheet_edge(at, (math.cos(a), math.sin(a)), 150.0, 150.0), turn, words[s])
        for a, turn, s in zip(angles, turns_deg, senses or "v" * len(angles), strict=True)
    )
    middle = math.radians(first_deg + sectors_deg[0] / 2.0)
    return Pattern(creases=creases, floor_at=(75.0 + 10.0 * math.cos(middle), 75.0 + 10.0 * math.sin(middle)))


def strip(widths_mm: Sequence[float], turns_deg: Sequence[float]) -> Pattern:
    """A strip of panels side by side; the first one is the floor."""
    ends = np.cumsum(widths_mm)
    creases = tuple(crease((x, 0.0), (x, 20.0), t) for x, t in zip(ends[:-1].tolist(), turns_deg, strict=True))
    return Pattern(sheet=Sheet(float(ends[-1]), 20.0), creases=creases, floor_at=(widths_mm[0] / 2.0, 10.0))


def map_sheet(columns: int, rows: int, turns_deg: Sequence[float], side_mm: float = 30.0) -> Pattern:
    """A map of square panels: first the creases that run up the sheet, column by column, then those that run across it."""
    up = [((i, j), (i, j + 1)) for i in range(1, columns) for j in range(rows)]
    across = [((i, j), (i + 1, j)) for j in range(1, rows) for i in range(columns)]
    creases = tuple(
        crease((a * side_mm, b * side_mm), (c * side_mm, d * side_mm), turn)
        for ((a, b), (c, d)), turn in zip([*up, *across], turns_deg, strict=True)
    )
    return Pattern(sheet=Sheet(columns * side_mm, rows * side_mm), creases=creases, floor_at=(side_mm / 2.0, side_mm / 2.0))


def fair_map(columns: int, rows: int, random: np.random.Generator) -> Pattern:
    """A map folded flat with senses at random, but three of one kind and one of the other at every point (Maekawa)."""
    up = random.choice([-1.0, 1.0], (columns - 1, rows))
    across = np.empty((rows - 1, columns))
    across[:, 0] = random.choice([-1.0, 1.0], rows - 1)
    for i in range(1, columns):
        across[:, i] = -up[i - 1, :-1] * up[i - 1, 1:] * across[:, i - 1]
    return map_sheet(columns, rows, (180.0 * np.concatenate([up.ravel(), across.ravel()])).tolist())


def tray(
    first: Turn, diagonal: Turn, second: Turn, *, floor: float = 90.0, senses: str = "mvv", wall_mm: float = 25.0
) -> Pattern:
    """A square tray. At each corner: the side crease that runs up or down the sheet, the diagonal, the other side crease."""
    low, high = wall_mm, 150.0 - wall_mm
    ring = [(low, low), (high, low), (high, high), (low, high)]
    out = [(0.0, 0.0), (150.0, 0.0), (150.0, 150.0), (0.0, 150.0)]
    creases = [crease(ring[k], ring[(k + 1) % 4], floor) for k in range(4)]
    words = {"v": "valley", "m": "mountain"}
    for (x, y), (far_x, far_y) in zip(ring, out, strict=True):
        for end, turn, s in zip(((x, far_y), (far_x, far_y), (far_x, y)), (first, diagonal, second), senses, strict=True):
            creases.append(crease((x, y), end, turn, words[s]))
    return Pattern(creases=tuple(creases))


def miura(columns: int, rows: int, acute_deg: float, drive_deg: float) -> Pattern:
    """A Miura patch of so many inner vertices each way; every turn free but one zigzag edge.

    Zigzags run up the sheet and lean by what `acute_deg` leaves to a right angle; straight lines run across it.
    """
    step_y = 150.0 / (rows + 1)
    lean = step_y / math.tan(math.radians(acute_deg))
    step_x = (150.0 - lean) / (columns + 1)

    def x(i: int, j: int) -> float:
        return (i + 1) * step_x + (j % 2) * lean

    creases = []
    for i in range(columns):
        sense = "valley" if i % 2 else "mountain"
        for j in range(rows + 1):
            ends = (x(i, j), j * step_y), (x(i, j + 1), (j + 1) * step_y)
            driven = i == 0 and j == 1
            creases.append(crease(*ends, (drive_deg if i % 2 else -drive_deg) if driven else None, sense))
    for j in range(1, rows + 1):
        xs = [0.0, *(x(i, j) for i in range(columns)), 150.0]
        for i in range(columns + 1):
            ends = (xs[i], j * step_y), (xs[i + 1], j * step_y)
            creases.append(crease(*ends, None, "valley" if (i + j) % 2 else "mountain"))
    return Pattern(creases=tuple(creases))


def miura_turns(pattern: Pattern, faces: Faces, acute_deg: float, drive_deg: float) -> Floats:
    """The closed form for a Miura patch: (e,) signed rad.

    Akitaya et al., arXiv:1812.01160, theorem 6, with sectors a, 180 - a, 180 - a, a: half-angle tangents T on the zigzag
    and T cos a on the straight lines.
    """
    half = math.tan(math.radians(drive_deg) / 2.0)
    straight = 2.0 * math.atan(half * math.cos(math.radians(acute_deg)))
    turns = []
    for c in pattern.creases:
        size = straight if c.start[1] == c.end[1] else math.radians(drive_deg)
        turns.append(size if c.sense == "valley" else -size)
    result: Floats = np.array([*turns, 0.0, 0.0])[faces.crease]
    return result


def turns_at(faces: Faces, turn: Floats, creases: Sequence[int]) -> list[float]:
    """The turns of some creases in degrees, each taken from its first edge."""
    return [float(np.degrees(turn[np.nonzero(faces.crease == k)[0][0]])) for k in creases]


def flat_rule_breaks(sectors: Floats, turns: Floats, tolerance_rad: float) -> tuple[bool, bool, bool]:
    """Which rules of flat folding one vertex of half turns breaks: sectors (d,) rad, turns (d,) signed rad.

    Kawasaki's of alternate sectors, Maekawa's of the count, and that of small sectors.
    """
    excess = max(small_sector_excess(sectors.tolist(), turns.tolist()))
    off = kawasaki_residual(sectors.tolist())
    return off > tolerance_rad, not maekawa_holds(turns.tolist()), excess > tolerance_rad
