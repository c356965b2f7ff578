"""Faces that pass through each other, and the order of layers."""

from __future__ import annotations

import math
from itertools import combinations, permutations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from folder.fold.layers.clash import Clashes, clash_findings, clashes_of
from folder.fold.place import Folded, folded
from folder.geometry.space import Floats
from folder.pattern.faces.faces import faces_of
from folder.pattern.families.catalogue import FAMILIES, make
from folder.pattern.pattern import Crease, Pattern, Sheet
from tests.folds import crease, strip, tray, vertex_sheet
from tests.test_fold_vertex import flat_vertices

FAMILY_NAMES = tuple(FAMILIES)


def shape_of(pattern: Pattern) -> Folded:
    return folded(faces_of(pattern))


def clashes(pattern: Pattern) -> Clashes:
    return clashes_of(shape_of(pattern))


class TestThroughAWall:
    """Two hulls that differ only by a flap that is pushed through a wall: only one passes."""

    @staticmethod
    def gutter(ledge_deg: float, ledge_mm: float = 60.0) -> Pattern:
        """A floor 40 mm wide between a wall of 20 and one of 40 mm; the low wall carries a ledge."""
        xs = np.cumsum([ledge_mm, 20.0, 40.0])
        turns = (ledge_deg, 90.0, 90.0)
        creases = tuple(crease((x, 0.0), (x, 100.0), t) for x, t in zip(xs.tolist(), turns, strict=True))
        return Pattern(sheet=Sheet(ledge_mm + 100.0, 100.0), creases=creases, floor_at=(ledge_mm + 40.0, 50.0))

    def test_a_ledge_that_leans_out_passes(self) -> None:
        assert 0 == len(clashes(self.gutter(-90.0)).pairs)

    def test_a_ledge_that_reaches_into_the_opposite_wall_does_not(self) -> None:
        """60 mm wide over a floor of 40: 20 mm go through the other wall, half way up it."""
        found = clashes(self.gutter(90.0))
        assert 1 == len(found.pairs)
        assert 20.0 == pytest.approx(found.depth_mm[0])
        assert not found.twisted[0]

    def test_a_ledge_that_just_touches_the_opposite_wall_passes(self) -> None:
        assert 0 == len(clashes(self.gutter(90.0, 40.0)).pairs)

    def test_the_finding_is_a_stop_with_a_place_in_the_part_that_goes_through(self) -> None:
        shape = shape_of(self.gutter(90.0))
        finding = clash_findings(shape, clashes_of(shape))[0]
        assert ("passes-through", "stop") == (finding.code, finding.level)
        assert finding.at is not None
        # The ledge is 60 mm wide on the sheet, its hinge at x = 60; it meets the wall 40 mm from the hinge.
        assert 20.0 == pytest.approx(finding.at[0]) or 140.0 == pytest.approx(finding.at[0])
        assert "20.0 mm" in finding.detail

    @pytest.mark.parametrize(("diagonal", "passes"), [(-180.0, True), (180.0, False)])
    def test_a_doubled_flap_inside_the_corner_depends_on_the_sense_of_its_diagonal(self, diagonal: float, passes: bool) -> None:
        """Swung to the inside both close; with a valley diagonal the flap's halves would have to change places."""
        pattern = tray(120.0, diagonal, 150.0)
        assert shape_of(pattern).closure_gap_mm < 1e-9
        assert passes == (len(clashes(pattern).pairs) == 0)

    @pytest.mark.parametrize(("side", "passes"), [(-180.0, True), (180.0, False)])
    def test_a_flap_laid_outside_passes_and_the_same_pushed_inside_does_not(self, side: float, passes: bool) -> None:
        """Only the side's sense differs: the same places, another order of layers."""
        assert passes == (len(clashes(tray(side, 180.0, 90.0)).pairs) == 0)

    def test_a_layer_on_the_floor_that_reaches_out_under_a_wall_goes_through_its_fold(self) -> None:
        """The zero-thickness case: the wall only touches the layer, along its fold, and yet they cross."""
        creases = (crease((30.0, 0.0), (30.0, 60.0), 180.0), crease((70.0, 0.0), (70.0, 60.0), 90.0))
        long = Pattern(sheet=Sheet(100.0, 60.0), creases=creases, floor_at=(50.0, 30.0))
        assert 0 == len(clashes(long).pairs)  # the folded strip is 30 mm wide and ends before the wall at 40 mm
        creases = (crease((30.0, 0.0), (30.0, 60.0), 180.0), crease((50.0, 0.0), (50.0, 60.0), 90.0))
        short = Pattern(sheet=Sheet(100.0, 60.0), creases=creases, floor_at=(40.0, 30.0))
        assert 1 == len(clashes(short).pairs)  # 30 mm over a floor of 20 mm
        creases = (crease((30.0, 0.0), (30.0, 60.0), -180.0), crease((50.0, 0.0), (50.0, 60.0), 90.0))
        under = Pattern(sheet=Sheet(100.0, 60.0), creases=creases, floor_at=(40.0, 30.0))
        assert 0 == len(clashes(under).pairs)  # folded under the floor it passes


class TestOrderOfLayers:
    """Which layer lies above which."""

    def test_a_valley_puts_the_far_panel_on_the_inside(self) -> None:
        layering = clashes(strip((30.0, 20.0), (180.0,))).layering
        assert [[0, 1]] == layering.pairs.tolist()
        assert [1] == layering.above.tolist()
        assert [-1] == clashes(strip((30.0, 20.0), (-180.0,))).layering.above.tolist()

    def test_a_pleat_is_three_layers_in_the_order_of_its_folds(self) -> None:
        layering = clashes(strip((40.0, 10.0, 40.0), (180.0, -180.0))).layering
        assert (0, 1, 2) == max(layering.cells, key=len)

    def test_two_long_ends_over_a_short_middle_are_a_twisted_pair(self) -> None:
        """Each end would have to lie above the other: the strip's version of the small-sector rule."""
        found = clashes(strip((40.0, 20.0, 40.0), (180.0, 180.0)))
        assert 1 <= len(found.pairs)
        assert found.twisted.all()
        assert 0 == len(clashes(strip((40.0, 20.0, 15.0), (180.0, 180.0))).pairs)

    def test_a_twisted_pair_is_told_in_words(self) -> None:
        shape = shape_of(strip((40.0, 20.0, 40.0), (180.0, 180.0)))
        finding = clash_findings(shape, clashes_of(shape))[0]
        assert ("passes-through", "stop") == (finding.code, finding.level)
        assert "any order" in finding.text

    @given(
        st.lists(st.sampled_from([10.0, 15.0, 20.0, 25.0, 30.0, 40.0]), min_size=3, max_size=6),
        st.lists(st.sampled_from([180.0, -180.0]), min_size=5, max_size=5),
    )
    @settings(max_examples=60, deadline=None)
    def test_a_strip_passes_just_when_some_order_of_its_panels_does(self, widths: list[float], turns: list[float]) -> None:
        """Against all orders, one after the other."""
        turns = turns[: len(widths) - 1]
        assert some_order_fits(widths, turns) == (len(clashes(strip(widths, turns)).pairs) == 0)

    @pytest.mark.parametrize(
        ("sectors", "ways"),
        [
            ((90,) * 4, 8),
            ((60,) * 6, 30),
            ((45,) * 8, 112),
            ((100, 70, 80, 110), 4),
            ((60, 120, 120, 60), 6),
            ((100, 40, 50, 70, 30, 70), 8),
        ],
    )
    def test_a_flat_vertex_folds_in_as_many_ways_as_are_known(self, sectors: tuple[float, ...], ways: int) -> None:
        """Equal sectors: 2 C(2n, n - 1), unequal ones 2^n, between them for two equal small ones.

        Hull, Counting mountain-valley assignments for flat folds, Ars Combinatoria 67 (2003); from memory.
        """
        n = len(sectors) // 2
        assert 2**n <= ways <= 2 * math.comb(2 * n, n - 1)
        passing = 0
        for senses in product((180.0, -180.0), repeat=len(sectors)):
            if abs(sum(senses)) == 360.0:
                passing += len(clashes(vertex_sheet(sectors, senses)).pairs) == 0
        assert ways == passing

    def test_a_run_of_equal_small_sectors_is_caught_where_the_small_rule_says_nothing(self) -> None:
        """Three creases of one sense round two equal small sectors: neither sector is smaller than both neighbours."""
        from tests.folds import flat_rule_breaks

        sectors, senses = (30, 30, 70, 60, 80, 90), (180.0, 180.0, 180.0, -180.0, 180.0, -180.0)
        assert (False, False, False) == flat_rule_breaks(np.radians(sectors), np.radians(senses), 1e-9)
        assert clashes(vertex_sheet(sectors, senses)).twisted.any()

    @given(flat_vertices())
    @settings(max_examples=25, deadline=None)
    def test_a_vertex_built_by_pleating_has_an_order(self, vertex: tuple[list[float], list[float]]) -> None:
        sectors, senses = vertex
        if min(sectors) > 3.0:
            assert 0 == len(clashes(vertex_sheet(sectors, [180.0 * s for s in senses])).pairs)

    @pytest.mark.parametrize("family", FAMILY_NAMES)
    def test_no_family_passes_through_itself(self, family: str) -> None:
        found = clashes(make(family, {}))
        assert found.complete
        assert 0 == len(found.pairs)
        assert (found.layering.above != 0).all()

    @pytest.mark.parametrize("family", ["square-tray", "hemmed-tray", "pleated-floor-tray", "double-sheet-tray"])
    def test_layers_do_not_depend_on_how_the_sheet_lies(self, family: str) -> None:
        """Mirrored left to right the same faces lie above each other."""
        pattern = make(family, {})
        mirrored = replace(
            pattern,
            creases=tuple(replace(c, start=_mirror(pattern, c.start), end=_mirror(pattern, c.end)) for c in pattern.creases),
            floor_at=_mirror(pattern, pattern.floor_at),
        )
        here, there = clashes(pattern), clashes(mirrored)
        assert 0 == len(there.pairs)
        assert sorted(map(len, here.layering.cells)) == sorted(map(len, there.layering.cells))


def _mirror(pattern: Pattern, p: tuple[float, float]) -> tuple[float, float]:
    return (pattern.sheet.width_mm - p[0], p[1])


def some_order_fits(widths: list[float], turns: list[float]) -> bool:
    """Whether a strip's panels can lie on each other, by trying all orders."""
    spans, ends, x, way = [], [], 0.0, 1.0
    for w in widths:
        spans.append((min(x, x + way * w), max(x, x + way * w)))
        x += way * w
        way = -way
        ends.append(x)
    folds = [(k, k + 1, ends[k]) for k in range(len(turns))]
    return any(_fits(dict(enumerate(order)), spans, folds, turns) for order in permutations(range(len(widths))))


def _fits(
    level: dict[int, int], spans: list[tuple[float, float]], folds: list[tuple[int, int, float]], turns: list[float]
) -> bool:
    for (i, j, x), turn in zip(folds, turns, strict=True):
        # Panels lie face up and face down in turn.
        if (level[j] > level[i]) != ((turn > 0) == (i % 2 == 0)):
            return False
        low, high = sorted((level[i], level[j]))
        if any(low < level[k] < high and spans[k][0] < x - 1e-6 and spans[k][1] > x + 1e-6 for k in level):
            return False
    for (i, j, x), (k, m, y) in combinations(folds, 2):
        same_side = abs(x - y) < 1e-6 and (spans[i][0] < x - 1e-6) == (spans[k][0] < y - 1e-6)
        low, high = sorted((level[i], level[j]))
        if same_side and (low < level[k] < high) != (low < level[m] < high):
            return False
    return True


class TestAgainstEveryPair:
    """Random sheets against a search of our own over all pairs of triangles."""

    @given(st.integers(0, 10**6))
    @settings(max_examples=25, deadline=None)
    def test_what_clearly_pierces_is_found_and_what_is_found_pierces(self, seed: int) -> None:
        shape = _crumpled(seed)
        clashes = clashes_of(shape)
        deep = {tuple(sorted(p)) for p in clashes.pairs.tolist()}
        found = deep | {tuple(sorted((s.face, s.other))) for s in clashes.slight}
        assert _piercing(shape, 0.5) <= found <= _piercing(shape, -0.2)
        # Across planes 30 deg or more apart, what reaches 3.2 mm beyond an outline stands 1.6 mm out of the plane.
        steep = {
            p for p in _piercing(shape, 3.2) if abs(shape.normals[p[0]] @ shape.normals[p[1]]) < math.cos(math.radians(30.0))
        }
        assert steep <= deep <= _piercing(shape, 0.0)


def _crumpled(seed: int) -> Folded:
    """A strip cut into panels by slanted lines and rolled up anyhow: closed, since no lines meet, and full of crossings."""
    random = np.random.default_rng(seed)
    xs = np.sort(random.uniform(10.0, 290.0, 12))
    creases = [
        Crease(
            (x, 0.0),
            (x + random.uniform(-4.0, 4.0), 40.0),
            "valley" if random.random() < 0.5 else "mountain",
            random.uniform(0.3, 2.8),
        )
        for x in xs[np.append(True, np.diff(xs) > 10.0)].tolist()
    ]
    return folded(faces_of(Pattern(sheet=Sheet(300.0, 40.0), creases=tuple(creases), floor_at=(2.0, 20.0))))


def _piercing(shape: Folded, margin_mm: float) -> set[tuple[int, int]]:
    """Pairs of faces of which an outline segment of one runs through the inside of the other, by at least a margin.

    All faces are convex here: a place is inside a face when it is on the inner side of all its outline.
    """
    faces = shape.faces
    rings = {f: faces.ring[faces.ring[:, 0] == f] for f in range(faces.count)}
    placed = {
        f: np.array([shape.motions[f] @ [*faces.vertices[v], 0.0, 1.0] for v in ring[:, 1]])[:, :3] for f, ring in rings.items()
    }
    following = {f: np.array([[r[1] for r in ring.tolist()].index(n) for n in ring[:, 2]]) for f, ring in rings.items()}
    hits = set()
    for a, b in permutations(range(faces.count), 2):
        normal, origin = shape.normals[b], shape.motions[b][:3, 3]
        start, end = placed[a], placed[a][following[a]]
        h0, h1 = (start - origin) @ normal, (end - origin) @ normal
        for k in np.nonzero((h0 * h1 < 0.0) & (np.minimum(abs(h0), abs(h1)) > margin_mm))[0]:
            at = start[k] + h0[k] / (h0[k] - h1[k]) * (end[k] - start[k])
            if _depth_inside(placed[b], placed[b][following[b]], normal, at) > margin_mm:
                hits.add((min(a, b), max(a, b)))
    return hits


def _depth_inside(start: Floats, end: Floats, normal: Floats, at: Floats) -> float:
    """How far inside a convex outline, counter-clockwise about its normal, a place in its plane lies."""
    along = end - start
    inward = np.cross(normal, along / np.linalg.norm(along, axis=1)[:, None])
    return float(((at - start) * inward).sum(axis=1).min())
