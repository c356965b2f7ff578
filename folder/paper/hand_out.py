"""What several are given: the pages of one or more designs, a set for each pupil, in the order they are handed out.

set        the pages one pupil gets, of every design, with the name on each
for all    what a class needs once: the record, the wall chart
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from msgspec.structs import replace

from folder.errors import BadRequest
from folder.paper.book import write_book
from folder.paper.job import PrintJob
from folder.paper.kinds import KINDS
from folder.paper.pages import Page
from folder.paper.pdf import Told
from folder.places import slug

MOST_PUPILS = 1000
SIGNS = "notation"
"""The wall chart: the same whatever is folded."""
FEW = 3
"""So many designs are named in the name of a file; more are counted."""


def write_designs(
    jobs: Sequence[PrintJob],
    kinds: Sequence[str],
    directory: Path,
    *,
    png: bool = False,
    replace: bool = False,
    told: Told | None = None,
) -> list[Path]:
    """The pages of several designs, one set of each: an SVG a page, and the PDF of all in this order."""
    return write_book(stem_of(jobs), _parts(jobs, kinds), directory, jobs[0].paper, png=png, replace=replace, told=told)


def write_class(
    jobs: Sequence[PrintJob],
    kinds: Sequence[str],
    names: Sequence[str],
    directory: Path,
    *,
    replace: bool = False,
    told: Told | None = None,
) -> list[Path]:
    """The pages of a class as one PDF: set by set in the order of the names (nameless ones are ''), then what is for all."""
    stem = book_name([job.design.pattern.name for job in jobs], len(names))
    pages = hand_out(jobs, kinds, names)
    return write_book(stem, {stem: pages}, directory, jobs[0].paper, svg=False, replace=replace, told=told)


def hand_out(jobs: Sequence[PrintJob], kinds: Sequence[str], names: Sequence[str]) -> list[Page]:
    """The pages of a class. Pages that differ in the name alone share their picture."""
    checked_number(len(names), "names")
    own = [kind for kind in kinds if not KINDS[kind].for_class]
    one_set = [page for pages in _parts(jobs, own).values() for page in pages]
    for_all = [page for kind in kinds if KINDS[kind].for_class for page in _for_all(jobs, kind, names)]
    return [*(replace(page, name=name) for name in names for page in one_set), *for_all]


def checked_number(pupils: int, where: str) -> int:
    """The number; BadRequest where no class has so many pupils."""
    if not 1 <= pupils <= MOST_PUPILS:
        raise BadRequest("too few or too many pupils", where=where, found=str(pupils), remedy=f"Give 1 to {MOST_PUPILS}")
    return pupils


def _for_all(jobs: Sequence[PrintJob], kind: str, names: Sequence[str]) -> Iterator[Page]:
    """What a class needs once, whatever the number of designs."""
    if kind == "record":
        from folder.paper.sheets.record import class_record

        name = jobs[0].design.pattern.name if len(jobs) == 1 else ""
        yield from class_record(names, name, jobs[0].paper)
    else:
        yield from KINDS[kind].maker(jobs[0])


def _parts(jobs: Sequence[PrintJob], kinds: Sequence[str]) -> Mapping[str, Sequence[Page]]:
    """The pages by what they are called: design by design, and at the end what no design has of its own."""
    parts: dict[str, Sequence[Page]] = {}
    taken = set[str]()
    for job in jobs:
        stem = slug(job.design.pattern.name)
        while stem in taken:  # two designs of one name
            stem += "-b"
        taken.add(stem)
        parts |= {f"{stem}-{kind}": KINDS[kind].maker(job) for kind in kinds if kind != SIGNS or len(jobs) == 1}
    if SIGNS in kinds and len(jobs) > 1:
        parts[SIGNS] = KINDS[SIGNS].maker(jobs[0])
    return parts


def stem_of(jobs: Sequence[PrintJob]) -> str:
    """What the files of some designs are called."""
    return book_name([job.design.pattern.name for job in jobs])


def book_name(names: Sequence[str], pupils: int | None = None) -> str:
    """What the PDF of some designs is called, one set of them or one for each of some pupils; paper and number follow."""
    stem = f"{len(names)}-hulls" if len(names) > FEW else "-".join(map(slug, names))
    return stem if pupils is None else f"{stem}-class-of-{pupils}"
