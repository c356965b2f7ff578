"""The kinds of pages that go with an event."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct

from folder.paper.event.job import EventJob
from folder.places import slug

if TYPE_CHECKING:
    from folder.paper.pages import Page


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
