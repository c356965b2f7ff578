"""Free turns solved, and what stands in the way when they cannot be."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from folder.fold.closing.solve import Solution, edge_senses, solved
from folder.fold.closing.unsolved import unsolved_findings
from folder.fold.layers.clash import clashes_of
from folder.fold.place import folded
from folder.pattern.edit import apply_remedy
from folder.pattern.faces.faces import Faces, faces_of
from folder.pattern.pattern import Crease, Pattern
from tests.folds import miura, miura_turns, tray, turns_at, vertex_sheet


def solution_of(pattern: Pattern) -> tuple[Faces, Solution]:
    faces = faces_of(pattern)
    return faces, solved(faces, pattern.creases)


def corner_turns(pattern: Pattern, corner: int = 0) -> list[float]:
    """The solved turns of a tray's corner in degrees: side, diagonal, side."""
    faces, solution = solution_of(pattern)
    return turns_at(faces, solution.turn, range(4 + 3 * corner, 7 + 3 * corner))


class TestMiura:
    """A patch folded from one driven turn, against the closed form (Akitaya et al., arXiv:1812.01160, theorem 6)."""

    @pytest.mark.parametrize("acute", [60.0, 80.0])
    @pytest.mark.parametrize("drive", [20.0, 60.0, 120.0, 160.0])
    @pytest.mark.parametrize("inner", [4, 5])
    def test_a_five_by_five_patch_matches_the_closed_form(self, inner: int, acute: float, drive: float) -> None:
        """Five by five parallelograms have 4 x 4 inner vertices; 5 x 5 inner vertices are tried as well."""
        pattern = miura(inner, inner, acute, drive)
        faces, solution = solution_of(pattern)
        settled = np.zeros(len(faces.edges), dtype=np.bool_)
        settled[solution.fans.edge.ravel()] = True
        want = miura_turns(pattern, faces, acute, drive)
        assert 0 == solution.freedom
        assert np.abs(solution.turn - want)[settled].max() < 1e-9
        assert folded(faces, solution.turn).closure_gap_mm < 1e-9

    def test_a_patch_of_a_thousand_creases_closes(self) -> None:
        pattern = miura(22, 22, 80.0, 150.0)
        faces, solution = solution_of(pattern)
        assert len(pattern.creases) > 1000
        assert solution.misfit.max() < 1e-12
        assert folded(faces, solution.turn).closure_gap_mm < 1e-9


class TestTrayCorner:
    """The corner of a tray: CHECKS section 5."""

    @pytest.mark.parametrize(
        ("floor", "side", "diagonal"),
        [(30.0, -12.66647, 60.0), (45.0, -19.47122, 90.0), (60.0, -26.89895, 120.0)],
    )
    def test_floor_turns_settle_the_other_three(self, floor: float, side: float, diagonal: float) -> None:
        pattern = tray(None, None, None, floor=floor, senses="mvm")
        assert [side, diagonal, side] == pytest.approx(corner_turns(pattern), abs=5e-6)
        assert 0 == solution_of(pattern)[1].freedom

    def test_at_square_walls_the_flaps_swing_freely_and_that_is_said(self) -> None:
        pattern = tray(None, 180.0, None)
        faces, solution = solution_of(pattern)
        notes = [f for f in unsolved_findings(faces, pattern.creases, solution) if f.code == "any-angle"]
        assert solution.closed
        assert 4 == solution.freedom
        assert {(25.0, 25.0), (125.0, 25.0), (125.0, 125.0), (25.0, 125.0)} == {f.at for f in notes}
        assert all(f.level == "note" and "Any angle works" in f.text for f in notes)

    @pytest.mark.parametrize(
        ("senses", "turns"),
        [("mvv", (-180.0, 180.0, 90.0)), ("vvm", (90.0, 180.0, -180.0)), ("vmv", (180.0, -180.0, 90.0))],
    )
    def test_a_free_flap_is_laid_flat_to_the_side_its_creases_were_drawn_for(
        self, senses: str, turns: tuple[float, float, float]
    ) -> None:
        for corner in range(4):
            assert list(turns) == pytest.approx(corner_turns(tray(None, None, None, senses=senses), corner), abs=1e-9)

    def test_where_the_senses_would_push_a_flap_through_a_wall_another_way_is_taken(self) -> None:
        """Two valleys beside a valley diagonal: laid inside, the flap would cross; outside, one sense gives way."""
        pattern = tray(None, 180.0, None, senses="vvv")
        faces, solution = solution_of(pattern)
        assert solution.closed
        assert 0 == len(clashes_of(folded(faces, solution.turn)).pairs)

    def test_a_leaning_corner_swings_too(self) -> None:
        """CHECKS: floor turns 57.914, side creases that lean by atan(cos f), a diagonal folded flat: the flap swings."""
        floor = 57.914
        lean = math.degrees(math.atan(math.cos(math.radians(floor))))
        half = 45.0 - lean
        pattern = vertex_sheet((90, 90 + lean, half, half, 90 + lean), [floor, floor, None, 180.0, None], "vvmvv")
        faces, solution = solution_of(pattern)
        sides = turns_at(faces, solution.turn, [2, 4])
        assert solution.misfit.max() < 1e-9
        assert 1 == solution.freedom
        # Laid flat: one side folded back onto its wall, the other at the angle between the walls.
        assert [-180.0, math.degrees(math.acos(math.cos(math.radians(floor)) ** 2))] == pytest.approx(sides, abs=1e-6)


class TestFreedom:
    """n creases at an inner vertex leave n - 3 freedoms (Tachi 2009)."""

    @pytest.mark.parametrize(
        ("sectors", "senses"),
        [((60, 120, 120, 60), "vvvm"), ((90, 45, 45, 90, 90), "vmvmv"), ((50, 70, 40, 80, 65, 55), "vmvvmv")],
    )
    def test_a_vertex_of_free_creases_has_three_less_than_its_creases(self, sectors: tuple[float, ...], senses: str) -> None:
        _, solution = solution_of(vertex_sheet(sectors, [None] * len(sectors), senses))
        assert solution.closed
        assert len(sectors) - 3 == solution.freedom

    def test_driving_one_takes_one_away(self) -> None:
        _, solution = solution_of(vertex_sheet((50, 70, 40, 80, 65, 55), [40.0, None, None, None, None, None], "vmvvmv"))
        assert solution.closed
        assert 2 == solution.freedom

    def test_a_free_crease_across_the_whole_sheet_is_a_freedom_of_its_own(self) -> None:
        pattern = Pattern(creases=(Crease((30.0, 0.0), (30.0, 150.0), "valley", None),))
        faces, solution = solution_of(pattern)
        assert 1 == solution.freedom
        assert [90.0] == pytest.approx(turns_at(faces, solution.turn, [0]))

    def test_a_folded_sheet_without_free_creases_has_none(self) -> None:
        _, solution = solution_of(tray(-180.0, 180.0, 90.0))
        assert solution.closed
        assert 0 == solution.freedom
        assert not solution.swings.any()


class TestGivenTurns:
    """What is given is kept; what stands in the way is named."""

    @given(st.floats(5.0, 175.0), st.sampled_from(["valley", "mountain"]))
    @settings(max_examples=25, deadline=None)
    def test_a_given_turn_is_kept_to_the_last_bit(self, drive: float, sense: str) -> None:
        turns = [drive if sense == "valley" else -drive, None, None, None]
        pattern = vertex_sheet((50, 80, 130, 100), turns, "vvvv")
        faces, solution = solution_of(pattern)
        given_edges = ~faces.free
        assert (solution.turn[given_edges] == faces.turn[given_edges]).all()
        assert solution.misfit.max() < 1e-9

    def test_the_turn_in_the_way_is_named_with_what_it_should_be(self) -> None:
        """With the diagonal at 170 deg no side turns close between square walls; with 180 they do."""
        pattern = tray(None, 170.0, None, senses="mvm")
        faces, solution = solution_of(pattern)
        stops = [f for f in unsolved_findings(faces, pattern.creases, solution) if f.level == "stop"]
        assert not solution.closed
        assert {"will-not-close"} == {f.code for f in stops}
        assert 4 == len(stops)
        assert all("170.0 deg stands in the way: with 180.0 deg" in f.detail for f in stops)

    def test_the_remedies_one_after_another_make_it_close(self) -> None:
        pattern = tray(None, 170.0, None, senses="mvm")
        left = []
        for _ in range(4):
            faces, solution = solution_of(pattern)
            stop = next(f for f in unsolved_findings(faces, pattern.creases, solution) if f.level == "stop")
            left.append(int((solution.gap_mm > 0.3).sum()))
            assert stop.remedy is not None
            pattern = apply_remedy(pattern, stop.remedy)
        assert [4, 3, 2, 1] == left
        assert solution_of(pattern)[1].closed

    def test_where_no_single_turn_is_to_blame_none_is_named(self) -> None:
        """A right-angled cross: both lines given, a fifth free crease cannot help (CHECKS: p = 0)."""
        pattern = vertex_sheet((90, 90, 45, 45, 90), [80.0, 80.0, 80.0, None, 80.0])
        faces, solution = solution_of(pattern)
        stop = next(f for f in unsolved_findings(faces, pattern.creases, solution) if f.level == "stop")
        assert stop.remedy is None
        assert "other lines" in stop.text

    def test_a_corner_drawn_on_a_half_millimetre_grid_still_closes(self) -> None:
        pattern = tray(None, 180.0, None, wall_mm=24.8)
        rounded = replace(
            pattern,
            creases=tuple(replace(c, start=_on_grid(c.start), end=_on_grid(c.end)) for c in pattern.creases),
        )
        _, solution = solution_of(rounded)
        assert solution.closed


def _on_grid(p: tuple[float, float]) -> tuple[float, float]:
    x, y = round(p[0] * 2.0) / 2.0, round(p[1] * 2.0) / 2.0
    return (x, y)


@st.composite
def scribbles(draw: st.DrawFn) -> Pattern:
    """Up to 80 creases anywhere, turned anyhow."""
    place = st.tuples(st.floats(0.0, 150.0), st.floats(0.0, 150.0))
    seed = draw(st.integers(0, 10**6))
    count = draw(st.integers(0, 80))
    random = np.random.default_rng(seed)
    creases = []
    for _ in range(count):
        ends = random.uniform(0.0, 150.0, 4)
        turn = random.choice([None, math.pi, math.pi / 2.0, random.uniform(0.0, math.pi)])
        sense = random.choice(["valley", "mountain", "cut"], p=[0.48, 0.48, 0.04])
        creases.append(Crease((ends[0], ends[1]), (ends[2], ends[3]), sense, turn))
    return Pattern(creases=tuple(creases), floor_at=draw(place))


class TestAnything:
    """No drawing brings the search down."""

    @given(scribbles())
    @settings(max_examples=10, deadline=None)
    def test_a_scribble_is_solved_placed_and_searched_for_clashes(self, pattern: Pattern) -> None:
        faces, solution = solution_of(pattern)
        shape = folded(faces, solution.turn)
        clashes = clashes_of(shape)
        findings = unsolved_findings(faces, pattern.creases, solution)
        assert np.isfinite(solution.turn).all()
        assert np.abs(solution.turn).max(initial=0.0) <= math.pi + 1e-9
        assert clashes.complete or shape.closure_gap_mm > 1.5
        assert solution.closed or all(f.level in ("stop", "note") for f in findings)

    @given(scribbles())
    @settings(max_examples=3, deadline=None)
    def test_solving_again_gives_the_same(self, pattern: Pattern) -> None:
        faces = faces_of(pattern)
        assert (solved(faces, pattern.creases).turn == solved(faces, pattern.creases).turn).all()

    def test_senses_are_those_of_the_drawing(self) -> None:
        pattern = tray(None, 180.0, None)
        faces = faces_of(pattern)
        senses = edge_senses(faces, pattern.creases)
        drawn = {"valley": 1.0, "mountain": -1.0}
        assert all(senses[e] == drawn[pattern.creases[c].sense] for e, c in enumerate(faces.crease) if c >= 0)
        assert (senses[faces.crease < 0] == 0.0).all()
