"""Does a sheet fold flat, and in which order of layers: against a search of all orders that is written for the tests alone."""

from __future__ import annotations

import math
from itertools import product

import numpy as np
import pytest
from msgspec.structs import replace

from folder.findings import Finding
from folder.fold.check import fold_report
from folder.fold.layers import constraints
from folder.fold.layers.clash import Clashes, clash_findings, clashes_of
from folder.fold.place import folded
from folder.pattern.faces.faces import faces_of
from folder.pattern.families.flat_stack import FlatStack
from folder.pattern.families.weld import too_fine
from folder.pattern.pattern import Pattern, Sheet
from folder.studies import study
from tests.folds import fair_map, map_sheet, strip, vertex_sheet
from tests.layer_orders import orders, possible

OTHER = {"valley": "mountain", "mountain": "valley"}


def findings_and_clashes(pattern: Pattern) -> tuple[list[Finding], Clashes]:
    """What fold and layers have to say."""
    shape = folded(faces_of(pattern))
    clashes = clashes_of(shape)
    return [*fold_report(pattern, shape)[0].findings, *clash_findings(shape, clashes)], clashes


def folds(pattern: Pattern) -> bool:
    findings, clashes = findings_and_clashes(pattern)
    assert not len(clashes.layering.unknown)
    return not any(f.level == "stop" for f in findings)


def agrees(pattern: Pattern, want: bool) -> bool:
    """The engine says what the search of all orders says, or that what is in the way is so little that foil takes it up."""
    findings, clashes = findings_and_clashes(pattern)
    assert not len(clashes.layering.unknown)
    stops = any(f.level == "stop" for f in findings)
    taken_up = not want and len(clashes.slight) > 0 and all(0.3 <= s.excess_mm <= 1.5 for s in clashes.slight)
    return taken_up or stops != want


def turned(pattern: Pattern, turn_deg: float) -> Pattern:
    """The same senses, all creases turned by this much."""
    return replace(pattern, creases=tuple(replace(c, turn_rad=math.radians(turn_deg)) for c in pattern.creases))


class TestTheSearchItself:
    """The search of all orders counts what is known to count."""

    @pytest.mark.parametrize(("panels", "ways"), [(2, 2), (3, 6), (4, 16), (5, 50)])
    def test_a_strip_of_stamps(self, panels: int, ways: int) -> None:
        """Foldings of a strip of stamps: OEIS A000136; from memory."""
        strips = (strip((30.0,) * panels, turns) for turns in product((180.0, -180.0), repeat=panels - 1))
        assert ways == sum(1 for s in strips for _ in orders(s))

    @pytest.mark.parametrize(("columns", "ways"), [(2, 8), (3, 60)])
    def test_a_map_of_two_rows(self, columns: int, ways: int) -> None:
        """Foldings of a map of 2 x n: OEIS A001415; from memory."""
        count = columns - 1 + 2 * columns - 1
        maps = (map_sheet(columns, 2, turns) for turns in product((180.0, -180.0), repeat=count))
        assert ways == sum(1 for m in maps for _ in orders(m))


class TestAgainstTheSearch:
    """The engine says of a sheet that it folds just when there is an order."""

    def test_every_map_of_two_by_three(self, many) -> None:
        """128 choices of valley and mountain; every fourth of them folds, by the search."""
        maps = [map_sheet(3, 2, turns) for turns in product((180.0, -180.0), repeat=7)][:: many(4, 1)]
        want = [possible(m) for m in maps]
        assert (len(maps) // 4, want) == (sum(want), [folds(m) for m in maps])

    @pytest.mark.parametrize("size", [(2, 5), (3, 3), (3, 4)])
    def test_maps_that_keep_the_rules_at_every_point(self, size: tuple[int, int], many) -> None:
        random = np.random.default_rng(5)
        for _ in range(many(8, 120)):
            pattern = fair_map(*size, random)
            assert possible(pattern) == folds(pattern)

    def test_strips_of_any_panels_at_any_turn_above_178_deg_and_a_hair_off(self, many) -> None:
        """Panels of 10 to 40 mm, of which some end at one place: that stays so for what is off by 0.02 mm each."""
        random = np.random.default_rng(6)
        for _ in range(many(25, 300)):
            widths = random.choice([10.0, 15.0, 20.0, 25.0, 30.0, 40.0], random.integers(3, 7))
            turns = 180.0 * random.choice([-1.0, 1.0], len(widths) - 1)
            want = possible(strip(widths.tolist(), turns.tolist()))
            assert want == folds(strip(widths.tolist(), turns.tolist()))
            assert want == folds(strip(widths.tolist(), (turns * random.uniform(178.1, 179.9) / 180.0).tolist()))
            assert want == folds(strip((widths + random.uniform(-0.02, 0.02, len(widths))).tolist(), turns.tolist()))

    def test_vertices_that_keep_kawasaki_at_180_and_at_179_9_deg(self, many) -> None:
        """Alternate sectors add up; two of three have valleys and mountains that differ by two (Maekawa), the rest any senses."""
        random = np.random.default_rng(7)
        seen = set()
        for k in range(many(20, 400)):
            half = int(random.integers(2, 5))
            sectors = np.empty(2 * half)
            for start in (0, 1):
                part = random.integers(2, 7, half)
                sectors[start::2] = 180.0 * part / part.sum()
            senses = np.repeat([1.0, -1.0], [half + 1, half - 1])
            senses = random.permutation(senses) if k % 3 else random.choice([-1.0, 1.0], 2 * half)
            pattern = vertex_sheet(sectors.tolist(), (180.0 * senses).tolist())
            want = possible(pattern)
            seen.add(want)
            assert agrees(pattern, want)
            assert agrees(turned(pattern, 179.9), want)
        assert {True, False} == seen

    def test_a_stack_with_senses_changed_is_refused_where_no_order_is_left(self, many) -> None:
        """Sheets folded again and again, all layers at once, each fold 5 mm or more from the last; then some senses changed."""
        random = np.random.default_rng(8)
        seen = {True: 0, False: 0}
        while sum(seen.values()) < many(40, 400):
            pattern = coarse_stack(random)
            assert folds(pattern)
            change = random.random(len(pattern.creases)) < random.choice([0.15, 0.5])
            creases = zip(pattern.creases, change.tolist(), strict=True)
            other = replace(pattern, creases=tuple(replace(c, sense=OTHER[c.sense]) if turn else c for c, turn in creases))
            want = possible(other)
            seen[want] += 1
            assert agrees(other, want)
        assert min(seen.values()) > 5


def coarse_stack(random: np.random.Generator) -> Pattern:
    """A sheet folded flat one to four times, with no edge shorter than 5 mm and no more than ten faces."""
    while True:
        stack = FlatStack.of(Sheet())
        for _ in range(int(random.integers(1, 5))):
            angle, away = random.integers(0, 24) * math.tau / 24.0, random.uniform(3.0, 60.0)
            normal = (math.cos(angle), math.sin(angle))
            start = (75.0 + away * normal[0], 75.0 + away * normal[1])
            stack = stack.fold(start, (start[0] - 10.0 * normal[1], start[1] + 10.0 * normal[0]), under=random.random() < 0.5)
        creases = stack.marked([])
        if not creases or too_fine(creases, Sheet()) is not None:
            continue
        faces = faces_of(Pattern(creases=creases))
        ends = faces.vertices[faces.edges]
        if faces.count <= 10 and np.hypot(*(ends[:, 1] - ends[:, 0]).T).min() >= 5.0:
            return Pattern(creases=creases)


class TestGivingUp:
    """What could not be found out is said."""

    @pytest.fixture
    def hard_map(self) -> Pattern:
        """A map of 2 x 14 panels that takes more than forty wrong tries."""
        random = np.random.default_rng(0)
        return fair_map(2, 14, random)

    def test_a_search_that_is_given_up_is_a_warning_and_no_claim(self, hard_map: Pattern, monkeypatch) -> None:
        monkeypatch.setattr(constraints, "MOST_WRONG", 0)
        findings, clashes = findings_and_clashes(hard_map)
        (finding,) = [f for f in findings if f.code == "passes-through"]
        assert 0 < len(clashes.layering.unknown)
        assert "warn" == finding.level
        assert "could not be found out" in finding.text
        assert "given up" in finding.detail
        assert finding in study(hard_map).report.findings

    def test_a_search_that_comes_to_an_end_says_nothing_of_the_kind(self, hard_map: Pattern) -> None:
        findings, clashes = findings_and_clashes(hard_map)
        assert not len(clashes.layering.unknown)
        assert not any("found out" in f.text for f in findings)
