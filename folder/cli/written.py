"""Pages of a study written to a directory: one SVG a page, and all of them as one PDF."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from pathlib import Path

from folder.errors import BadRequest, UnwritableFile
from folder.paper.pages import PAPERS, Page, PaperName
from folder.paper.pdf import write_pdf
from folder.paper.steps import steps_pages
from folder.paper.svg import write_svg
from folder.paper.template import template
from folder.study import Study

PageMaker = Callable[[Study, PaperName, str], Sequence[Page]]


def _template(study: Study, paper: PaperName, warning: str) -> Sequence[Page]:
    return template(study.pattern, paper, warning=warning)


def _steps(study: Study, paper: PaperName, warning: str) -> Sequence[Page]:
    floor = study.hull.floor_faces if study.hull else None
    return steps_pages(study.pattern, study.folded, paper, floor=floor, warning=warning)


KINDS: dict[str, PageMaker] = {"template": _template, "steps": _steps}
"""Every kind of page that is made from one pattern."""


def chosen_kinds(what: str) -> list[str]:
    """The kinds named in a list such as `template,steps`."""
    kinds = [k.strip() for k in what.split(",") if k.strip()]
    for kind in kinds:
        if kind not in KINDS:
            raise BadRequest("no such page", where="--what", found=kind, remedy=f"There are: {', '.join(KINDS)}")
    if not kinds:
        raise BadRequest("no page named", where="--what", remedy=f"There are: {', '.join(KINDS)}")
    return kinds


def chosen_paper(name: str) -> PaperName:
    """The paper of that name."""
    for paper in PAPERS:
        if paper == name.lower():
            return paper
    raise BadRequest("no such paper", where="--paper", found=name, remedy=f"There are: {', '.join(PAPERS)}")


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


def slug(name: str) -> str:
    """A name as part of a file name: plain letters, digits and hyphens, short."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:60] or "pattern"


def write_pages(study: Study, kinds: Sequence[str], paper: PaperName, directory: Path) -> list[Path]:
    """Write the pages of the chosen kinds; the files, in order, the PDF last."""
    warning = "THIS PATTERN DOES NOT FOLD AS DRAWN" if study.report.stops else ""
    stem = slug(study.pattern.name)
    pages: list[Page] = []
    written: list[Path] = []
    for kind in kinds:
        made = KINDS[kind](study, paper, warning)
        for number, page in enumerate(made, 1):
            path = directory / f"{stem}-{kind}{f'-{number}' if len(made) > 1 else ''}.svg"
            write_svg(page, path)
            written.append(path)
        pages += made
    book = directory / f"{stem}.pdf"
    write_pdf(pages, book)
    return [*written, book]
