"""The pages of one pattern: which kinds there are, how each is made, and how they are written to a directory.

kind   one sort of page: template, steps, card, record, notation
book   the PDF that holds all pages that were asked for; each page also stands beside it as an SVG of its own
"""

from __future__ import annotations

import os
import re
import tempfile
from collections.abc import Callable, Mapping, Sequence
from functools import cached_property
from pathlib import Path

import numpy as np
from msgspec import Struct

from folder.cargo.item import Item
from folder.cargo.predict import Cargo
from folder.cargo.vessel import vessel_of
from folder.draw.sheet.flat import face_rings
from folder.errors import UnwritableFile
from folder.findings import Point
from folder.fold.sequence.steps import FoldSequence, fold_sequence, numbered
from folder.geometry.space import Bools
from folder.paper.card import design_card
from folder.paper.design import Design
from folder.paper.notation import notation_pages
from folder.paper.pages import Page, PaperName
from folder.paper.pdf import write_pdf, write_png
from folder.paper.record import record_page
from folder.paper.steps import steps_pages
from folder.paper.svg import write_svg
from folder.paper.template import template
from folder.practice.counted import joined_prediction
from folder.water.fluid import Water

CARD_ITEM = "us-cent"
"""The object of a design card when none is named: a common coin."""


class PrintJob(Struct, frozen=True, dict=True):
    """What is to be printed of a design, on what, and the object its card is for."""

    design: Design
    water: Water
    paper: PaperName
    item: Item

    @cached_property
    def order(self) -> FoldSequence:
        """The order of folds."""
        return fold_sequence(self.design.pattern, self.design.folded)

    @cached_property
    def cargo(self) -> Cargo | None:
        """The likely cargo of the object; None where the design carries nothing."""
        hull, load = self.design.hull, self.design.modelled or self.design.load
        if hull is None or load is None:
            return None
        return joined_prediction(vessel_of(hull, self.water, load), self.item, self.design.joined)[0]

    @property
    def floor(self) -> Bools:
        """(f,) the faces that are the floor."""
        hull = self.design.hull
        return hull.floor_faces if hull else np.zeros(self.design.folded.faces.count, dtype=np.bool_)


PageMaker = Callable[[PrintJob], Sequence[Page]]


def dimples_of(job: PrintJob) -> list[Point]:
    """Places on the flat sheet where round objects of the first layer come to rest; none for objects that do not roll."""
    folded, hull = job.design.folded, job.design.hull
    if hull is None or not job.item.rolls or job.cargo is None:
        return []
    places = []
    upright = job.floor & (folded.normals[:, 2] > 0)
    for x, y in (job.cargo.stack.first.places_mm + hull.offset).tolist():
        for face in np.nonzero(upright)[0].tolist():
            motion = folded.motions[face]
            flat = motion[:2, :2].T @ (np.array([x, y]) - motion[:2, 3])
            if folded.faces.face_at((float(flat[0]), float(flat[1]))) == face:
                places.append((float(flat[0]), float(flat[1])))
                break
    return places


def _template(job: PrintJob) -> Sequence[Page]:
    faces = job.design.folded.faces
    rings = [ring for face in np.nonzero(job.floor)[0] for ring in face_rings(faces, int(face))]
    # Numbered like the panels of the step sheet, so that the two can lie side by side.
    pattern = numbered(job.design.pattern, job.order)
    return template(pattern, job.paper, floor=rings, dimples=dimples_of(job), warning=job.design.warning)


def _steps(job: PrintJob) -> Sequence[Page]:
    design = job.design
    return steps_pages(design.pattern, design.folded, job.paper, floor=job.floor, warning=job.design.warning, order=job.order)


def _card(job: PrintJob) -> Sequence[Page]:
    return (design_card(job.design, job.cargo, job.paper, warning=job.design.warning),)


def _record(job: PrintJob) -> Sequence[Page]:
    return (record_page(job.design.pattern.name, job.paper, warning=job.design.warning),)


def _notation(job: PrintJob) -> Sequence[Page]:
    return notation_pages(job.paper)


KINDS: dict[str, PageMaker] = {
    "template": _template,
    "steps": _steps,
    "card": _card,
    "record": _record,
    "notation": _notation,
}
"""Every kind of page that goes with a pattern."""


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
    return write_book({f"{stem}-{kind}": KINDS[kind](job) for kind in kinds}, directory / f"{stem}.pdf", png=png)


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
