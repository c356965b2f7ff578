"""The kinds of pages that go with an event, and what they are made from."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct

from folder.errors import BadRequest
from folder.event.places import Standing
from folder.event.rules import Rules
from folder.places import slug

if TYPE_CHECKING:
    from folder.paper.pages import Page, PaperName


MOST_STATIONS = 100


class EventJob(Struct, frozen=True):
    """What is to be printed of an event: its rules, its teams with their places so far, on what paper, for how many tubs."""

    rules: Rules
    standings: tuple[Standing, ...]
    paper: PaperName = "a4"
    stations: int = 1

    def __post_init__(self) -> None:
        if not 1 <= self.stations <= MOST_STATIONS:
            remedy = f"Give 1 to {MOST_STATIONS}"
            raise BadRequest("too few or too many stations", where="stations", found=str(self.stations), remedy=remedy)

    @property
    def by_number(self) -> tuple[Standing, ...]:
        """The teams in the order of their numbers."""
        return tuple(sorted(self.standings, key=lambda s: s.result.team.number))


class EventKind(Struct, frozen=True):
    """One sort of page of an event."""

    name: str
    """In file names and on the command line."""
    words: str
    """For people."""
    maker: Callable[[EventJob], Sequence[Page]]


def _slips(job: EventJob) -> Sequence[Page]:
    from folder.paper.event.slips import slip_pages

    return slip_pages(job)


def _stations(job: EventJob) -> Sequence[Page]:
    from folder.paper.event.stations import station_pages

    return station_pages(job)


def _places(job: EventJob) -> Sequence[Page]:
    from folder.paper.event.places import places_pages

    return places_pages(job)


def _certificates(job: EventJob) -> Sequence[Page]:
    from folder.paper.event.certificates import certificate_pages

    return certificate_pages(job)


EVENT_KINDS: dict[str, EventKind] = {
    kind.name: kind
    for kind in (
        EventKind("slips", "Slips", _slips),
        EventKind("stations", "Station sheets", _stations),
        EventKind("places", "Places", _places),
        EventKind("certificates", "Certificates", _certificates),
    )
}
"""Every kind of page that goes with an event, in the order of the day."""


def write_event(job: EventJob, kinds: Sequence[str], name: str, directory: Path, *, replace: bool = False) -> list[Path]:
    """Write the pages of some kinds; the files, in order: a PDF of each kind, for each is printed at its own time."""
    from folder.paper.book import write_book

    stem = slug(name)
    written: list[Path] = []
    for kind in kinds:
        pages = EVENT_KINDS[kind].maker(job)
        written += write_book(
            f"{stem}-{kind}", {f"{stem}-{kind}": pages}, directory, job.paper, svg=kind != "certificates", replace=replace
        )
    return written
