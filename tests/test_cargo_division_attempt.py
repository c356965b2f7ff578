"""What is said of a pupil's own try."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from folder.cargo.division.arithmetic import work_division
from folder.cargo.division.attempt import attempt
from folder.window.count.state import DRILL_LENGTH, CountState


def test_a_try_is_checked_by_multiplying_back() -> None:
    """165 / 3.92 = 42.09...: 42 times 3.92 is 164.64; 43 times is 168.56; 40 times is 156.8."""
    day = work_division("165", "3.92")
    assert "Right! 42 × 3.92 = 164.64, and 0.36 is left: too little for one more." == attempt(day, 42).text
    assert "Too many: 43 × 3.92 = 168.56, which is more than 165." == attempt(day, 43).text
    assert "More go in: 41 × 3.92 = 160.72, and 4.28 is still left." == attempt(day, 41).text


def test_what_is_far_off_gets_a_hint_and_not_the_answer() -> None:
    """165 / 4 = 41.25 and 165 / 3 = 55: 41 to 55."""
    answer = attempt(work_division("165", "3.92"), 100)
    assert ("high", True) == (answer.side, "Round the mass" in answer.text)
    assert "42" not in answer.text


@given(held=st.integers(1, 400), each=st.decimals("0.01", "60", places=2), off=st.integers(-50, 50))
def test_only_the_answer_is_right_and_the_side_is_true(held: int, each, off: int) -> None:
    """With whole hundredths: number * each against held, in integers."""
    day = work_division(held, each)
    number = max(day.answer + off, 0)
    hundredths = int(each * 100)
    fits, one_more = number * hundredths <= 100 * held, (number + 1) * hundredths <= 100 * held
    side = "high" if not fits else "low" if one_more else "right"
    assert side == attempt(day, number).side


def test_the_steps_come_one_by_one_and_a_score_counts_what_was_right_at_once() -> None:
    state = CountState(page="drill", grade=4)
    state = state.with_try(state.problem.answer).with_next()
    state = state.with_line().with_try(state.problem.answer).with_next()
    state = state.with_try(state.problem.answer + 1).with_try(state.problem.answer).with_next()
    assert (3, 1, 3) == (state.solved, state.right_at_once, state.index)
    assert (1, 2) == (state.with_line().shown, state.with_line().with_line().shown)
    assert len(state.steps.lines) == state.with_line(every=True).shown == state.with_line(every=True).with_line().shown


def test_a_solved_problem_counts_once() -> None:
    state = CountState(page="drill")
    state = state.with_try(state.problem.answer)
    assert state == state.with_try(state.problem.answer)


def test_after_the_last_problem_another_drill_begins() -> None:
    state = CountState(page="drill", index=DRILL_LENGTH - 1, solved=7, right_at_once=5)
    state = state.with_try(state.problem.answer)
    assert state.may_go_on
    again = state.with_next()
    assert (0, 0, 0) == (again.index, again.solved, again.right_at_once)
    assert again.problem != CountState(page="drill").problem


def test_another_division_forgets_the_try() -> None:
    state = CountState().of_division("165", "2.5").with_try(66)
    assert state.is_right
    assert state is state.of_division("165", "2.5")
    assert state.of_division("166", "2.5").tried is None
    assert CountState().of_division("165", "").working is None
