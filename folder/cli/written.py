"""Pages of a study written to a directory: one SVG a page, and all of them as one PDF."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from functools import cached_property
from pathlib import Path

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from folder.cargo.arithmetic import read_mass
from folder.cargo.item import Item, find_item
from folder.cargo.predict import Cargo
from folder.cli.carried import cargo_of, design_of
from folder.draw.flat import face_rings
from folder.errors import BadRequest, UnwritableFile
from folder.findings import Point
from folder.fold.steps import Order, numbered, order_of
from folder.geometry.space import Bools
from folder.paper.card import design_card
from folder.paper.design import Design
from folder.paper.notation import notation_pages
from folder.paper.pages import PAPERS, Page, PaperName
from folder.paper.pdf import write_pdf, write_png
from folder.paper.record import record_page
from folder.paper.steps import steps_pages
from folder.paper.svg import write_svg
from folder.paper.template import template
from folder.study import Study

COIN = "us-cent"
"""The object of a design card when none is named: a common coin."""


class Job(Struct, frozen=True, dict=True):
    """What is to be printed of a pattern, on what, and the object its card is for."""

    study: Study
    paper: PaperName
    warning: str
    item: Item

    @cached_property
    def order(self) -> Order:
        """The order of folds."""
        return order_of(self.study.pattern, self.study.folded)

    @cached_property
    def design(self) -> Design:
        """The design as the card shows it."""
        return design_of(self.study)

    @cached_property
    def cargo(self) -> Cargo | None:
        """The likely cargo of the object."""
        return cargo_of(self.study, self.design, self.item)

    @property
    def floor(self) -> Bools:
        """(f,) the faces that are the floor."""
        hull = self.study.hull
        return hull.floor_faces if hull else np.zeros(self.study.faces.count, dtype=np.bool_)


PageMaker = Callable[[Job], Sequence[Page]]


def dimples_of(job: Job) -> list[Point]:
    """Places on the flat sheet where round objects of the first layer come to rest; none for objects that do not roll."""
    hull, cargo = job.study.hull, job.cargo
    if hull is None or cargo is None or not job.item.rolls:
        return []
    faces, places = job.study.faces, []
    upright = job.floor & (job.study.folded.normals[:, 2] > 0)
    for x, y in (cargo.stack.first.places_mm + hull.offset).tolist():
        for face in np.nonzero(upright)[0].tolist():
            motion = job.study.folded.motions[face]
            flat = motion[:2, :2].T @ (np.array([x, y]) - motion[:2, 3])
            if faces.face_at((float(flat[0]), float(flat[1]))) == face:
                places.append((float(flat[0]), float(flat[1])))
                break
    return places


def _template(job: Job) -> Sequence[Page]:
    study = job.study
    rings = [ring for face in np.nonzero(job.floor)[0] for ring in face_rings(study.faces, int(face))]
    # Numbered like the panels of the step sheet, so that the two can lie side by side.
    return template(
        numbered(study.pattern, job.order), job.paper, floor=rings, dimples=dimples_of(job), warning=job.warning
    )


def _steps(job: Job) -> Sequence[Page]:
    study = job.study
    return steps_pages(study.pattern, study.folded, job.paper, floor=job.floor, warning=job.warning, order=job.order)


def _card(job: Job) -> Sequence[Page]:
    return (design_card(job.design, job.cargo, job.paper, warning=job.warning),)


def _record(job: Job) -> Sequence[Page]:
    return (record_page(job.study.pattern.name, job.paper, warning=job.warning),)


def _notation(job: Job) -> Sequence[Page]:
    return notation_pages(job.paper)


KINDS: dict[str, PageMaker] = {
    "template": _template,
    "steps": _steps,
    "card": _card,
    "record": _record,
    "notation": _notation,
}
"""Every kind of page that goes with a pattern."""


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


def chosen_item(name: str, each: str | None) -> Item:
    """The object of that name, of the mass given if one is."""
    item = find_item(name)
    return item if each is None else replace(item, mass_g=float(read_mass(each, "--each")))


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


def write_pages(
    study: Study,
    kinds: Sequence[str],
    paper: PaperName,
    directory: Path,
    item: Item | None = None,
    *,
    png: bool = False,
) -> list[Path]:
    """Write the pages of the chosen kinds; the files, in order. `item` is the object of the card, `png` adds previews."""
    warning = "THIS PATTERN DOES NOT FOLD AS DRAWN" if study.report.stops else ""
    job = Job(study, paper, warning, item or find_item(COIN))
    stem = slug(study.pattern.name)
    return write_book({f"{stem}-{kind}": KINDS[kind](job) for kind in kinds}, directory / f"{stem}.pdf", png=png)


def write_book(parts: Mapping[str, Sequence[Page]], book: Path, *, png: bool = False) -> list[Path]:
    """Write pages beside a book: one SVG each, named by its part and numbered in it, then the PDF of all.

    `png` adds a preview of each page.
    """
    written: list[Path] = []
    for name, pages in parts.items():
        for number, page in enumerate(pages, 1):
            path = book.with_name(f"{name}{f'-{number}' if len(pages) > 1 else ''}.svg")
            write_svg(page, path)
            written.append(path)
            if png:
                write_png(page, path.with_suffix(".png"))
                written.append(path.with_suffix(".png"))
    write_pdf([page for pages in parts.values() for page in pages], book)
    return [*written, book]
