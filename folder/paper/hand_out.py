"""What several are given: the pages of one or more designs, a set for each pupil, in the order they are handed out.

set        the pages one pupil gets, of every design, with the name on each
for all    what a class needs once: the record, the wall chart
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from msgspec.structs import replace

from folder.errors import BadRequest
from folder.paper.book import write_book
from folder.paper.job import PrintJob
from folder.paper.kinds import KINDS
from folder.paper.pages import Page
from folder.paper.svg import page_svg
from folder.places import slug
from folder.second_process import WorkProgress, parallel_map

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
    progress: WorkProgress | None = None,
) -> list[Path]:
    """The pages of several designs, one set of each: an SVG a page, and the PDF of all in this order."""
    made = _parts(jobs, kinds, progress, svg=True)
    svgs = {id(page): svg for pages in made.values() for page, svg in pages}
    parts = {part: [page for page, _ in pages] for part, pages in made.items()}
    return write_book(
        stem_of(jobs),
        parts,
        directory,
        jobs[0].paper,
        png=png,
        svg_of=lambda page: svgs[id(page)],
        replace=replace,
        progress=progress,
    )


def write_class(
    jobs: Sequence[PrintJob],
    kinds: Sequence[str],
    names: Sequence[str],
    directory: Path,
    *,
    replace: bool = False,
    progress: WorkProgress | None = None,
) -> list[Path]:
    """The pages of a class as one PDF: set by set in the order of the names (nameless ones are ''), then what is for all."""
    stem = book_name([job.design.pattern.name for job in jobs], len(names))
    pages = hand_out(jobs, kinds, names, progress)
    return write_book(stem, {stem: pages}, directory, jobs[0].paper, svg=False, replace=replace, progress=progress)


def hand_out(
    jobs: Sequence[PrintJob], kinds: Sequence[str], names: Sequence[str], progress: WorkProgress | None = None
) -> list[Page]:
    """The pages of a class. Pages that differ in the name alone share their picture."""
    checked_number(len(names), "names")
    own = [kind for kind in kinds if not KINDS[kind].for_class]
    one_set = _parts(jobs, own, progress)
    sets = {name: one_set | some for name, some in _personal(jobs, own, names, progress).items()}
    for_all = [page for kind in kinds if KINDS[kind].for_class for page in _for_all(jobs, kind, names)]
    own_pages = [replace(page, name=name) for name in names for part in sets.get(name, one_set).values() for page, _ in part]
    return [*own_pages, *for_all]


def _personal(
    jobs: Sequence[PrintJob], kinds: Sequence[str], names: Sequence[str], progress: WorkProgress | None
) -> dict[str, dict[str, list[Made]]]:
    """By name the pages that tell a load, as `_parts` has them, of each pupil whose trials are known."""
    telling = [kind for kind in kinds if KINDS[kind].tells_load]
    known = {name: some for name in dict.fromkeys(names) if any(some := [job.of_pupil(name) for job in jobs])} if telling else {}
    flat = [made or job for some in known.values() for made, job in zip(some, jobs, strict=True)]
    pages = iter(parallel_map(_made, [(job, telling, False) for job in flat], progress))
    return {name: _named(jobs, telling, [next(pages) for _ in jobs]) for name in known}


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


Made = tuple[Page, str]
"""A page, and as an SVG; that is empty where none is wanted."""


def _parts(
    jobs: Sequence[PrintJob], kinds: Sequence[str], progress: WorkProgress | None = None, *, svg: bool = False
) -> dict[str, list[Made]]:
    """The pages by what they are called: design by design, and at the end what no design has of its own.

    Several designs are worked out side by side where that is quicker.
    """
    own = [kind for kind in kinds if kind != SIGNS or len(jobs) == 1]
    made = parallel_map(_made, [(job, own, svg) for job in jobs], progress if len(jobs) > 1 else None)
    parts = _named(jobs, own, made)
    if SIGNS in kinds and len(jobs) > 1:
        parts[SIGNS] = _made((jobs[0], [SIGNS], svg))[0]
    return parts


def _named(jobs: Sequence[PrintJob], kinds: Sequence[str], made: Sequence[list[list[Made]]]) -> dict[str, list[Made]]:
    """The pages of each design, kind by kind, by what they are called."""
    stems: list[str] = []
    for job in jobs:
        stem = slug(job.design.pattern.name)
        while stem in stems:  # two designs of one name
            stem += "-b"
        stems.append(stem)
    return {
        f"{stem}-{kind}": some for stem, pages in zip(stems, made, strict=True) for kind, some in zip(kinds, pages, strict=True)
    }


def _made(task: tuple[PrintJob, Sequence[str], bool]) -> list[list[Made]]:
    """The pages of a design, kind by kind, as SVGs too where they are wanted."""
    job, kinds, svg = task
    return [[(page, page_svg(page) if svg else "") for page in KINDS[kind].maker(job)] for kind in kinds]


def stem_of(jobs: Sequence[PrintJob]) -> str:
    """What the files of some designs are called."""
    return book_name([job.design.pattern.name for job in jobs])


def book_name(names: Sequence[str], pupils: int | None = None) -> str:
    """What the PDF of some designs is called, one set of them or one for each of some pupils; paper and number follow."""
    stem = f"{len(names)}-hulls" if len(names) > FEW else "-".join(map(slug, names))
    return stem if pupils is None else f"{stem}-class-of-{pupils}"
