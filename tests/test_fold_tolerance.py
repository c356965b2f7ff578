"""One tolerance for closing and for layers: under 0.3 mm touches, up to 1.5 mm is taken up and said, more is a stop."""

from __future__ import annotations

import math

import numpy as np
import pytest
from msgspec.structs import replace

from folder.errors import BadRequest
from folder.findings import Finding, Point
from folder.fold.check import fold_report
from folder.fold.layers.clash import clash_findings, clashes_of
from folder.fold.place import Folded, folded
from folder.pattern.faces.faces import faces_of
from folder.pattern.families.catalogue import FAMILIES, make
from folder.pattern.families.flat_stack import FlatStack, Motion
from folder.pattern.families.parameter import Parameter, Value
from folder.pattern.families.weld import too_fine
from folder.pattern.file import read_pattern, ready_patterns
from folder.pattern.pattern import Pattern, Sheet
from folder.studies import study
from tests.folds import crease, strip, vertex_sheet


def shape_of(pattern: Pattern) -> Folded:
    return folded(faces_of(pattern))


def findings_of(pattern: Pattern) -> list[Finding]:
    """What fold and layers have to say."""
    shape = shape_of(pattern)
    return [*fold_report(pattern, shape)[0].findings, *clash_findings(shape, clashes_of(shape))]


class TestTheGapDecides:
    """Closing is judged by how far two places of one point lie apart."""

    @staticmethod
    def stub(moved_mm: float) -> Pattern:
        """A flat vertex 2 mm from the edge: a straight line of 150 mm, another across it, whose short end is a stub.

        The stub's end is moved along the edge. Mirrored by the faces on its two sides it lies twice as far apart.
        """
        at = (75.0, 2.0)
        lines = [((0.0, 2.0), 180.0), ((150.0, 2.0), 180.0), ((75.0, 150.0), 180.0), ((75.0 + moved_mm, 0.0), -180.0)]
        return Pattern(creases=tuple(crease(at, end, turn) for end, turn in lines), floor_at=(40.0, 80.0))

    @pytest.mark.parametrize(("moved_mm", "level"), [(0.06, None), (0.14, None), (0.3, "note"), (0.7, "note"), (0.8, "stop")])
    def test_a_stub_that_is_off_opens_by_twice_that_however_long_the_other_lines_are(
        self, moved_mm: float, level: str | None
    ) -> None:
        """0.06 mm on a stub of 2 mm is 3.4 deg off: at the end of the longest line, 148 mm away, that would be 8.9 mm."""
        pattern = self.stub(moved_mm)
        assert 2.0 * moved_mm == pytest.approx(shape_of(pattern).closure_gap_mm, rel=1e-6)
        report, needs_cut = fold_report(pattern, shape_of(pattern))
        assert {level} - {None} == {f.level for f in report.findings}
        assert (level == "stop") == needs_cut
        if level == "note":
            assert f"opens by {2.0 * moved_mm:.2f} mm" in report.findings[0].detail

    def test_a_line_led_through_a_point_a_hair_beside_it_places_nothing_across_that_hair(self) -> None:
        """Rounded to 0.1 mm two folds meet 0.057 mm beside a third one, which is led through their point. Neighbours across
        that hair alone are mirrored the wrong way by it: placed across it the sheet would gape by 203 mm."""
        lines = [((62.1, 0.0), (60.7, 70.2), 180.0), ((61.1, 52.6), (150.0, 3.6), -180.0), ((0.0, 15.7), (61.1, 52.6), 180.0)]
        creases = tuple(crease(start, end, turn) for start, end, turn in lines)
        pattern = Pattern(sheet=Sheet(150.0, 70.24), creases=creases, floor_at=(20.0, 60.0))
        assert 0.5 > shape_of(pattern).closure_gap_mm
        assert [] == [f for f in findings_of(pattern) if f.level == "stop"]

    @pytest.mark.parametrize("off_deg", [0.3, 3.0, 90.0])
    def test_a_turn_that_the_other_folds_do_not_allow_is_a_gap(self, off_deg: float) -> None:
        """Two walls and their flap settle every place; the diagonal's own turn moves nothing, and yet it is wrong.

        As far beside the diagonal as it is long, 35.36 mm, the foil would lie 2 sin(d / 2) times that from its place.
        """
        from tests.folds import tray

        gap = shape_of(tray(-180.0, 180.0 - off_deg, 90.0)).closure_gap_mm
        assert 2.0 * math.sin(math.radians(off_deg) / 2.0) * 25.0 * math.sqrt(2.0) == pytest.approx(gap)


class TestNearlyFlatIsFlat:
    """Above 178 deg the rules of flat folding hold."""

    @pytest.mark.parametrize("turn_deg", [178.1, 179.5, 179.9, 180.0])
    @pytest.mark.parametrize(
        ("sectors", "senses", "rule"),
        [
            ((90.0,) * 4, (1, 1, 1, 1), "Maekawa"),
            ((60.0,) * 6, (1, -1, 1, -1, 1, -1), "Maekawa"),
            ((100.0, 40.0, 80.0, 140.0), (-1, 1, 1, 1), "needs one valley and one mountain"),
            ((80.0, 100.0, 90.0, 90.0), (1, 1, 1, -1), "Kawasaki"),
        ],
    )
    def test_a_vertex_that_breaks_a_rule_is_refused(self, turn_deg: float, sectors, senses, rule: str) -> None:
        findings = findings_of(vertex_sheet(sectors, [turn_deg * s for s in senses]))
        assert any(f.level == "stop" and f.code == "flat-rule" and rule in f.detail for f in findings)

    @pytest.mark.parametrize("turn_deg", [179.6, 179.9, 180.0])
    def test_a_vertex_that_keeps_them_folds(self, turn_deg: float) -> None:
        findings = findings_of(vertex_sheet((90.0,) * 4, [turn_deg, turn_deg, turn_deg, -turn_deg]))
        assert not any(f.level == "stop" for f in findings)

    @pytest.mark.parametrize("turn_deg", [178.1, 179.5, 179.9, 180.0])
    def test_two_long_ends_over_a_short_middle_have_no_order(self, turn_deg: float) -> None:
        """Each would have to lie above the other. At 179.5 deg they pierce each other by less than 0.3 mm only."""
        assert ["stop"] == [f.level for f in findings_of(strip((40.0, 20.0, 40.0), (turn_deg, turn_deg)))][:1]
        assert [] == findings_of(strip((40.0, 20.0, 15.0), (turn_deg, turn_deg)))


class TestAStripTooWide:
    """A hem rolled in twice: the inner strip must not be wider than the outer one, 8 mm here."""

    @staticmethod
    def hem(excess_mm: float, long_mm: float = 20.0) -> Pattern:
        rolled = strip((60.0, 8.0, 8.0 + excess_mm), (180.0, 180.0))
        ends = tuple(replace(c, end=(c.end[0], long_mm)) for c in rolled.creases)
        return replace(rolled, sheet=Sheet(rolled.sheet.width_mm, long_mm), creases=ends)

    @pytest.mark.parametrize("long_mm", [20.0, 150.0, 600.0])
    @pytest.mark.parametrize("excess_mm", [-3.0, 0.0, 0.01, 0.1, 0.29])
    def test_up_to_0_3_mm_it_touches(self, excess_mm: float, long_mm: float) -> None:
        """In a face 75 times as long as wide, too: what runs beside its far side runs beside it all along."""
        assert [] == findings_of(self.hem(excess_mm, long_mm))

    @pytest.mark.parametrize("long_mm", [20.0, 150.0])
    @pytest.mark.parametrize("excess_mm", [0.4, 0.8, 1.2, 1.4])
    def test_up_to_1_5_mm_it_is_a_note_that_names_the_strip_and_by_how_much(self, excess_mm: float, long_mm: float) -> None:
        (finding,) = findings_of(self.hem(excess_mm, long_mm))
        assert ("passes-through", "note") == (finding.code, finding.level)
        assert f"{excess_mm:.1f} mm too wide" in finding.detail
        assert "too wide" in finding.text
        assert finding.at is not None
        assert 68.0 <= finding.at[0] <= 76.0 + excess_mm  # on the inner strip

    @pytest.mark.parametrize("excess_mm", [1.6, 2.2, 2.9])
    def test_more_is_a_stop_that_names_the_strip_and_not_the_senses(self, excess_mm: float) -> None:
        (finding,) = findings_of(self.hem(excess_mm))
        assert ("passes-through", "stop") == (finding.code, finding.level)
        assert f"{excess_mm:.1f} mm too wide" in finding.detail

    def test_a_strip_that_is_no_hem_at_all_is_a_matter_of_order(self) -> None:
        """30 mm over 8 mm, rolled in: nobody would take that for a strip a little too wide."""
        (finding,) = findings_of(self.hem(22.0))
        assert "any order" in finding.text

    def test_the_hem_of_a_sheet_that_is_rolled_on_two_sides_is_told_side_by_side(self) -> None:
        """1 mm too wide on the left, 0.1 mm on the right: one of them is told."""
        left, right = (10.0, 21.0 - 2.0), (130.0, 140.1)
        lines = [crease((left[0], 0.0), (left[0], 150.0), 180.0), crease((left[1], 0.0), (left[1], 150.0), 180.0)]
        lines += [crease((x, 0.0), (x, 150.0), 180.0) for x in right]
        (finding,) = findings_of(Pattern(creases=tuple(lines), floor_at=(75.0, 75.0)))
        assert "note" == finding.level
        assert "1.0 mm too wide" in finding.detail
        assert finding.at is not None
        assert finding.at[0] < 20.0

    @pytest.mark.parametrize(("deep_mm", "level"), [(0.2, None), (0.6, "note"), (1.3, "note"), (1.8, "stop")])
    def test_a_part_that_runs_into_another_is_judged_alike(self, deep_mm: float, level: str | None) -> None:
        """A ledge on one wall of a gutter 40 mm wide reaches into the other wall."""
        xs = np.cumsum([40.0 + deep_mm, 20.0, 40.0])
        lines = tuple(crease((x, 0.0), (x, 100.0), 90.0) for x in xs.tolist())
        gutter = Pattern(sheet=Sheet(140.0 + deep_mm, 100.0), creases=lines, floor_at=(80.0 + deep_mm, 50.0))
        findings = findings_of(gutter)
        assert ([] if level is None else [("passes-through", level)]) == [(f.code, f.level) for f in findings]
        if findings:
            assert f"{deep_mm:.1f} mm" in findings[0].detail


def rounded(pattern: Pattern, step_mm: float = 0.1) -> Pattern:
    """As one would write it down: every place to 0.1 mm."""

    def near(p: Point) -> Point:
        return (round(round(p[0] / step_mm) * step_mm, 9), round(round(p[1] / step_mm) * step_mm, 9))

    creases = tuple(replace(c, start=near(c.start), end=near(c.end)) for c in pattern.creases)
    return replace(pattern, creases=creases, family=None)


def random_stack(random: np.random.Generator) -> Pattern:
    """A sheet folded one to four times through all its layers, over or under, along any line."""
    while True:
        sheet = Sheet(*random.uniform(60.0, 300.0, 2).tolist()) if random.random() < 0.5 else Sheet()
        stack = FlatStack.of(sheet)
        for step in range(1, int(random.integers(1, 5)) + 1):
            angle = random.integers(0, 24) * math.tau / 24.0 + random.choice([0.0, 0.02, 0.1])
            away = random.uniform(3.0, 60.0)
            normal = (math.cos(angle), math.sin(angle))
            start = (sheet.width_mm / 2.0 + away * normal[0], sheet.height_mm / 2.0 + away * normal[1])
            stack = stack.fold(
                start, (start[0] - 10.0 * normal[1], start[1] + 10.0 * normal[0]), step, under=random.random() < 0.5
            )
        creases = stack.marked([])
        if creases and too_fine(creases, sheet) is None:
            root = next(layer for layer in stack.layers if layer.motion == Motion())
            x, y = np.array(root.outline).mean(axis=0).tolist()
            return Pattern(sheet=sheet, creases=creases, floor_at=(x, y))


def random_hull(random: np.random.Generator) -> Pattern:
    """A family with some of its parameters drawn anew."""
    while True:
        family = str(random.choice(list(FAMILIES)))
        drawn = [p for p in FAMILIES[family].parameters if random.random() < 0.6]
        try:
            pattern = make(family, {p.name: _drawn(p, random) for p in drawn})
        except BadRequest:
            continue
        if len(pattern.creases) <= 250:
            return pattern


def _drawn(parameter: Parameter, random: np.random.Generator) -> Value:
    if isinstance(parameter.default, str):
        return str(random.choice(parameter.choices)) if parameter.choices else parameter.default
    if parameter.whole:
        return float(random.integers(int(parameter.low), int(parameter.high) + 1))
    high = min(parameter.high, 2.0 * parameter.default or 20.0)
    return float(random.uniform(max(parameter.low, -20.0), high))


class TestFoldedThroughLayers:
    """What is folded through layers, exact and rounded to 0.1 mm."""

    @pytest.mark.parametrize("drawn", [random_stack, random_hull])
    def test_it_is_never_refused_where_it_closes_to_0_3_mm(self, drawn, many) -> None:
        random = np.random.default_rng(14)
        close = 0
        for _ in range(many(15, 250)):
            exact = drawn(random)
            assert [] == [f for f in findings_of(exact) if f.level == "stop"]
            near = rounded(exact)
            if shape_of(near).closure_gap_mm <= 0.3:
                close += 1
                assert [] == [f for f in findings_of(near) if f.level == "stop"]
                assert [] == [f.code for f in study(near).report.stops if f.code in ("lone-line", "stops-short", "two-senses")]
        assert close > 10

    @pytest.mark.parametrize("name", sorted(ready_patterns()))
    def test_a_ready_pattern_folds_when_written_down_to_0_1_mm(self, name: str) -> None:
        assert study(rounded(read_pattern(ready_patterns()[name]))).folds

    def test_a_wrong_sense_is_judged_alike_exact_and_rounded(self, many) -> None:
        """One fold pressed flat made the other way: refused, but for the few that may be made either way."""
        other = {"valley": "mountain", "mountain": "valley"}
        wrong = []
        for family in ("hemmed-tray", "double-sheet-tray", "pinched-barge", "six-sided-bowl"):
            exact = make(family, {})
            for k in range(0, len(exact.creases), many(12, 1)):
                if (exact.creases[k].turn_rad or 0.0) > math.radians(178.0):
                    flipped = replace(exact.creases[k], sense=other[exact.creases[k].sense])
                    changed = replace(exact, creases=(*exact.creases[:k], flipped, *exact.creases[k + 1 :]))
                    stopped = [any(f.level == "stop" for f in findings_of(p)) for p in (changed, rounded(changed))]
                    assert stopped[0] == stopped[1]
                    wrong += stopped[:1]
        assert sum(wrong) > 0.6 * len(wrong) > 5
