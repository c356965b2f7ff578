"""The edge line in short pieces, and what each lies along: where a strip of tape could join it to something.

stretch   a straight part of the edge line between two vertices of the skin; the foil lies on its left
lip       a stretch of a cut
piece     a stretch cut into pieces of one length, about a millimetre
flap      two stretches that run together from the end of the fold they share are its two edges: one folded edge
partner   what a piece could be taped to: another stretch that lies along it, the other way round, and is not the other
          edge of its flap; for a lip, and the other edges of a face that a cut has freed, any face that it lies on
run       pieces with a partner, one after the other, 5 mm or more of them
"""

from __future__ import annotations

import math
from functools import cached_property

import numpy as np
from msgspec import Struct

from folder.geometry.soup import distances_to_each
from folder.geometry.space import Bools, Floats, Ints, cross
from folder.hull.skin import Skin

LEAST_MM = 5.0
"""A shorter run is a nick, not a seam (the rule of this program)."""
NEAR_MM = 1.0
"""Edges this near meet: a strip of tape closes them."""

_PIECE_MM, _MOST_PIECES = 1.0, 2000
_ALONG = math.cos(math.radians(20.0))
_ONE_SIDE = 0.5
"""Cosine between the two sides of a flap, seen along its edge: under 60 deg they are folded on each other."""


class Edge(Struct, frozen=True, eq=False, dict=True):
    """The edge line as n stretches, cut into p pieces."""

    skin: Skin
    face: Ints
    """(m,) the face of each triangle of the skin."""
    ends: Ints
    """(n, 2) vertices, in the order of the rounds of the edge line."""
    triangle: Ints
    """(n, 3) the corners of the triangle that borders each stretch."""
    own_face: Ints
    """(n,)"""
    lip: Bools
    """(n,)"""
    round_of: Ints
    """(n,) which closed round each stretch belongs to."""
    start: Floats
    """(n,) mm from the beginning of its round."""
    round_mm: Floats
    """(r,) length of each round."""
    stretch: Ints
    """(p,) the stretch of each piece."""
    share: Floats
    """(p,) where the middle of each piece lies on its stretch, 0 to 1."""
    length: Floats
    """(p,) mm."""

    @classmethod
    def of(cls, skin: Skin, triangle_face: Ints, lips: Bools) -> Edge:
        """The edge line of a skin; the face (m,) of each triangle, and which of their sides (m, 3) are lips."""
        sides = {
            (int(skin.triangles[t, i]), int(skin.triangles[t, (i + 1) % 3])): (int(t), int(i))
            for t, i in zip(*np.nonzero(skin.neighbours < 0), strict=True)
        }
        rows: list[tuple[int, int, int, int, int]] = []
        for number, vertices in enumerate(skin.edge_lines):
            for a, b in zip(vertices, (*vertices[1:], vertices[0]), strict=True):
                if (a, b) in sides:
                    rows.append((a, b, *sides[a, b], number))
        table = np.array(rows, dtype=np.int64).reshape(-1, 5)
        ends, triangle, side, round_of = table[:, :2], table[:, 2], table[:, 3], table[:, 4]
        sizes = np.linalg.norm(skin.vertices[ends[:, 1]] - skin.vertices[ends[:, 0]], axis=1)
        start = np.cumsum(sizes) - sizes
        first = np.searchsorted(round_of, round_of)
        start = start - start[first] if len(start) else start
        piece_mm = max(_PIECE_MM, float(sizes.sum()) / _MOST_PIECES)
        pieces = np.maximum(np.ceil(sizes / piece_mm - 1e-9), 1.0).astype(np.int64)
        stretch = np.repeat(np.arange(len(sizes)), pieces)
        place = np.arange(len(stretch)) - np.repeat(np.cumsum(pieces) - pieces, pieces)
        return cls(
            skin, triangle_face, ends, skin.triangles[triangle], triangle_face[triangle], lips[triangle, side],
            round_of, start, np.bincount(round_of, sizes).astype(float), stretch,
            (place + 0.5) / pieces[stretch], (sizes / pieces)[stretch],
        )  # fmt: skip

    def piece_ends(self, heights: Floats) -> tuple[Floats, Floats]:
        """Heights (p,) of both ends of each piece."""
        a, b = heights[self.ends[self.stretch]].T
        count = np.bincount(self.stretch)[self.stretch]
        return a + (b - a) * (self.share - 0.5 / count), a + (b - a) * (self.share + 0.5 / count)

    def piece_elevations(self, heights: Floats, elevations: Floats) -> Floats:
        """(p,) how high water must stand to come in over each piece."""
        low = np.minimum(*self.piece_ends(heights))
        return np.maximum(low, elevations[self.triangle].min(axis=1)[self.stretch])

    def runs(self, met: Bools) -> Ints:
        """(p,) the number of the run each piece belongs to; -1 for pieces that are not met, or in a run too short."""
        run_of = np.full(len(met), -1)
        round_of = self.round_of[self.stretch]
        number = 0
        for k in range(len(round_of) and int(round_of[-1]) + 1):
            rows = np.nonzero(round_of == k)[0]
            if met[rows].all():
                parts = [rows]
            else:  # begun where one ends, so that a run over the beginning of the round is whole
                rows = np.roll(rows, -int(np.argmin(met[rows])))
                parts = np.split(rows, np.nonzero(np.diff(met[rows].astype(np.int8)))[0] + 1)
            for part in (shorter for whole in parts for shorter in self._between_cuts(whole)):
                if met[part[0]] and self.length[part].sum() >= LEAST_MM - 1e-6:
                    run_of[part] = number
                    number += 1
        return run_of

    def _between_cuts(self, run: Ints) -> list[Ints]:
        """A run of pieces (k,) taken apart at the ends of cuts, where its one lip becomes the other."""
        stretch = self.stretch[run]
        turns = (np.diff(stretch) != 0) & self._reflex[stretch[1:]]
        return np.split(run, np.nonzero(turns)[0] + 1)

    def partners(self, piece: int) -> list[int]:
        """Vertices of what tape would join a piece to; none where there is nothing, or only the other edge of its flap."""
        stretch = int(self.stretch[piece])
        middle = self._at(stretch, float(self.share[piece]))
        share = self._nearest(middle)
        apart = np.linalg.norm(self._from + share[:, None] * self._ahead - middle, axis=1)
        beside = (apart <= NEAR_MM) & (np.abs(self._along @ self._along[stretch]) > _ALONG)
        beside[stretch] = False
        bundle = [int(k) for k in np.nonzero(beside)[0]]
        place = {k: float(self.start[k] + share[k] * self._size[k]) for k in bundle}
        place[stretch] = float(self.start[stretch] + self.share[piece] * self._size[stretch])
        against = [k for k in bundle if self._along[k] @ self._along[stretch] < 0.0]
        flap = self._flap(stretch, bundle, place) if against else set()
        others = [k for k in against if k not in flap]
        if others:
            return [v for k in others for v in self.triangle[k].tolist()]
        lies_on = self.lip[stretch] or (self.cut_free[stretch] and not bundle)
        return self._under(middle, stretch) if lies_on else []

    def _flap(self, stretch: int, bundle: list[int], place: dict[int, float]) -> set[int]:
        """The stretches of a bundle that are edges of one flap with a stretch, or with one that is; at places along the edge."""
        flap, waiting = {stretch}, [stretch]
        while waiting:
            at = waiting.pop()
            for k in [k for k in bundle if k not in flap and self._folded(at, place[at], k, place[k])]:
                flap.add(k)
                waiting.append(k)
        return flap

    @cached_property
    def cut_free(self) -> Bools:
        """(n,) whether the face that a stretch borders has a lip too."""
        return np.isin(self.own_face, self.own_face[self.lip])

    @cached_property
    def _from(self) -> Floats:
        """(n, 3) mm: where each stretch begins."""
        return self.skin.vertices[self.ends[:, 0]]

    @cached_property
    def _ahead(self) -> Floats:
        """(n, 3) mm from where each stretch begins to where it ends."""
        return self.skin.vertices[self.ends[:, 1]] - self._from

    @cached_property
    def _size(self) -> Floats:
        """(n,) mm: how long each stretch is."""
        return np.maximum(np.linalg.norm(self._ahead, axis=1), 1e-12)

    @cached_property
    def _along(self) -> Floats:
        """(n, 3) one long, along each stretch."""
        return self._ahead / self._size[:, None]

    @cached_property
    def _inward(self) -> Floats:
        """(n, 3) from each stretch straight into its triangle."""
        middle = self.skin.vertices[self.triangle].sum(axis=1) - self.skin.vertices[self.ends].sum(axis=1) - self._from
        across = middle - (middle * self._along).sum(axis=1)[:, None] * self._along
        return across / np.maximum(np.linalg.norm(across, axis=1), 1e-12)[:, None]

    @cached_property
    def _reflex(self) -> Bools:
        """(n,) whether the foil fills more than half a turn about the first end of each stretch: the end of a cut.

        About the sheet's own edge it fills half a turn at most, whatever rounding has done to the places of a flap's corners.
        """
        corners = self.skin.vertices[self.skin.triangles]
        total = np.zeros(len(self.skin.vertices))
        for i in range(3):
            one, other = corners[:, i - 2] - corners[:, i], corners[:, i - 1] - corners[:, i]
            turn = np.arctan2(np.linalg.norm(cross(one, other), axis=1), (one * other).sum(axis=1))
            np.add.at(total, self.skin.triangles[:, i], turn)
        return self.lip & (total[self.ends[:, 0]] > math.pi + 0.01)

    def _at(self, stretch: int, share: float) -> Floats:
        """The place (3,) mm at a share of a stretch."""
        return self._from[stretch] + share * self._ahead[stretch]

    def _nearest(self, point: Floats) -> Floats:
        """(n,) where on each stretch the place nearest to a point is, 0 to 1."""
        share = ((point - self._from) * self._along).sum(axis=1) / self._size
        return np.clip(share, 0.0, 1.0)

    def _folded(self, one: int, one_mm: float, other: int, other_mm: float) -> bool:
        """Whether two places on the edge line are the two edges of one flap.

        From the end of their fold, half way between, the edge line must run together with itself to both, and the foil
        must lie on one side of both: foil that lies on opposite sides has been brought together from there.
        """
        if self.round_of[one] != self.round_of[other] or self._along[one] @ self._along[other] > 0.0:
            return False
        if self._inward[one] @ self._inward[other] < _ONE_SIDE:
            return False
        around = float(self.round_mm[self.round_of[one]])
        apart = (other_mm - one_mm) % around
        ways = ((one_mm + apart / 2.0, apart / 2.0), (other_mm + (around - apart) / 2.0, (around - apart) / 2.0))
        return any(self._runs_together_cached(int(self.round_of[one]), middle % around, reach) for middle, reach in ways)

    def _runs_together_cached(self, number: int, middle_mm: float, reach_mm: float) -> bool:
        """As `_runs_together`; of one middle it is asked for piece after piece, and what holds far out holds nearer."""
        key = (number, round(middle_mm, 3))
        holds_mm, fails_mm = self._together.get(key, (0.0, math.inf))
        if holds_mm < reach_mm < fails_mm:
            holds = self._runs_together(number, middle_mm, reach_mm)
            self._together[key] = (reach_mm, fails_mm) if holds else (holds_mm, reach_mm)
            return holds
        return reach_mm <= holds_mm

    @cached_property
    def _together(self) -> dict[tuple[int, float], tuple[float, float]]:
        """By round and middle: how far the edge line is known to run together with itself, and from where on it does not."""
        return {}

    def _runs_together(self, number: int, middle_mm: float, reach_mm: float) -> bool:
        first, last = np.searchsorted(self.round_of, (number, number + 1)).tolist()
        start, around = self.start[first:last], float(self.round_mm[number])
        off = (start - middle_mm + around / 2.0) % around - around / 2.0
        fold_end = first + int(np.abs(off).argmin())
        if self._reflex[fold_end] and abs(off[fold_end - first]) < NEAR_MM:
            return False
        steps = np.concatenate([np.abs(off)[np.abs(off) < reach_mm], [reach_mm]])
        there, behind = (self._along_round(first, last, middle_mm + way * steps) for way in (1.0, -1.0))
        return bool((np.linalg.norm(there - behind, axis=1) <= NEAR_MM).all())

    def _along_round(self, first: int, last: int, places_mm: Floats) -> Floats:
        """(k, 3) mm: places (k,) mm along the round that the stretches first to last make."""
        start, around = self.start[first:last], self.round_mm[self.round_of[first]]
        places = places_mm % around
        k = np.maximum(np.searchsorted(start, places, side="right") - 1, 0)
        on = (places - start[k])[:, None] * self._along[first + k]
        return self._from[first + k] + on

    def _under(self, point: Floats, stretch: int) -> list[int]:
        """The corners of a triangle of another face that a place (3,) mm on a lip lies on."""
        others = np.nonzero(self.face != self.own_face[stretch])[0]
        corners = self.skin.vertices[self.skin.triangles[others]]
        apart = distances_to_each(point[None], corners)[0]
        nearest = int(apart.argmin()) if len(others) else 0
        return self.skin.triangles[others[nearest]].tolist() if len(others) and apart[nearest] <= NEAR_MM else []
