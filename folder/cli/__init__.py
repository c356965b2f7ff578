"""The command line: the only place that prints.

Exit 0 = fine, 1 = the pattern has a stop finding, 2 = could not be read or done (one line on standard error), 3 = a fault
of the program itself (one line, and where the details lie).
"""

from __future__ import annotations

import errno
import gc
import io
import os
import sys
from collections.abc import Sequence
from contextlib import nullcontext
from importlib import import_module

from folder.cli.parser import Parser
from folder.cli.progress_line import progress
from folder.errors import BadRequest, FolderError, nearest

__all__ = ["FAULT", "VERBS", "Parser", "main", "tell_fault"]

VERBS = {
    "draw": "the window: lay crease lines and see at once what they make; also what `folder` alone does",
    "check": "does it fold with no cut and no tape, what does it measure, what does it carry",
    "water": "how the hull lies with a load: draft, tilt, where water comes in",
    "cargo": "how many objects of one kind it takes, where they go and in which order",
    "objects": "the list of objects, searched by name, shape, mass or size; your own",
    "make": "a pattern from a family and its parameters",
    "print": "pages to fold from, as SVG and PDF",
    "count": "the division a pupil works on paper: how many objects of one mass the hull holds",
    "compare": "2 to 8 patterns side by side: a table, and a chart of what they carry",
    "drill": "division practice for a school grade, with answers",
    "trial": "the log of real builds: add, list, edit, remove, summary, import, export",
    "event": "the day: rules, teams, what is guessed and held at the tubs, places",
    "mend": "what would make a hull of a drawing: takes the first remedy, a few times, and tells each",
    "improve": "the parameters of a family that carry most, or a drawing made better step by step",
    "demo": "the whole job on a ready pattern, everything written to a directory",
}
"""Every verb and what it does, in the order of `--help`; each has a module of its name here."""

FAULT = 3
"""The exit code of a fault of the program itself."""
_INTERRUPTED = 130
"""The exit code of a command that was stopped by Ctrl-C: 128 and the number of the signal (POSIX shells)."""


_NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO)
"""What a full or broken disk answers when output is sent into a file on it."""


def parser() -> Parser:
    """The parser that knows the verbs' names: for `--help`, and for a call that names none of them."""
    from folder import __version__

    whole = Parser(prog="folder", description="Fold-pattern designer for foil-hull events.")
    whole.add_argument("--version", action="version", version=f"folder {__version__}")
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
    # Our matrices are small: a second thread for them costs more than it brings. Read when numpy is loaded, which is later.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # A terminal that lacks a letter of someone's name shows its number instead of failing.
            stream.reconfigure(errors="backslashreplace")
    try:
        code = _run(argv or ["draw"])
        if sys.stdout is not None:
            sys.stdout.flush()  # a full disk is noticed here, not when nobody can say so any more
        return code
    except FolderError as error:
        _tell(str(error))
        return 2
    except BrokenPipeError:
        # The reader has gone; let the interpreter not complain when it flushes what is left.
        _drop_output()
        return 0
    except OSError as error:
        if error.filename is not None or error.errno not in _NO_ROOM:
            return tell_fault(error, argv)
        _drop_output()
        _tell(f"what was to be said could not be written (found {error.strerror or error}). Make room, or choose another place")
        return 2
    except KeyboardInterrupt:
        return _INTERRUPTED
    except Exception as error:  # noqa: BLE001 (the last line of defence: whatever nobody foresaw ends in one line)
        return tell_fault(error, argv)


def tell_fault(error: Exception, argv: Sequence[str]) -> int:
    """Say in one line that the program itself is at fault, and where the details lie; the exit code for that."""
    from folder.fault import report_fault

    _tell(report_fault(error, f"folder {' '.join(argv)}"))
    return FAULT


def start_window() -> int:
    """The window alone: what a start menu begins, without a console."""
    return main(["draw"])


def _run(argv: list[str]) -> int:
    verb = argv[0]
    if verb not in VERBS and not verb.startswith("-"):
        from folder.pattern.file import ready_patterns

        if not (verb.endswith(".json") or os.path.isfile(verb) or verb in ready_patterns()):
            remedy = f"{nearest(verb, VERBS)}; folder --help tells more"
            raise BadRequest("there is no verb or pattern of that name", found=verb or "nothing", remedy=remedy)
        verb, argv = "draw", ["draw", *argv]  # `folder FILE` is the window on that file
    if verb not in VERBS:
        parser().parse_args(argv)
    # One module a verb, imported when it is called: `check` does not wait for what `print` needs.
    module = import_module(f"folder.cli.verbs.{verb}")
    with nullcontext() if verb == "draw" else progress():  # a window tells by itself what it does
        code: int = module.run(argv[1:])
    return code


def _tell(line: str) -> None:
    if sys.stderr is not None:  # print would take the output in its place
        print(f"folder: {line}", file=sys.stderr)


def _drop_output() -> None:
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
