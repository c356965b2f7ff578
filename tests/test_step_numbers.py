"""The numbers on the sheet in the window are those of the panels on paper, for ready patterns and for own hulls alike."""

from collections.abc import Iterable, Iterator

import numpy as np
import pytest
from msgspec.structs import replace

from folder.cargo.item_list import find_item
from folder.draw.picture import Label
from folder.fold.sequence.steps import FoldStep, fold_sequence, step_numbers
from folder.paper.design import Design
from folder.paper.job import CARD_ITEM, PrintJob
from folder.paper.kinds import KINDS
from folder.pattern.file import ready_patterns
from folder.studies import Study, study
from folder.verdict import design_of
from folder.window.background.result import Progress, with_order
from tests.drawings import without_numbers
from tests.hulls import random_hull
from tests.studied import ready_study


def job_of(made: Study) -> PrintJob:
    return PrintJob(design_of(made), made.water, "a4", find_item(CARD_ITEM))


def on_screen(made: Study) -> Progress:
    return with_order(Progress(made.pattern, made))


def first_steps(steps: Iterable[tuple[int, FoldStep]], made: Study) -> tuple[int | None, ...]:
    """For each crease the number of the first step in which an edge of it is folded or creased."""
    numbers: list[int | None] = [None] * len(made.pattern.creases)
    for number, step in steps:
        for edge in np.nonzero(step.edges)[0].tolist():
            crease = int(made.faces.crease[edge])
            if crease >= 0 and numbers[crease] is None:
                numbers[crease] = number
    return tuple(numbers)


def on_paper(made: Study) -> tuple[int | None, ...]:
    """By the order of folds that the pages are made from."""
    job = PrintJob(Design(made.pattern, made.folded), made.water, "a4", find_item(CARD_ITEM))
    return first_steps(enumerate(job.order.steps, 1), made)


@pytest.mark.parametrize("name", ready_patterns())
def test_a_ready_pattern_has_the_same_numbers_on_screen_and_on_paper(name):
    made = ready_study(name)
    screen = on_screen(made)
    assert on_paper(made) == screen.numbers
    assert len(screen.order.steps) == len(screen.snapshots)


@pytest.mark.parametrize("name", ["plain-tray", "keel-tray"])
def test_they_are_the_numbers_of_the_panels_on_the_step_sheet(name):
    made = ready_study(name)
    panels = job_of(made).panels
    assert first_steps(((panel.number, panel.step) for panel in panels), made) == on_screen(made).numbers


def own_hulls(count: int) -> Iterator[Study]:
    seed = 0
    while count:
        pattern = random_hull(seed)
        seed += 1
        if pattern is not None:
            count -= 1
            yield study(without_numbers(pattern))


def test_fifty_hulls_at_random_have_the_same_numbers_on_screen_and_on_paper():
    for made in own_hulls(50):
        numbers = step_numbers(made.pattern, fold_sequence(made.pattern, made.folded))
        assert on_paper(made) == numbers
        folds = [c.sense in ("valley", "mountain") for c in made.pattern.creases]
        assert [n is not None for n in numbers] == folds


def test_the_template_prints_the_numbers_of_the_screen():
    for made in (ready_study("plain-tray"), study(without_numbers(ready_study("leaning-tray").pattern))):
        pages = KINDS["template"].maker(job_of(made))
        printed = {mark.text for page in pages for mark in page.picture.marks if isinstance(mark, Label) and mark.text.isdigit()}
        assert {str(n) for n in on_screen(made).numbers if n is not None} == printed


def test_a_number_in_the_file_orders_the_steps_and_is_not_shown_itself():
    """A drawing that numbers its walls 7 and its corners 9 is folded in that order, and shown as 1 and 2."""
    made = ready_study("plain-tray")
    other = replace(made.pattern, creases=tuple(replace(c, step={1: 7, 2: 9}[c.step or 1]) for c in made.pattern.creases))
    assert {7, 9} == {c.step for c in other.creases}
    screen = on_screen(study(other))
    assert {1, 2} == set(screen.numbers)
    assert on_screen(made).numbers == screen.numbers
