"""The division worked on screen, and the drill: what has been typed, tried and shown so far. No pygame.

try     the pupil's own number; the steps are offered after it
shown   so many lines of the chosen way stand on the screen
score   what was right at once, of what was solved
"""

from __future__ import annotations

from concurrent.futures import Future
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from msgspec import Struct
from msgspec.structs import replace

from folder.errors import BadRequest

# The window opens before anybody divides: what divides is loaded when it is first wanted.
if TYPE_CHECKING:
    from folder.cargo.division.arithmetic import WorkedDivision, WorkedStep
    from folder.cargo.division.attempt import Attempt
    from folder.cargo.division.drill import Problem

CountPage = Literal["work", "drill"]

DRILL_LENGTH = 10
MOST_TRIED = 9_999_999


class CountState(Struct, frozen=True):
    """One division, as far as it has been worked."""

    page: CountPage = "work"
    holds: str = ""
    """What the hull holds, g, as it is written; "" until it is known."""
    each: str = ""
    tried: Attempt | None = None
    tries: int = 0
    way: str = ""
    """The way that is shown; "" for the one that is least work."""
    shown: int = 0
    grade: int = 4
    seed: int = 1
    index: int = 0
    """Which problem of the drill."""
    right_at_once: int = 0
    solved: int = 0
    printed: Future[list[Path]] | None = None
    """The drill's pages, while they are being written."""

    @property
    def problem(self) -> Problem:
        """The problem of the drill that is on the screen."""
        from folder.cargo.division.drill import drill

        return drill(self.grade, DRILL_LENGTH, self.seed)[self.index]

    @property
    def working(self) -> WorkedDivision | None:
        """The division worked; None where there are no two masses."""
        if self.page == "drill":
            return self.problem.working
        from folder.cargo.division.arithmetic import work_division

        try:
            return work_division(self.holds, self.each)
        except BadRequest:
            return None

    @property
    def steps(self) -> WorkedStep | None:
        """The way that is shown."""
        working = self.working
        if working is None:
            return None
        wanted = self.way or working.suggestion
        return next((step for step in working.steps if step.way == wanted), working.steps[0])

    @property
    def is_right(self) -> bool:
        """The answer has been found."""
        return self.tried is not None and self.tried.side == "right"

    @property
    def may_go_on(self) -> bool:
        """The problem is solved, or all of a way has been shown."""
        steps = self.steps
        return self.is_right or (steps is not None and self.shown >= len(steps.lines))

    def of_division(self, holds: str, each: str) -> CountState:
        """Another division: nothing tried yet."""
        if (holds, each) == (self.holds, self.each):
            return self
        return replace(self, holds=holds, each=each, tried=None, tries=0, way="", shown=0)

    def on_page(self, page: CountPage) -> CountState:
        """The day's division, or the drill."""
        return self if page == self.page else replace(self, page=page, tried=None, tries=0, way="", shown=0)

    def with_try(self, number: int) -> CountState:
        """A number is tried. What is right at the first try, with no line shown, counts for the score."""
        working = self.working
        if working is None or (self.is_right and self.page == "drill"):
            return self
        from folder.cargo.division.attempt import attempt

        answer = attempt(working, number)
        state = replace(self, tried=answer, tries=self.tries + 1)
        if self.page == "work" or answer.side != "right":
            return state
        at_once = self.tries == 0 and self.shown == 0
        return replace(state, solved=self.solved + 1, right_at_once=self.right_at_once + at_once)

    def with_way(self, way: str) -> CountState:
        """Another way, from its first line."""
        return replace(self, way=way, shown=1)

    def with_line(self, every: bool = False) -> CountState:
        """One line more of the way, or all of them."""
        steps = self.steps
        most = 0 if steps is None else len(steps.lines)
        return replace(self, shown=most if every else min(self.shown + 1, most))

    def with_next(self) -> CountState:
        """The next problem; after the last one a new drill."""
        if self.index + 1 < DRILL_LENGTH:
            return replace(self, index=self.index + 1, tried=None, tries=0, way="", shown=0)
        return self.with_drill(self.grade, self.seed + 1)

    def with_drill(self, grade: int, seed: int) -> CountState:
        """A drill from its first problem."""
        return replace(self, grade=grade, seed=seed, index=0, right_at_once=0, solved=0, tried=None, tries=0, way="", shown=0)
