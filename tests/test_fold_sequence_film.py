"""The film of the folding: no state tears the sheet, and what it shows is the order of folds."""

import math

import numpy as np
import pytest

from folder.fold.place import folded
from folder.fold.sequence.film import EXACT_MM, Film, film_of
from folder.fold.sequence.steps import fold_sequence
from folder.pattern.faces.faces import faces_of
from folder.pattern.families.catalogue import make
from folder.pattern.file import ready_patterns
from folder.pattern.pattern import Pattern
from folder.units import TOLERANCES
from tests.drawings import drawn, hand_rounded, line
from tests.hulls import random_hull
from tests.studied import ready_study

SHARES = (0.0, 0.23, 0.5, 0.81, 1.0)
BENT = ("low-two-bend-tray", "tall-two-bend-tray", "two-bend-tray", "three-bend-tray", "fan-bowl", "usual-fan-bowl")
NO_WAY = {name: {"raise"} for name in BENT}
"""Where no way is known by which the sheet stays whole: walls with bends, whose pleats give way only when all is up."""


def film(pattern: Pattern) -> Film:
    return film_of(fold_sequence(pattern, folded(faces_of(pattern))))


def edge_lengths(shape) -> np.ndarray:
    """How long every edge is in space, as each of its faces has it: (e, 2) mm; nan where there is no face."""
    faces = shape.faces
    lengths = np.full((len(faces.edges), 2), np.nan)
    for e, (a, b) in enumerate(faces.edges.tolist()):
        for k, face in enumerate(faces.sides[e].tolist()):
            if face >= 0:
                m = shape.motions[face]
                places = [m @ np.array([*faces.vertices[v], 0.0, 1.0]) for v in (a, b)]
                lengths[e, k] = math.dist(*places)
    return lengths


def vertex_spread(shape) -> float:
    """How far apart the faces round a vertex have it in space, mm: 0 where the sheet is whole. Written out, place by place."""
    faces, worst = shape.faces, 0.0
    for vertex, at in enumerate(faces.vertices):
        mine = np.unique(faces.ring[faces.ring[:, 1] == vertex, 0])
        places = np.array([(shape.motions[f] @ np.array([*at, 0.0, 1.0]))[:3] for f in mine])
        if len(places):
            worst = max(worst, float(np.linalg.norm(places - places[0], axis=1).max()))
    return worst


@pytest.mark.parametrize("name", ready_patterns())
def test_every_state_keeps_all_lengths_or_is_a_cross_fade_between_two_that_do(name):
    """By another way than the film's own: every vertex has one place, from whichever face it is reached, and every edge its length."""
    made = ready_study(name)
    of = film_of(fold_sequence(made.pattern, made.folded))
    drawn_mm = np.linalg.norm(np.diff(made.faces.vertices[made.faces.edges], axis=1)[:, 0], axis=1)
    faded = set()
    for k, step in enumerate(of.order.steps):
        for share in SHARES:
            state = of.at(k, share)
            for shape in (state.shape, *([state.other] if state.other is not None else [])):
                assert vertex_spread(shape) < 1e-6
                off = np.abs(edge_lengths(shape) - drawn_mm[:, None])
                assert np.nanmax(off) < 1e-6
            if state.other is not None:
                faded.add(step.kind)
                assert 0.0 <= state.fade <= 1.0
    assert NO_WAY.get(name, set()) == faded


@pytest.mark.parametrize("name", ready_patterns())
def test_each_step_begins_and_ends_as_the_order_has_it(name):
    made = ready_study(name)
    of = film_of(fold_sequence(made.pattern, made.folded))
    for k, step in enumerate(of.order.steps):
        assert np.allclose(of.order.before(k), of.at(k, 0.0).shape.turn, atol=1e-12)
        assert np.allclose(step.turn, of.at(k, 1.0).shape.turn, atol=1e-12)
        assert float(step.over) == of.at(k, 1.0).over
        moves = any(np.abs(of.at(k, share).shape.turn - step.turn).max() > 0.1 for share in SHARES)
        assert moves or step.kind in ("turn over", "crease", "crimp", "check")


def test_states_of_a_drawing_rounded_by_hand_gape_no_more_than_it_does():
    of = film(hand_rounded(make("leaning-tray"), 0.2))
    assert of.off_mm > 0.01
    for k in range(len(of.steps)):
        for share in SHARES:
            assert of.at(k, share).shape.closure_gap_mm <= 1.5 * of.off_mm + EXACT_MM


def test_a_way_that_would_tear_the_sheet_is_found_out():
    """All four walls of a tray straight up at once, each turn at its share: the corners tear."""
    made = ready_study("plain-tray")
    half = folded(made.faces, 0.5 * made.folded.turn)
    assert half.closure_gap_mm > 1.0
    assert vertex_spread(half) > 1.0


def test_folds_that_cross_are_made_one_after_another():
    """Hems of a whole edge on two sides that meet at a corner cannot turn at the same time."""
    of = film(drawn([line((0, 140), (150, 140), "valley", 180), line((140, 0), (140, 150), "valley", 180)], floor_at=(60, 60)))
    folds = [move for moves in of.steps for move in moves]
    assert len(folds) >= 2
    for k in range(len(of.steps)):
        for share in SHARES:
            assert vertex_spread(of.at(k, share).shape) < 1e-6


def test_films_of_hulls_at_random_are_whole(many):
    """Own hulls, on floors of three to eight sides, walls leaning each in its own way."""
    seen = faded = 0
    for seed in range(many(10, 400)):
        pattern = random_hull(seed)
        if pattern is None:
            continue
        of = film(pattern)
        for k in range(len(of.steps)):
            for share in (0.3, 0.7):
                state = of.at(k, share)
                seen += 1
                faded += state.other is not None
                # Lines a hair apart are snapped together: one such hull in three hundred is itself off by as much.
                assert state.shape.closure_gap_mm < 1e-6 + 1.5 * of.off_mm
        assert of.off_mm < TOLERANCES.snap_mm
    assert seen > 20
    assert faded < 0.1 * seen
