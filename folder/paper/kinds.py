"""The kinds of pages that go with a pattern: one row of KINDS says all that command line, window and README know of one.

kind   one sort of page: what it is called, in words, and how it is made
maker  makes the pages of a kind from a PrintJob; it loads what it needs when it is called, so that the list is cheap
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

if TYPE_CHECKING:
    from folder.paper.job import PrintJob
    from folder.paper.pages import Page

PageMaker = Callable[["PrintJob"], "Sequence[Page]"]


class Kind(Struct, frozen=True):
    """One sort of page."""

    name: str
    """In file names and on the command line."""
    words: str
    """For people."""
    maker: PageMaker
    usual: bool = True
    """Ticked at first in the window."""
    for_class: bool = False
    """A class needs it once, and not each pupil."""
    tells_load: bool = False
    """It tells what the hull carries: other for a pupil whose trials are known."""


def _template(job: PrintJob) -> Sequence[Page]:
    from msgspec.structs import replace

    from folder.draw.sheet.flat import face_rings
    from folder.fold.sequence.steps import numbered_steps
    from folder.paper.job import dimples_of
    from folder.paper.sheets.packet import packet_pages, packets
    from folder.paper.sheets.template import template

    faces = job.design.folded.faces
    rings = [ring for face, floor in enumerate(job.floor.tolist()) if floor for ring in face_rings(faces, face)]
    # Numbered like the panels of the step sheet, so that the two can lie side by side.
    pattern = numbered_steps(job.design.pattern, job.order)
    folded = packets(job.panels)
    dot = next((panel.dot for panel in job.panels if panel.dot), None)
    at = (float(dot.place[0]), float(dot.place[1])) if dot else None
    dimples, first = dimples_of(job), ""
    if folded:
        # What is creased through layers is measured there; on the flat sheet it would be creased twice.
        later = {step for state in folded for step in state.steps}
        pattern = replace(pattern, creases=tuple(c for c in pattern.creases if c.step not in later), crimps=())
        first, dimples = ", flat", []
    flat = template(
        pattern, job.paper, floor=None if folded else rings, dimples=dimples, warning=job.design.warning, dot=at, first=first
    )
    name, warning = job.design.pattern.name, job.design.warning
    pages = list(flat)
    for state in folded:
        # The floor is one patch once all is folded over, when the walls are creased.
        floor = job.floor if any(panel.step.kind == "crease" for panel in state.panels) else None
        pages += packet_pages(name, state, floor, job.paper, warning=warning)
    return pages


def _steps(job: PrintJob) -> Sequence[Page]:
    from folder.paper.sheets.steps import steps_pages

    design = job.design
    return steps_pages(
        design.pattern,
        design.folded,
        job.paper,
        floor=job.floor,
        warning=design.warning,
        order=job.order,
        layering=design.layering,
        made=job.panels,
        rules=job.rules,
    )


def _card(job: PrintJob) -> Sequence[Page]:
    from folder.paper.sheets.card import design_card
    from folder.paper.sheets.load_map import loading_plan

    warning = job.design.warning
    plan = loading_plan(job.design, job.cargo, job.paper, warning=warning)
    return (design_card(job.design, job.cargo, job.paper, warning=warning, rules=job.rules), *plan)


def _record(job: PrintJob) -> Sequence[Page]:
    from folder.paper.sheets.record import record_page

    return (record_page(job.design.pattern.name, job.paper, warning=job.design.warning),)


def _notation(job: PrintJob) -> Sequence[Page]:
    from folder.paper.sheets.notation import notation_pages

    return notation_pages(job.paper)


KINDS: dict[str, Kind] = {
    kind.name: kind
    for kind in (
        Kind("template", "Template", _template),
        Kind("steps", "Steps to fold", _steps),
        Kind("card", "Design card", _card, tells_load=True),
        Kind("record", "Trial record", _record, for_class=True),
        Kind("notation", "Signs of folds", _notation, usual=False, for_class=True),
    )
}
"""Every kind of page that goes with a pattern, in the order of the book."""

USUAL = tuple(kind.name for kind in KINDS.values() if kind.usual)
"""The kinds a window ticks at first."""
