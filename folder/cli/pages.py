"""What the command line says of pages: which kinds, which paper, which object; and the pages of a study written."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from pathlib import Path

from msgspec.structs import replace

from folder.cargo.division.arithmetic import read_mass
from folder.cargo.item import Item
from folder.cargo.item_list import find_item
from folder.cli.user_data import named_item
from folder.errors import BadRequest, nearest
from folder.event.rules import Rules
from folder.event.words import rules_line
from folder.paper.book import ensure_directory, write_book, write_job
from folder.paper.job import CARD_ITEM, PrintJob
from folder.paper.kinds import KINDS, USUAL
from folder.paper.pages import PAPERS, PaperName
from folder.studies import Study
from folder.verdict import design_of

__all__ = [
    "CARD_ITEM",
    "KINDS",
    "USUAL",
    "ensure_directory",
    "item_weighing",
    "parse_kinds",
    "parse_paper",
    "print_job",
    "write_book",
    "write_pages",
]  # fmt: skip


def parse_kinds(what: str, known: Collection[str] = KINDS) -> list[str]:
    """The kinds named in a list such as `template,steps`; by default those of a pattern."""
    kinds = [k.strip() for k in what.split(",") if k.strip()]
    for kind in kinds:
        if kind not in known:
            raise BadRequest("no such page", where="--what", found=kind, remedy=nearest(kind, known))
    if not kinds:
        raise BadRequest("no page named", where="--what", remedy=f"There are: {', '.join(known)}")
    return kinds


def parse_paper(name: str) -> PaperName:
    """The paper of that name."""
    for paper in PAPERS:
        if paper == name.lower():
            return paper
    raise BadRequest("no such paper", where="--paper", found=name, remedy=nearest(name, PAPERS))


def item_weighing(name: str, each: str | None) -> Item:
    """The object of that name, of the mass given if one is."""
    item = named_item(name)
    return item if each is None else replace(item, mass_g=float(read_mass(each, "--each")))


def print_job(study: Study, paper: PaperName, item: Item | None = None, rules: Rules | None = None) -> PrintJob:
    """What is to be printed of a study. `item` is the object of the card, `rules` those of the event it is for."""
    line = "" if rules is None else rules_line(rules)
    return PrintJob(design_of(study), study.water, paper, item or find_item(CARD_ITEM), line)


def write_pages(study: Study, kinds: Sequence[str], paper: PaperName, directory: Path) -> list[Path]:
    """Write the pages of the chosen kinds; the files, in order."""
    return write_job(print_job(study, paper), kinds, directory)
