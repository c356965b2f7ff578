"""One vertex: closing, how the misfit changes with each turn, and the rules of flat folding."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from folder.fold.vertex import closure, misfits, residual_and_jacobian
from folder.geometry.space import Floats
from tests.folds import flat_rule_breaks


def misfit(sectors_deg: Sequence[float], turns_deg: Sequence[float]) -> float:
    """Degrees; crease i is followed by sector i."""
    return float(np.degrees(misfits(np.radians([turns_deg]), np.radians([sectors_deg]))[0]))


def degree_four(a_deg: float, b_deg: float, drive_deg: float, mode: str) -> list[float]:
    """Akitaya et al., arXiv:1812.01160, theorem 6, for sectors a, b, 180 - a, 180 - b.

    The turns of the creases, each followed by the sector of its number, in one of its two modes.
    """
    t, u, drive = (math.tan(math.radians(x) / 2.0) for x in (a_deg, b_deg, drive_deg))
    if mode == "a":
        p = (1.0 - t * u) / (1.0 + t * u)
        halves = (drive, -p * drive, drive, p * drive)
    else:
        p = (u - t) / (u + t)
        halves = (-p * drive, drive, p * drive, drive)
    return [math.degrees(2.0 * math.atan(h)) for h in halves]


class TestDegreeFour:
    """Both modes of a flat-foldable vertex of four creases."""

    ROWS = (
        (math.degrees(math.atan(0.75)), 90.0, 90.0),
        (60.0, 120.0, 120.0),
        (90.0, 90.0, 50.0),
        (75.0, 100.0, 140.0),
        (30.0, 110.0, 20.0),
    )

    @pytest.mark.parametrize("mode", ["a", "b"])
    @pytest.mark.parametrize(("a", "b", "drive"), ROWS)
    def test_closes(self, a: float, b: float, drive: float, mode: str) -> None:
        assert misfit((a, b, 180.0 - a, 180.0 - b), degree_four(a, b, drive, mode)) < 1e-12

    def test_three_four_five_gives_53_deg(self) -> None:
        """CHECKS: a = atan(3/4), b = 90, p = 1/2: turns 90, -53.1301, 90, 53.1301."""
        turns = degree_four(math.degrees(math.atan(0.75)), 90.0, 90.0, "a")
        assert [90.0, -53.1301, 90.0, 53.1301] == pytest.approx(turns, abs=5e-5)

    def test_sixty_one_twenty_driven_by_120_gives_81_79_deg(self) -> None:
        """CHECKS: a = 60, b = 120, p = cos 60."""
        assert 81.7868 == pytest.approx(max(t for t in degree_four(60.0, 120.0, 120.0, "b") if t < 119.0), abs=5e-5)

    def test_of_a_right_angled_cross_only_one_line_can_turn(self) -> None:
        """CHECKS: 90/90 cross, p = 0."""
        for mode in ("a", "b"):
            turns = degree_four(90.0, 90.0, 50.0, mode)
            assert [0.0, 0.0, 50.0, 50.0] == pytest.approx(sorted(turns), abs=1e-12)
        assert misfit((90.0,) * 4, (50.0, 40.0, 50.0, 40.0)) > 10.0

    @given(st.floats(5.0, 175.0), st.floats(5.0, 175.0), st.floats(-179.0, 179.0), st.sampled_from("ab"))
    def test_closes_for_any_sectors_and_any_drive(self, a: float, b: float, drive: float, mode: str) -> None:
        assert misfit((a, b, 180.0 - a, 180.0 - b), degree_four(a, b, drive, mode)) < 1e-9


class TestTrayCorner:
    """Degree five: sectors 90 (floor), 90, 45, 45, 90; creases: floor, side, diagonal, side, floor."""

    SECTORS = (90.0, 45.0, 45.0, 90.0, 90.0)

    @pytest.mark.parametrize(
        ("floor", "side", "diagonal"),
        [
            (30.0, -12.66647, 60.0),
            (45.0, -math.degrees(math.asin(1.0 / 3.0)), 90.0),
            (60.0, -26.89895, 120.0),
            (90.0, -45.0, 180.0),
        ],
    )
    def test_closes_on_the_symmetric_path(self, floor: float, side: float, diagonal: float) -> None:
        """CHECKS section 5: floor turns, then side and diagonal."""
        assert misfit(self.SECTORS, (floor, side, diagonal, side, floor)) < 1e-4

    @pytest.mark.parametrize("sides", [(-180.0, 90.0), (-45.0, -45.0), (0.0, -90.0), (-100.0, 10.0)])
    def test_at_square_walls_the_doubled_flap_swings_freely(self, sides: tuple[float, float]) -> None:
        assert misfit(self.SECTORS, (90.0, sides[0], 180.0, sides[1], 90.0)) < 1e-12

    @pytest.mark.parametrize("sides", [(-168.978, 62.589), (-53.195, -53.195)])
    def test_a_leaning_corner_closes_in_more_than_one_way(self, sides: tuple[float, float]) -> None:
        """CHECKS: floor turns 57.914, side creases lean by atan(cos f) = 27.98 deg."""
        floor = 57.914
        lean = math.degrees(math.atan(math.cos(math.radians(floor))))
        half = (90.0 - 2.0 * lean) / 2.0
        sectors = (90.0 + lean, half, half, 90.0 + lean, 90.0)
        assert 27.98 == pytest.approx(lean, abs=0.005)
        assert misfit(sectors, (floor, sides[0], 180.0, sides[1], floor)) < 2e-3

    def test_it_is_not_flat_foldable(self) -> None:
        turns = np.radians([180.0, -180.0, 180.0, -180.0, 180.0])
        assert flat_rule_breaks(np.radians(self.SECTORS), turns, 1e-6)[0]


class TestPulls:
    """The misfit as a vector and its change."""

    @pytest.fixture
    def random_vertices(self) -> tuple[Floats, Floats]:
        random = np.random.default_rng(3)
        return random.uniform(-3.1, 3.1, (40, 6)), random.dirichlet(np.ones(6), 40) * 2.0 * math.pi

    def test_the_vector_is_as_long_as_the_misfit_says(self, random_vertices: tuple[Floats, Floats]) -> None:
        turns, sectors = random_vertices
        value, _ = residual_and_jacobian(turns, sectors)
        assert np.linalg.norm(value, axis=1) == pytest.approx(2.0 * np.sin(misfits(turns, sectors) / 2.0), abs=1e-12)

    def test_the_vector_is_the_axis_of_the_rotation_that_remains(self, random_vertices: tuple[Floats, Floats]) -> None:
        turns, sectors = random_vertices
        value, _ = residual_and_jacobian(turns, sectors)
        assert value == pytest.approx(np.einsum("nij,nj->ni", closure(turns, sectors), value), abs=1e-12)

    def test_the_change_is_that_of_central_differences(self, random_vertices: tuple[Floats, Floats]) -> None:
        turns, sectors = random_vertices
        _, change = residual_and_jacobian(turns, sectors)
        for k in range(turns.shape[1]):
            h = np.zeros_like(turns)
            h[:, k] = 1e-5
            slope = (residual_and_jacobian(turns + h, sectors)[0] - residual_and_jacobian(turns - h, sectors)[0]) / 2e-5
            assert change[:, :, k] == pytest.approx(slope, abs=1e-8)

    def test_a_vertex_off_by_a_half_turn_is_not_taken_for_closed(self) -> None:
        """The skew part of the product vanishes there too, which is why it is not used."""
        value, _ = residual_and_jacobian(np.array([[math.pi, 0.0]]), np.array([[math.pi, math.pi]]))
        assert 2.0 == pytest.approx(float(np.linalg.norm(value)))


@st.composite
def flat_vertices(draw: st.DrawFn) -> tuple[list[float], list[float]]:
    """A flat-foldable vertex, built by creasing: fold a sheet with a cone point flat by one pleat after another.

    One starts from two half planes folded onto each other, and pleats a sector: it becomes three, the middle one shorter
    than both, between creases of opposite sense. Each pleat keeps the alternating sum and the difference of the counts.
    """
    sectors, senses = [180.0, 180.0], [1.0, 1.0]
    for _ in range(draw(st.integers(1, 4))):
        k = draw(st.integers(0, len(sectors) - 1))
        whole = sectors[k]
        small = whole * draw(st.floats(0.12, 0.4))
        first = small + (whole - small) * draw(st.floats(0.2, 0.8))
        # first - small + last = whole, the pleat hides twice its middle.
        last = whole - first + small
        sectors[k : k + 1] = [first, small, last]
        side = draw(st.sampled_from([1.0, -1.0]))
        senses[k + 1 : k + 1] = [side, -side]
    scale = 360.0 / sum(sectors)
    return [s * scale for s in sectors], senses


class TestFlatRules:
    """Kawasaki-Justin, Maekawa-Justin and the small sector."""

    @given(flat_vertices())
    def test_a_vertex_built_by_pleating_passes(self, vertex: tuple[list[float], list[float]]) -> None:
        sectors, senses = np.radians(vertex[0]), np.array(vertex[1]) * math.pi
        assert flat_rule_breaks(sectors, senses, 1e-9) == (False, False, False)
        assert misfits(senses[None], sectors[None])[0] < 1e-9

    @given(flat_vertices(), st.integers(0, 20))
    def test_the_same_with_one_crease_moved_by_one_degree_fails(
        self, vertex: tuple[list[float], list[float]], which: int
    ) -> None:
        sectors, senses = np.radians(vertex[0]), np.array(vertex[1]) * math.pi
        k = which % len(sectors)
        moved = sectors.copy()
        moved[k] += math.radians(1.0)
        moved[k - 1] -= math.radians(1.0)
        assert flat_rule_breaks(moved, senses, math.radians(0.5))[0]
        assert math.degrees(misfits(senses[None], moved[None])[0]) > 1.9

    @pytest.mark.parametrize(
        ("sectors", "senses", "source"),
        [
            ((90, 45, 22.5, 22.5, 45, 90, 22.5, 22.5), "vvmvvmvm", "the example of CHECKS section 5; senses by the rules"),
            ((45, 45, 90, 45, 45, 90), "vmvvmv", "waterbomb base, traditional; from memory"),
            ((90, 45, 45, 90, 45, 45), "mvmmvm", "preliminary base, the waterbomb's other side; from memory"),
            ((60, 120, 120, 60), "vvvm", "Miura's vertex (Miura 1985); from memory"),
            ((45, 90, 135, 90), "vmvv", "one corner of a bird base's flap; by the rules"),
        ],
    )
    def test_published_vertices_pass(self, sectors: tuple[float, ...], senses: str, source: str) -> None:
        assert source
        turns = np.array([math.pi if s == "v" else -math.pi for s in senses])
        assert flat_rule_breaks(np.radians(sectors), turns, 1e-9) == (False, False, False)

    @pytest.mark.parametrize(
        ("sectors", "senses", "broken"),
        [
            ((90, 90, 45, 45, 90), "vmvmv", 0),  # tray corner, CHECKS section 5: degree five
            ((120, 120, 120), "vvm", 0),  # a box's corner cut: odd degree (Kawasaki)
            ((100, 80, 100, 80), "vvvm", 0),  # alternate sectors sum to 200 deg
            ((90, 90, 90, 90), "vvvv", 1),  # Maekawa: 4 valleys, no mountain
            ((90, 90, 90, 90), "vvmm", 1),
            ((45, 90, 135, 90), "vvvm", 2),  # the 45 deg sector lies between two valleys (big-little-big; Hull 1994)
        ],
    )
    def test_vertices_that_cannot_be_folded_flat_break_the_rule_that_says_so(
        self, sectors: tuple[float, ...], senses: str, broken: int
    ) -> None:
        turns = np.array([math.pi if s == "v" else -math.pi for s in senses])
        assert flat_rule_breaks(np.radians(sectors), turns, 1e-9)[broken]

    def test_a_sector_as_large_as_its_neighbour_may_lie_between_two_valleys(self) -> None:
        """The rule speaks of a strictly smaller sector only: four right angles fold with v v v m."""
        turns = np.array([math.pi, math.pi, math.pi, -math.pi])
        assert flat_rule_breaks(np.radians([90.0] * 4), turns, 1e-9) == (False, False, False)
