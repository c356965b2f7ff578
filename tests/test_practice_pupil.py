"""The next build of one pupil: the pupil's own trials first, those of the class behind them. What is said holds as often as it says."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
import scipy.stats
from msgspec.structs import replace

from folder.practice.estimate import Estimate, JoinedEstimate
from folder.practice.evidence import evidence
from folder.practice.hierarchy import PUPIL_SHIFT, SHIFTS, BuildSpread, HeldShares, OfPupil, posterior
from folder.practice.trial import Trial
from tests.classes import SchoolClass, joined
from tests.test_practice_estimate import BRIM_G, MODEL_G, OTHER, TRAY, cents, print_line

Many = Callable[[int, int], int]
CLASS = cents(60, 66, 62, 58, 70, 64, pupil="Kim") + cents(60, 64, 61, key=OTHER, pupil="Zoe") + cents(63)


def of(trials: list[Trial], pupil: str = "") -> JoinedEstimate:
    return JoinedEstimate(BRIM_G, "usual", {"usual": MODEL_G}, evidence(trials, TRAY), pupil)


def mira(*trials: list[Trial]) -> Estimate:
    """The next build of a pupil of the class."""
    return of([*CLASS, *(one for some in trials for one in some)], "Mira").in_grams


def own(*counts: int, key: str = "a" * 16) -> list[Trial]:
    return cents(*counts, key=key, pupil="Mira")


def test_without_a_name_it_is_of_the_class_to_the_last_digit_whoever_built() -> None:
    trials = CLASS + own(40, 42)
    nameless = [replace(one, pupil="") for one in trials]
    assert of(nameless).in_grams == of(trials).in_grams == of(trials, "  ").in_grams
    assert of(nameless).in_objects(2.5) == of(trials).in_objects(2.5)


def test_capitals_and_spaces_make_no_other_pupil() -> None:
    trials = CLASS + cents(40, 42, pupil="Ana Maria")
    first, again = (of(trials, name).in_grams for name in ("Ana Maria", "  ana  MARIA "))
    assert replace(first, text="") == replace(again, text="")
    assert "2 trials of Ana Maria (2 of this design) and 10 of the class (7 of this design)" in first.text


def test_a_pupil_without_trials_is_as_the_class_and_a_little_less_sure() -> None:
    anyone, found = of(CLASS).in_grams, mira()
    assert found.likely == pytest.approx(anyone.likely, rel=0.02)
    assert 1.0 < (found.high - found.low) / (anyone.high - anyone.low) < 1.5
    assert found.text.startswith("No trial of Mira yet: from the model and 10 trials of the class (7 of this design): ")


def test_how_far_a_pupil_lies_from_the_class_is_a_t_with_4_degrees() -> None:
    """The class's shifts, each spread by scipy's t within the ends of the grid: the part of pupils below each edge of a cell."""
    none = HeldShares(*(np.empty(0) for _ in range(4)))
    spread = BuildSpread.of(MODEL_G / BRIM_G)
    anyone, one = (posterior([spread], 0, none, none, who).sound.sum(axis=1) for who in (None, OfPupil(none, none)))
    edges = np.concatenate([SHIFTS[:1], (SHIFTS[1:] + SHIFTS[:-1]) / 2.0, SHIFTS[-1:]])
    below = scipy.stats.t(4, scale=PUPIL_SHIFT).cdf(edges[None, :] - SHIFTS[:, None])
    below = (below - below[:, :1]) / (below[:, -1:] - below[:, :1])
    assert one.cumsum() == pytest.approx(anyone @ below[:, 1:], abs=0.005)


def test_trials_of_ones_own_move_it_those_of_the_design_more_than_others_and_more_of_them_more_surely() -> None:
    here, elsewhere = mira(own(40, 41, 42)), mira(own(40, 41, 42, key=OTHER))
    assert here.likely + 5.0 < elsewhere.likely < mira().likely - 10.0
    widths = [found.high - found.low for found in (mira(own(*[41] * n)) for n in (0, 3, 10, 30))]
    assert sorted(widths, reverse=True) == widths
    assert mira(own(*[41] * 30)).likely == pytest.approx(41.5 * 2.5, rel=0.05)


def test_trials_of_the_same_numbers_by_others_move_it_less() -> None:
    others = [replace(one, pupil="Noa") for one in own(40, 41, 42)]
    assert mira(own(40, 41, 42)).likely < mira(others).likely - 5.0


def test_every_trial_is_in_one_of_the_parts() -> None:
    trials = CLASS + own(40, 42) + own(50, key=OTHER) + own(51, 52, key="c" * 16)
    found = evidence(trials, TRAY)
    of_class, of_others, pupil = found.parted("mira")
    assert (7, 3, 2, 3) == tuple(len(held.low) for held in (of_class, of_others, *pupil))
    parts = np.concatenate([of_class.low, pupil.own.low]), np.concatenate([of_others.low, pupil.others.low])
    assert np.allclose(np.sort(found.own.low), np.sort(parts[0]))
    assert np.allclose(np.sort(found.others.low), np.sort(parts[1]))
    assert [0.0, 1.0, 1.0] == sorted(pupil.others.design.tolist()), "two designs, numbered anew"


def test_the_order_of_trials_does_not_matter() -> None:
    trials = CLASS + own(40, 55, 42) + own(50, key=OTHER) + own(51, 52, key="c" * 16)
    shuffled = [trials[k] for k in np.random.default_rng(3).permutation(len(trials))]
    first, again = (of(some, "Mira").in_grams for some in (trials, shuffled))
    assert (first.low, first.likely, first.high) == pytest.approx((again.low, again.likely, again.high), abs=1e-3)


# --- Simulated classes --------------------------------------------------------------------------------------------------

N_OWN, AGAIN = (0, 1, 2, 3, 5), 300
Row = tuple[float, float, float, float]
"""How many further builds lie in the span, reach what can be counted on, the likely load; the span over the mean build."""


class OnePupil:
    """A class of 30, 24 trials of three designs by others, 5 of one of them by a pupil, and 300 further builds of that pupil."""

    def __init__(self, kind: str, apart: float, rng: np.random.Generator, elsewhere: int = 0) -> None:
        self.school, self.number = SchoolClass(kind, rng, apart), int(rng.integers(10))
        pupil = int(rng.integers(30))
        beside = rng.choice([k for k in range(10) if k != self.number], 2, replace=False).tolist()
        others = rng.choice([k for k in range(30) if k != pupil], 24).tolist()
        self.log = [self._noted((self.number, *beside)[k % 3], who) for k, who in enumerate(others)]
        self.log += [self._noted(beside[k % 2], pupil) for k in range(elsewhere)]
        self.own = [self._noted(self.number, pupil) for _ in range(max(N_OWN))]
        self.again = self.school.builds(self.number, AGAIN, np.full(AGAIN, pupil))
        self.name = f"Pupil {pupil}"

    def _noted(self, number: int, who: int) -> Trial:
        return self.school.noted(number, self.school.builds(number, 1, np.array([who]))[0], f"Pupil {who}")

    def found(self, own: list[Trial]) -> Estimate:
        return joined(self.number, self.log + own, self.name).in_grams

    def row(self, found: Estimate) -> Row:
        again, sure = self.again, found.count_on or 0.0
        inside = np.mean((again >= found.low - 1e-9) & (again <= found.high + 1e-9))
        wide = (found.high - found.low) / again.mean()
        return float(inside), float(np.mean(again >= sure)), float(np.mean(again >= found.likely)), float(wide)


def held_of(kind: str, apart: float, classes: int, elsewhere: int = 0, seed: int = 3) -> dict[int | str, np.ndarray]:
    """By the number of the pupil's own trials the mean row of so many classes; of the class's own estimate too."""
    rng, rows = np.random.default_rng(seed), dict[int | str, list[Row]]()
    for _ in range(classes):
        one = OnePupil(kind, apart, rng, elsewhere)
        rows.setdefault("class", []).append(one.row(joined(one.number, one.log).in_grams))
        for n in N_OWN:
            rows.setdefault(n, []).append(one.row(one.found(one.own[:n])))
    return {n: np.mean(some, axis=0) for n, some in rows.items()}


def test_what_is_said_of_a_pupil_holds_about_as_often_as_it_says(many: Many) -> None:
    """Pupils whose logs of skill lie 0.1 apart. Within what so few classes scatter."""
    rows = held_of("honest", 0.1, many(8, 100))
    for n in N_OWN:
        inside, sure, likely, _ = rows[n]
        assert 0.72 < inside < 0.93
        assert sure > 0.94
        assert 0.35 < likely < 0.65
    assert rows[5][3] < rows[2][3] < rows[0][3]


@pytest.mark.whole
def test_what_is_said_of_a_pupil_in_classes_of_every_kind() -> None:
    """Pupils alike, 0.1 and 0.25 apart; all honest, or some leaky and careless; trials of other designs too. Printed with -s."""
    print_line("kind apart elsewhere | class, then own trials 0 1 2 3 5: span (80) / count on (95) / likely (50) / width")
    for kind, elsewhere in (("honest", 0), ("mixed", 0), ("honest", 4)):
        for apart in (0.0, 0.1, 0.25):
            rows = held_of(kind, apart, 160, elsewhere)
            cells = ("/".join(f"{100 * x:.0f}" for x in row) for row in rows.values())
            print_line(f"{kind:6s} {apart:.2f} {elsewhere} | " + "  ".join(cells))
            assert all(0.72 < rows[n][0] < 0.93 for n in N_OWN)
            assert all(rows[n][1] > 0.90 for n in N_OWN)
            assert rows[5][3] < rows[1][3] < rows[0][3]


def test_one_slip_of_the_pen_among_a_pupil_s_trials_moves_the_likely_load_little(many: Many) -> None:
    """One of 3 to 5 of the pupil's own, or one of the class's 24; in the mean over classes."""
    rng, own_moved, class_moved = np.random.default_rng(6), [], []
    for _ in range(many(8, 150)):
        one = OnePupil("honest", 0.1, rng)
        trials = one.own[: int(rng.integers(3, 6))]
        before = one.found(trials).likely
        slip = [replace(trials[0], count=one.school.slipped(trials[0].count)), *trials[1:]]
        own_moved.append(abs(one.found(slip).likely / before - 1.0))
        one.log[0] = replace(one.log[0], count=one.school.slipped(one.log[0].count))
        class_moved.append(abs(one.found(trials).likely / before - 1.0))
    print_line(f"slip: own {np.mean(own_moved):.3f}, class {np.mean(class_moved):.3f}, worst {max(own_moved):.3f}")
    assert np.mean(own_moved) < 0.05
    assert np.mean(class_moved) < 0.02
