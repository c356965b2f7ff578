"""The pages of one pattern, written to a directory.

book   the PDF that holds all pages that were asked for; each page also stands beside it as an SVG of its own
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from folder.errors import UnwritableFile
from folder.paper.job import PrintJob
from folder.paper.kinds import KINDS
from folder.paper.pages import Page, PaperName
from folder.paper.pdf import write_pdf, write_png
from folder.paper.svg import page_svg, write_svg
from folder.places import HALF_WRITTEN, drop_half_written, slug
from folder.second_process import WorkProgress

MOST_BOOKS = 10_000
"""No directory holds so many printings of one thing."""


def ensure_directory(name: str) -> Path:
    """A directory to write to, made when it is not there."""
    directory = Path(name)
    try:
        directory.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        remedy = "Choose another place"
        found = error.strerror or str(error)
        raise UnwritableFile("the directory cannot be made", where=name, found=found, remedy=remedy) from error
    return directory


def write_job(job: PrintJob, kinds: Sequence[str], directory: Path, *, png: bool = False, replace: bool = False) -> list[Path]:
    """Write the pages of some kinds of one design; the files, in order. `png` adds previews."""
    stem = slug(job.design.pattern.name)
    parts = {f"{stem}-{kind}": KINDS[kind].maker(job) for kind in kinds}
    return write_book(stem, parts, directory, job.paper, png=png, replace=replace)


def write_book(
    book: str,
    parts: Mapping[str, Sequence[Page]],
    directory: Path,
    paper: PaperName,
    *,
    png: bool = False,
    svg: bool = True,
    svg_of: Callable[[Page], str] = page_svg,
    replace: bool = False,
    progress: WorkProgress | None = None,
) -> list[Path]:
    """Write pages: one SVG each, named by its part and the paper, then the PDF of all, named by the book; the files, in order.

    `png` adds a preview of each page; without `svg` there is the PDF alone. `svg_of` makes an SVG of a page. What stands there
    already stays: the new names get a number, all the same one, unless `replace` says that the old may go. All are made beside
    one another first and then moved to their names: where one of them cannot be written, none is, and what stood there before
    is unharmed.
    """
    try:
        with tempfile.TemporaryDirectory(prefix=".pages-", suffix=HALF_WRITTEN, dir=directory) as held:
            ends = dict[Path, tuple[str, str]]()
            for part, pages in parts.items() if svg else ():
                for number, page in enumerate(pages, 1):
                    ending = f"-{paper}-{number}" if len(pages) > 1 else f"-{paper}"
                    made = Path(held, f"{len(ends)}.svg")
                    write_svg(page, made, svg_of)
                    ends[made] = (part, f"{ending}.svg")
                    if png:
                        made = Path(held, f"{len(ends)}.png")
                        write_png(page, made)
                        ends[made] = (part, f"{ending}.png")
            made = Path(held, "book.pdf")
            write_pdf([page for pages in parts.values() for page in pages], made, progress=progress)
            ends[made] = (book, f"-{paper}.pdf")
            names = _names(directory, list(ends.values()), replace)
            _free(directory, names)
            for made, name in zip(ends, names, strict=True):
                os.replace(made, directory / name)
    except UnwritableFile as error:
        raise _unwritable(directory, error.found) from error
    except OSError as error:
        raise _unwritable(directory, error.strerror or str(error)) from error
    drop_half_written(directory)
    return [directory / name for name in names]


def _names(directory: Path, ends: Sequence[tuple[str, str]], replace: bool) -> list[str]:
    """The names of the files: with the first number under which none is there already."""
    for number in ["", *(f"-{k}" for k in range(2, MOST_BOOKS))]:
        names = [f"{stem}{number}{end}" for stem, end in ends]
        if replace or not any((directory / name).is_file() for name in names):
            return names
    raise UnwritableFile("there is no number left", where=str(directory), found=f"{MOST_BOOKS} books of one name")


def _free(directory: Path, names: Sequence[str]) -> None:
    """UnwritableFile where something that is no file has one of the names."""
    for name in names:
        if (directory / name).is_dir():
            raise UnwritableFile("a directory has this name", where=str(directory / name), found=f"a directory named {name}")


def _unwritable(directory: Path, found: str) -> UnwritableFile:
    remedy = "Choose another place, or make room there; what stood there before is unharmed"
    return UnwritableFile("the pages cannot be written", where=str(directory), found=found, remedy=remedy)
