"""The step sheet is foldable as it says: a machine that follows its words and marks alone arrives at the hull."""

import numpy as np
import pytest

from folder.fold.place import Folded
from folder.pattern.pattern import Pattern
from folder.studies import study
from tests.drawings import drawn, line, tray
from tests.fold_by_words import Machine
from tests.studied import ready_study
from tests.test_draw_steps_panel import by_hand, members, mended, panels_of
from tests.test_fold_sequence_steps import READY

ALIKE_MM = 0.5
"""Hulls whose places differ by less are the same: sizes are said to a tenth of a millimetre."""


def by_words(pattern: Pattern) -> Folded:
    machine = Machine(pattern.sheet)
    for panel in panels_of(pattern):
        machine.follow(panel)
    return machine.hull(pattern)


def apart_mm(one: Folded, other: Folded) -> float:
    """The largest distance between the two places of the same point of the sheet, over the middles of all triangles."""
    faces = one.faces
    places = faces.vertices[faces.triangles].mean(axis=1)
    where = [np.einsum("nij,nj->ni", s.motions[s.faces.faces_at(places)][:, :3, :2], places) for s in (one, other)]
    where = [w + s.motions[s.faces.faces_at(places)][:, :3, 3] for w, s in zip(where, (one, other), strict=True)]
    return float(np.linalg.norm(where[0] - where[1], axis=1).max())


def test_a_machine_that_knows_the_words_alone_folds_the_ready_patterns(many):
    some = ["hemmed-tray", "keel-tray", "screw-box", "six-sided-bowl", "usual-fan-bowl"]
    for name in (some, READY)[many(0, 1)]:
        made = ready_study(name)
        assert apart_mm(made.folded, by_words(made.pattern)) < ALIKE_MM


def test_a_machine_that_knows_the_words_alone_folds_random_members(many):
    for member in members(many(4, 50)):
        assert apart_mm(study(member).folded, by_words(member)) < ALIKE_MM, member.family


@pytest.mark.whole
def test_a_machine_that_knows_the_words_alone_folds_drawings_that_were_mended():
    for pattern in mended(20):
        assert apart_mm(study(pattern).folded, by_words(pattern)) < ALIKE_MM


def test_a_machine_that_knows_the_words_alone_folds_trays_drawn_by_hand(many):
    for pattern in by_hand(many(5, 20)):
        assert apart_mm(study(pattern).folded, by_words(pattern)) < ALIKE_MM
    for k in range(many(2, 20)):
        pattern = tray(20.0 + k, 90.0 - 2 * k, tuck="sees"[k % 4 :] + "sees"[: k % 4])
        assert apart_mm(study(pattern).folded, by_words(pattern)) < ALIKE_MM
    wall = drawn([line((0, 140), (150, 140), "mountain", 180), line((0, 60), (150, 60))])
    assert apart_mm(study(wall).folded, by_words(wall)) < ALIKE_MM


def test_a_step_left_out_leads_elsewhere():
    """The machine can fail: without its second fold the screw box is no screw box."""
    pattern = ready_study("screw-box").pattern
    machine = Machine(pattern.sheet)
    for panel in (p for p in panels_of(pattern) if p.number != 2):
        machine.follow(panel)
    assert apart_mm(ready_study("screw-box").folded, study(machine.pattern(pattern)).folded) > 5.0
