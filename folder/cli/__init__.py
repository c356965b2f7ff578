"""The command line: the only place that prints.

Exit 0 = fine, 1 = the pattern has a stop finding, 2 = could not be read or done (one line on standard error).
"""

from __future__ import annotations

import argparse
import gc
import io
import os
import sys
from collections.abc import Sequence
from functools import partial
from importlib import import_module
from typing import Any, NoReturn

from folder.errors import BadRequest, FolderError

VERBS = {
    "draw": "the window: lay crease lines and see at once what they make; also what `folder` alone does",
    "check": "does it fold with no cut and no tape, what does it measure, what does it carry",
    "water": "how the hull lies with a load: draft, tilt, where water comes in",
    "cargo": "how many objects of one kind it takes, where they go and in which order",
    "make": "a pattern from a family and its parameters",
    "print": "pages to fold from, as SVG and PDF",
    "count": "the division a pupil works on paper: how many objects of one mass the hull holds",
    "compare": "2 to 8 patterns side by side: a table, and a chart of what they carry",
    "drill": "division practice for a school grade, with answers",
    "trial": "the log of real builds: add, list, summary, import, export",
    "improve": "the parameters of a family that carry most",
    "demo": "the whole job on a ready pattern, everything written to a directory",
}
"""Every verb and what it does, in the order of `--help`; each has a module of its name here."""


_HELP_WIDTH = 98


class Parser(argparse.ArgumentParser):
    """An argument parser that reports a wrong call in one line, like every other error."""

    def __init__(self, **options: Any) -> None:
        # Shortened options would swallow a family's parameters: --w could be --width or --wall. Without a width the
        # formatter looks for the terminal's, with a module that takes longer to load than all of this one's work.
        super().__init__(allow_abbrev=False, formatter_class=partial(argparse.HelpFormatter, width=_HELP_WIDTH), **options)

    def error(self, message: str) -> NoReturn:
        """Raise instead of printing the usage and leaving."""
        where = self.prog.removeprefix("folder").strip()
        raise BadRequest(message, where=where, remedy=f"{self.prog} --help tells more")


def parser() -> Parser:
    """The parser that knows the verbs' names: for `--help`, and for a call that names none of them."""
    whole = Parser(prog="folder", description="Fold-pattern designer for foil-hull events.")
    verbs = whole.add_subparsers(dest="verb", metavar="VERB", required=True)
    for verb, text in VERBS.items():
        verbs.add_parser(verb, help=text, add_help=False)
    return whole


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; the exit code."""
    if argv is None:
        # What is loaded by now stays to the end; the collector going through it once more there takes as long as a check.
        gc.freeze()
        argv = sys.argv[1:]
    argv = list(argv)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # A terminal that lacks a letter of someone's name shows its number instead of failing.
            stream.reconfigure(errors="backslashreplace")
    try:
        argv = argv or ["draw"]
        verb = argv[0] if argv[0] in VERBS else None
        if verb is None:
            parser().parse_args(argv)
        # One module a verb, imported when it is called: `check` does not wait for what `print` needs.
        module = import_module(f"folder.cli.{verb}_verb")
        code: int = module.run(argv[1:])
        return code
    except FolderError as error:
        print(f"folder: {error}", file=sys.stderr)
        return 2
    except BrokenPipeError:
        # The reader has gone; let the interpreter not complain when it flushes what is left.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
