"""`folder print FILE... --what template,steps,card,record --copies N or --names CSV --to DIR`: pages to fold from."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from folder.cli import VERBS, Parser
from folder.cli.json_text import json_text
from folder.cli.pages import CARD_ITEM, KINDS, USUAL, ensure_directory, item_weighing, parse_kinds, parse_paper, print_job
from folder.cli.progress_line import tell
from folder.cli.report import LONGEST_NAME
from folder.cli.user_data import named_rules, trials_or_warning
from folder.errors import BadRequest, one_line
from folder.pattern.file import find_pattern, read_pattern
from folder.studies import Study, study
from folder.verdict import verdict_of


def run(argv: Sequence[str]) -> int:
    """Print the pages of one pattern or several to files, once or for every pupil of a class."""
    args = _parser().parse_args(argv)
    kinds, paper, item = parse_kinds(args.what), parse_paper(args.paper), item_weighing(args.item, args.each)
    names = _names(args)
    rules, trials = named_rules(args.event), trials_or_warning()
    results = [study(read_pattern(find_pattern(file)), trials=trials, rules=rules) for file in args.file]
    for file, result in zip(args.file, results, strict=True):
        if result.report.stops and not args.anyway:
            _refuse(file, result)
            return 1
    from folder.paper.hand_out import write_class, write_designs

    jobs = [print_job(result, paper, item, rules) for result in results]
    directory = ensure_directory(args.to)
    if names is None:
        written = write_designs(jobs, kinds, directory, png=args.png, replace=args.replace, progress=tell)
    else:
        written = write_class(jobs, kinds, names, directory, replace=args.replace, progress=tell)
    if args.json:
        print(json_text({"written": [str(p) for p in written]}))
    else:
        print("\n".join(str(p) for p in written))
        print("Print at 100 % and measure the bar.")
    return int(any(result.report.stops for result in results))


def _parser() -> Parser:
    parser = Parser(prog="folder print", description=VERBS["print"])
    parser.add_argument("file", nargs="+", help="a pattern file, or the name of a ready pattern")
    parser.add_argument(
        "--what", default=",".join(USUAL), help=f"which pages: {', '.join(KINDS)}; the wall chart only when named"
    )
    parser.add_argument("--paper", default="a4", help="a4 or letter")
    parser.add_argument("--item", default=CARD_ITEM, metavar="NAME", help="the object the design card is for")
    parser.add_argument("--each", metavar="G", help="the mass of that object, when you have weighed yours")
    parser.add_argument("--copies", type=int, metavar="N", help="a set of pages for each of N pupils, in one PDF")
    parser.add_argument("--names", type=Path, metavar="CSV", help="a set of pages for each name in a table, with the name on it")
    parser.add_argument("--event", metavar="EVENT", help="the event it is for: its rules are checked, and stand on the pages")
    parser.add_argument("--png", action="store_true", help="a preview picture of each page too")
    parser.add_argument("--to", default=".", metavar="DIR", help="where to write")
    parser.add_argument("--replace", action="store_true", help="write over files of the same name; without it they get a number")
    parser.add_argument("--anyway", action="store_true", help="print even a pattern that does not fold; the pages say so")
    parser.add_argument("--json", action="store_true", help="for machines")
    return parser


def _names(args: argparse.Namespace) -> list[str] | None:
    """The names of a class, nameless ones for copies; None where one set is wanted."""
    if args.names is None and args.copies is None:
        return None
    if args.names is not None and args.copies is not None:
        raise BadRequest("give one of the two", where="--copies, --names")
    if args.png:
        raise BadRequest("a class is printed as one PDF, without previews", where="--png")
    if args.names is None:
        from folder.paper.hand_out import checked_number

        return [""] * checked_number(args.copies, "--copies")
    from folder.event.exchange import read_names

    return list(read_names(args.names, "names"))


def _refuse(file: str, result: Study) -> None:
    first = result.report.stops[0]
    print(
        f"folder: {one_line(file, LONGEST_NAME)}: {verdict_of(result).text} {first.text} Nothing printed; --anyway prints it.",
        file=sys.stderr,
    )
