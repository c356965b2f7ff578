"""Bent walls and drawn-out bowls: what they hold, that they close, and that a second folding program finds the same."""

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from scipy.integrate import quad
from scipy.optimize import minimize

from folder.errors import BadRequest
from folder.fold.place import folded
from folder.hull.hull import hull_of
from folder.pattern.faces.faces import faces_of
from folder.pattern.families.bent.ear import Ears
from folder.pattern.families.catalogue import make
from folder.pattern.pattern import Sheet
from folder.verdict import verdict_of
from tests.second_fold import SecondFold
from tests.studied import family_study

BENT_CM3 = {1: 291.66, 2: 313.95, 3: 320.35, 4: 323.04, 5: 324.41}
"""The most that square walls of so many strips can hold on a sheet of 15 cm: worked out for this program, in closed form."""

DIAMOND = {"floor": 36.665 * math.sqrt(2.0), "turn": 25.984, "pleat": 3.374}
DIAMOND_INSIDE = {"floor": 35.045 * math.sqrt(2.0), "turn": 26.638, "pleat": 4.038, "side": "inside"}
FAN = {"floor": 31.163 * math.sqrt(2.0), "turn": 26.851, "kink": 75.0 - 53.318, "spare": 2.899, "pleat": 4.201}
STARS = [("diamond-bowl", DIAMOND, 313.6), ("diamond-bowl", DIAMOND_INSIDE, 319.0), ("fan-bowl", FAN, 328.5)]


def hull(pattern):
    return hull_of(folded(faces_of(pattern)), pattern.sheet.thickness_um)


def frusta_mm3(strips, turns, half=75.0):
    """Square frusta on one another: h / 3 (b^2 + b B + B^2) each (textbook)."""
    side, volume = 2.0 * (half - sum(strips)), 0.0
    for width, turn in zip(strips, turns, strict=True):
        high, top = width * math.sin(turn), side + 2.0 * width * math.cos(turn)
        volume += high / 3.0 * (side * side + side * top + top * top)
        side = top
    return volume


class TestBentTray:
    @pytest.mark.parametrize("bends", BENT_CM3)
    def test_the_strips_it_has_by_itself_are_the_best_there_are(self, bends):
        """Against scipy's SLSQP on the closed form of frusta."""
        made = hull(make("bent-tray", {"bends": bends}))
        start = np.append(np.full(bends, 40.0 / bends), np.linspace(0.5, 1.4, bends))
        bounds = [(3.0, 60.0)] * bends + [(0.1, math.pi / 2.0)] * bends
        best = minimize(lambda x: -frusta_mm3(x[:bends], x[bends:]) / 1e5, start, method="SLSQP", bounds=bounds, tol=1e-13)
        assert BENT_CM3[bends] == pytest.approx(-100.0 * best.fun, abs=0.01)
        assert BENT_CM3[bends] == pytest.approx(made.volume_mm3 / 1000.0, rel=1e-4)

    @settings(max_examples=30, deadline=None)
    @given(
        st.lists(st.tuples(st.floats(4.0, 14.0), st.floats(15.0, 85.0)), min_size=1, max_size=5),
        st.sampled_from(["round", "sides"]),
    )
    def test_it_is_frusta_on_one_another_and_closes(self, strips, tuck):
        turns = sorted(turn for _, turn in strips)
        widths = [width for width, _ in strips]
        values = {f"strip{k}": width for k, width in enumerate(widths, start=1)}
        values |= {f"turn{k}": turn for k, turn in enumerate(turns, start=1)}
        try:
            pattern = make("bent-tray", {"bends": len(strips), "tuck": tuck, **values})
        except BadRequest:
            assume(False)
        made = hull(pattern)
        assert 1e-9 > made.folded.closure_gap_mm
        assert frusta_mm3(widths, np.radians(turns)) == pytest.approx(made.volume_mm3, rel=1e-9)

    def test_the_ear_of_two_bends_lies_flat_on_its_wall_in_three_layers_with_36_creases(self):
        study = family_study("bent-tray", bends=2)
        assert 36 == len(study.pattern.creases)
        assert 3 == max(len(cell) for cell in study.clashes.layering.cells)

    def test_a_larger_sheet_has_larger_strips(self):
        small, large = (hull(make("bent-tray", sheet=Sheet(side, side))).volume_mm3 for side in (150.0, 300.0))
        assert 8.0 * small == pytest.approx(large, rel=1e-9)

    @pytest.mark.parametrize(
        ("values", "words"),
        [
            ({"bends": 2, "strip3": 10}, "no such strip.*at least 3 bends"),
            ({"bends": 3, "turn1": 50, "turn2": 40}, "stand up more than the one below"),
            ({"bends": 3, "strip2": 1}, "narrow"),
            ({"bends": 3, "strip1": 70}, "leave no floor"),
        ],
    )
    def test_strips_that_make_no_wall_are_refused_with_the_reason(self, values, words):
        with pytest.raises(BadRequest, match=words):
            make("bent-tray", values)


class TestStars:
    @pytest.mark.parametrize(("family", "values", "grams"), STARS)
    def test_they_carry_what_was_worked_out_for_them(self, family, values, grams):
        study = family_study(family, **values)
        assert "hull" == verdict_of(study).code
        assert grams <= study.brim.load_g
        assert 1e-9 > study.folded.closure_gap_mm
        assert 0 == len(study.clashes.pairs)

    @pytest.mark.parametrize("side_mm", [60.0, 300.0])
    @pytest.mark.parametrize("family", ["diamond-bowl", "fan-bowl"])
    def test_on_another_sheet_it_is_the_same_bowl_smaller_or_larger(self, family, side_mm):
        """Similar shapes: volumes as the cubes of the sides, to the rounding of lengths."""
        usual, other = (hull(make(family, sheet=Sheet(side, side))).volume_mm3 for side in (150.0, side_mm))
        assert usual * (side_mm / 150.0) ** 3 == pytest.approx(other, rel=2e-3)

    def test_the_fan_passes_the_bound_of_hulls_with_square_level_lines(self):
        """327.3 cm3 for walls that bend freely over a square (Paulsen 1994)."""
        assert 327.3 < hull(make("fan-bowl", FAN)).volume_mm3 / 1000.0

    @settings(max_examples=30, deadline=None)
    @given(st.floats(40.0, 62.0), st.floats(20.0, 32.0), st.floats(2.0, 8.0), st.sampled_from(["outside", "inside"]))
    def test_every_diamond_that_reaches_closes(self, floor, turn, pleat, side):
        try:
            pattern = make("diamond-bowl", {"floor": floor, "turn": turn, "pleat": pleat, "side": side})
        except BadRequest:
            assume(False)
        assert 1e-9 > folded(faces_of(pattern)).closure_gap_mm

    def test_a_sheet_that_is_no_square_is_refused(self):
        with pytest.raises(BadRequest, match="must be a square"):
            make("fan-bowl", sheet=Sheet(150.0, 140.0))

    @pytest.mark.parametrize(
        ("family", "values", "words"),
        [
            ("diamond-bowl", {"pleat": 12.0, "turn": 22.0}, "do not reach"),
            ("diamond-bowl", {"floor": 110.0}, "no room for the pleats"),
            ("fan-bowl", {"kink": 50.0}, "no room for the pleats"),
        ],
    )
    def test_bowls_that_cannot_be_are_refused_with_the_reason(self, family, values, words):
        with pytest.raises(BadRequest, match=words):
            make(family, values)


@pytest.mark.parametrize(
    ("family", "values"),
    [("two-bend-tray", {}), *(("bent-tray", {"bends": n}) for n in BENT_CM3), *((f, v) for f, v, _ in STARS)],
)
def test_a_second_folding_program_finds_the_same_hull(family, values):
    """Every corner of every piece lies where the program puts it, and both pieces at each line agree. Its grid is 1e-9 mm."""
    pattern = make(family, values)
    made, second = folded(faces_of(pattern)), SecondFold(pattern)
    assert made.faces.count == len(second.pieces) == len(second.motions)
    assert 1e-6 > second.gap_mm
    ours = made.corners.reshape(-1, 3)
    for number, piece in enumerate(second.pieces):
        for corner in second.place(number, np.array(piece.exterior.coords)):
            assert 1e-6 > np.linalg.norm(ours - corner, axis=1).min()


@pytest.mark.parametrize("wrong", range(16))
def test_the_second_folding_program_sees_any_one_wrong_turn(wrong):
    pattern = make("square-tray")
    creases = [replace(c, turn_rad=c.turn_rad - (0.1 if k == wrong else 0.0)) for k, c in enumerate(pattern.creases)]
    assert 16 == len(creases)
    assert 1.0 < SecondFold(replace(pattern, creases=tuple(creases))).gap_mm


def section_mm2(edges, level):
    """Area of a level cut: the places where edges (n, 2, 3) of all four sides pass the level, round the middle (shapely)."""
    low, high = edges[:, 0], edges[:, 1]
    passed = (low[:, 2] <= level) & (level < high[:, 2])
    share = (level - low[passed, 2]) / (high[passed, 2] - low[passed, 2])
    places = low[passed] + share[:, None] * (high[passed] - low[passed])
    return shapely.Polygon(sorted(places[:, :2], key=lambda p: math.atan2(p[1], p[0]))).area


@pytest.mark.parametrize(("family", "values", "line"), [
    ("diamond-bowl", DIAMOND, [36.665, 75.0 + 3.374j]),
    ("fan-bowl", FAN, [31.163, 53.318 + 2.899j, 75.0 + 4.201j]),
])  # fmt: skip
def test_the_volume_of_a_star_is_that_of_its_level_cuts(family, values, line):
    """The pleats hold no water: cuts through the facets alone, as the second folding program places them, integrated by scipy."""
    pattern = make(family, values)
    second, made = SecondFold(pattern), hull(pattern)
    edges = []
    for quarter in (1, 1j, -1, -1j):
        on_sheet = [75.0 + 75.0j + place * quarter for place in (*line, 75.0 + 75.0j, 75.0 - 75.0j)]
        *places, upper, lower = (second.at((place.real, place.imag)) - (75.0, 75.0, 0.0) for place in on_sheet)
        edges += pairwise(places)
        edges += [(place, corner) for place in places[:-1] for corner in (upper, lower)]
    heights = sorted({round(place[2], 6) for edge in edges for place in edge if place[2] < made.rim_height_mm})
    volume = quad(lambda z: section_mm2(np.array(edges), z), 0.0, made.rim_height_mm, points=heights[1:], limit=200)[0]
    assert volume == pytest.approx(made.volume_mm3, rel=1e-6)


class TestEar:
    @given(st.floats(0.05, 0.6), st.floats(0.1, 1.2), st.floats(0.9, 1.5), st.floats(0.9, 1.5))
    def test_its_law_keeps_the_product_of_half_tangents(self, eps, more, first, second):
        """The law as it is printed above the code, on any bend that turns more in space than on the sheet."""
        delta = eps + more
        ears = Ears((0.0, eps), (0.0, delta), (2.0 * first, 2.0 * second))
        limits = ears.limits()
        assume(limits is not None)
        one, other = ears.at(limits[1]).angles_rad
        law = math.sin((delta - eps) / 2.0) / math.sin((delta + eps) / 2.0)
        assert law == pytest.approx(math.tan(one / 2.0) * math.tan(other / 2.0))

    def test_no_ear_passes_a_bend_that_turns_more_on_the_sheet_than_in_space(self):
        assert Ears((0.0, 0.5), (0.0, 0.4), (2.0, 2.0)).limits() is None
