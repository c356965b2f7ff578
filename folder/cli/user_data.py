"""What lies in the user's own directory, for verbs that can go on without: what is wrong with it is said in a line."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec.structs import replace

from folder.errors import BadRequest
from folder.places import user_data

if TYPE_CHECKING:
    from folder.cargo.item import Item
    from folder.cli.parser import Parser
    from folder.event.rules import Rules
    from folder.practice.trial import Trial


def add_pupil(parser: Parser) -> None:
    """The option --pupil: whose next build is told of."""
    words = "whose next build it is, by the name in the log; without it, anyone's of the class"
    parser.add_argument("--pupil", type=str.strip, default="", metavar="NAME", help=words)


def trials_or_warning() -> tuple[Trial, ...]:
    """The trials of the log; none where it cannot be read at once."""
    if not os.path.isdir(user_data()):
        return ()
    from folder.practice import log  # most pupils have no log yet, and a database is slow to load

    trials, wrong = log.trials_at_hand()
    _say(wrong)
    return trials


def named_item(name: str) -> Item:
    """The object of that name; among the shipped ones alone where the user's own list cannot be read."""
    from folder.cargo.item_list import find_item

    say_own_fault()
    return find_item(name)


def counted_item(name: str | None, each: str | None) -> Item | None:
    """The object that is counted, with the mass that is given; None where all is in g."""
    if name is None:
        if each is not None:
            raise BadRequest("a mass of one needs an object", where="--each", found=each, remedy="Give --item too")
        return None
    from folder.cargo.division.arithmetic import read_mass

    item = named_item(name)
    if each is not None:
        return replace(item, mass_g=float(read_mass(each, "--each")))
    if item.mass_g is None:
        remedy = "Weigh yours and give --each"
        raise BadRequest("this object's mass varies", where="--item", found=name, remedy=remedy)
    return item


def say_own_fault() -> None:
    """What is wrong with the user's own list of objects, if anything is."""
    from folder.cargo.item_list import own_fault

    _say(own_fault())


def named_rules(event: str | None) -> Rules | None:
    """The rules of an event, from its file or written as JSON; None where none is named."""
    if event is None:
        return None
    from folder.event.file import rules_of  # few checks are for an event, and a database is slow to load

    return rules_of(Path(event))


def _say(wrong: str) -> None:
    if wrong:
        print(f"folder: {wrong}", file=sys.stderr)
