"""The pages of one pattern, written to a directory.

book   the PDF that holds all pages that were asked for; each page also stands beside it as an SVG of its own
"""

from __future__ import annotations

import os
import re
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path

from folder.errors import UnwritableFile
from folder.paper.job import PrintJob
from folder.paper.kinds import KINDS
from folder.paper.pages import Page
from folder.paper.pdf import write_pdf, write_png
from folder.paper.svg import write_svg


def slug(name: str) -> str:
    """A name as part of a file name: plain letters, digits and hyphens, short."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:60] or "pattern"


def made_directory(name: str) -> Path:
    """A directory to write to, made when it is not there."""
    directory = Path(name)
    try:
        directory.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        remedy = "Choose another place"
        found = error.strerror or str(error)
        raise UnwritableFile("the directory cannot be made", where=name, found=found, remedy=remedy) from error
    return directory


def write_job(job: PrintJob, kinds: Sequence[str], directory: Path, *, png: bool = False) -> list[Path]:
    """Write the pages of some kinds; the files, in order. `png` adds previews."""
    stem = slug(job.design.pattern.name)
    return write_book({f"{stem}-{kind}": KINDS[kind].maker(job) for kind in kinds}, directory / f"{stem}.pdf", png=png)


def write_book(parts: Mapping[str, Sequence[Page]], book: Path, *, png: bool = False) -> list[Path]:
    """Write pages beside a book: one SVG each, named by its part and numbered in it, then the PDF of all.

    `png` adds a preview of each page. All are made beside one another first and then moved to their names: where one
    of them cannot be written, none is, and what stood there before is unharmed.
    """
    directory, names = book.parent, []
    try:
        with tempfile.TemporaryDirectory(prefix=".pages-", dir=directory) as held:
            for name, pages in parts.items():
                for number, page in enumerate(pages, 1):
                    names.append(f"{name}{f'-{number}' if len(pages) > 1 else ''}.svg")
                    write_svg(page, Path(held, names[-1]))
                    if png:
                        names.append(f"{names[-1].removesuffix('.svg')}.png")
                        write_png(page, Path(held, names[-1]))
            names.append(book.name)
            write_pdf([page for pages in parts.values() for page in pages], Path(held, book.name))
            _free(directory, names)
            for name in names:
                os.replace(Path(held, name), directory / name)
    except UnwritableFile as error:
        raise _unwritable(directory, error.found) from error
    except OSError as error:
        raise _unwritable(directory, error.strerror or str(error)) from error
    return [directory / name for name in names]


def _free(directory: Path, names: Sequence[str]) -> None:
    """UnwritableFile where something that is no file has one of the names."""
    for name in names:
        if (directory / name).is_dir():
            raise UnwritableFile("a directory has this name", where=str(directory / name), found=f"a directory named {name}")


def _unwritable(directory: Path, found: str) -> UnwritableFile:
    remedy = "Choose another place, or make room there; what stood there before is unharmed"
    return UnwritableFile("the pages cannot be written", where=str(directory), found=found, remedy=remedy)
