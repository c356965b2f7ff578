"""A trial as it is being noted, and the log as it is looked at. No pygame.

form     what has been filled in of a trial; `number` when one that was noted before is corrected
doubts   what can hardly be true of it: asked about before it is noted
taking   trials of a file, read and held against the log, before they are taken in
"""

from __future__ import annotations

from concurrent.futures import Future
from pathlib import Path
from typing import TYPE_CHECKING, Any

from msgspec import Struct
from msgspec.structs import replace

from folder.practice.trial import HandName, Trial

if TYPE_CHECKING:
    from folder.practice.log import LogEntry


class TrialForm(Struct, frozen=True):
    """What has been filled in. The design is that of the pattern on the table, or of the trial that is corrected."""

    design: dict[str, Any] = {}
    """The fields that tell the design; see `trial_designs`."""
    item: str = ""
    item_label: str = ""
    each_g: float | None = None
    held: int | None = None
    guess: int | None = None
    sheets: int = 1
    hand: HandName = "usual"
    happened: str = ""
    pupil: str = ""
    note: str = ""
    date: str = ""
    number: int | None = None

    @property
    def is_complete(self) -> bool:
        """Whether it can be noted: what was tested, what one weighs and how many it held."""
        return bool(self.design) and bool(self.item) and self.each_g is not None and self.held is not None

    def trial(self) -> Trial:
        """The trial. BadRequest where it is none."""
        return Trial(
            date=self.date, item=self.item, mass_each_g=self.each_g or 0.0, count=-1 if self.held is None else self.held,
            guess=self.guess, sheets_used=self.sheets, hand=self.hand, note=self.note, pupil=self.pupil.strip(),
            happened=self.happened, **self.design,
        )  # fmt: skip


def form_of(number: int, trial: Trial, label: str) -> TrialForm:
    """A form with a trial that was noted before."""
    design = {
        "pattern": trial.pattern, "design": trial.design, "brim_g": trial.brim_g, "sheet_width_mm": trial.sheet_width_mm,
        "sheet_height_mm": trial.sheet_height_mm, "thickness_um": trial.thickness_um,
    }  # fmt: skip
    return TrialForm(
        design, trial.item, label, trial.mass_each_g, trial.count, trial.guess, trial.sheets_used, trial.hand, trial.happened,
        trial.pupil, trial.note, trial.date, number,
    )  # fmt: skip


class ImportPlan(Struct, frozen=True):
    """What a file would bring into the log."""

    path: Path
    fresh: tuple[Trial, ...]
    before: int
    """So many of its trials the log holds already."""
    doubts: tuple[str, ...]
    passed_over: tuple[str, ...] = ()
    """Columns that say nothing of a trial."""


class LogChange(Struct, frozen=True):
    """Something stands in the log now; `number` of which trial, None where it is of many."""

    text: str
    number: int | None = None


class TrialDoubts(Struct, frozen=True):
    """What can hardly be true, a sentence each: nothing was noted."""

    doubts: tuple[str, ...]


class LogSnapshot(Struct, frozen=True, eq=False):
    """The log as it was when it was last read."""

    entries: dict[int, tuple[LogEntry, ...]] = {}
    fault: str = ""

    @property
    def counting(self) -> dict[int, Trial]:
        """The trials that count, by number."""
        return {number: every[-1].trial for number, every in self.entries.items() if not every[-1].struck}

    @property
    def struck(self) -> frozenset[int]:
        """The numbers of those that were taken back."""
        return frozenset(number for number, every in self.entries.items() if every[-1].struck)


class TrialsState(Struct, frozen=True):
    """What is noted now, and what is seen of the log."""

    form: TrialForm = TrialForm()
    doubts: tuple[str, ...] = ()
    problem: str = ""
    waiting: Future[Any] | None = None
    """Something is being written to the log, or read from a file."""
    picked: int | None = None
    """The trial that is pointed at."""
    all_hulls: bool = False
    taking: ImportPlan | None = None

    def with_form(self, form: TrialForm) -> TrialsState:
        """With something else filled in: what was asked about it is not asked any more."""
        return self if form == self.form else replace(self, form=form, doubts=(), problem="")
