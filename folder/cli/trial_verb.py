"""`folder trial add / list / summary / import / export`: the log of real builds."""

from __future__ import annotations

import argparse
import datetime
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from msgspec.structs import asdict, replace

from folder.cargo.arithmetic import read_mass
from folder.cli import VERBS, Parser
from folder.cli.known import named_item
from folder.cli.told import json_text
from folder.errors import BadRequest, FolderError
from folder.pattern.file import find_pattern, read_pattern
from folder.practice.exchange import export_csv, import_csv
from folder.practice.log import TrialLog, read_trials
from folder.practice.summary import Summary, summarise
from folder.practice.trial import HANDS, Trial
from folder.study import study


def run(argv: Sequence[str]) -> int:
    """Add to the log, show it, sum it up, or carry it to and from a spreadsheet."""
    args = _parser().parse_args(argv)
    told, lines = _DOINGS[args.what](args)
    if args.json:
        print(json_text(told))
    else:
        print("\n".join(lines))
    return 0


def _parser() -> Parser:
    every = Parser(add_help=False)
    every.add_argument("--log", type=Path, metavar="FILE", help="the log; without it, the one in your own directory")
    every.add_argument("--json", action="store_true", help="for machines")
    parser = Parser(prog="folder trial", description=VERBS["trial"])
    verbs = parser.add_subparsers(dest="what", metavar="WHAT", required=True, parser_class=Parser)
    add = verbs.add_parser("add", help="note a float test down", parents=[every])
    add.add_argument("--pattern", required=True, help="a pattern file, the name of a ready pattern, or just a name")
    add.add_argument("--item", required=True, help="the object's name")
    add.add_argument("--each", metavar="G", help="mass of one object, g; without it, that of the object list")
    add.add_argument(
        "--count", type=int, required=True, help="how many it held; the one that let water in does not count"
    )
    add.add_argument("--guess", type=int, help="what was said beforehand")
    add.add_argument("--date", default=datetime.date.today().isoformat(), help="such as 2025-03-14; without it, today")
    add.add_argument("--sheets", type=int, default=1, help="sheets used for this build")
    add.add_argument("--hand", default="usual", choices=HANDS, help="how carefully it was folded")
    add.add_argument("--note", default="")
    verbs.add_parser("list", help="show the log", parents=[every])
    verbs.add_parser("summary", help="what can be counted on", parents=[every])
    for name, text in (("import", "read trials from a CSV file"), ("export", "write the log as a CSV file")):
        verbs.add_parser(name, help=text, parents=[every]).add_argument("file", type=Path)
    return parser


Told = tuple[object, list[str]]
"""What was done: for machines, and line by line for people."""


def _add(args: argparse.Namespace) -> Told:
    trial = _trial(args)
    with TrialLog(args.log) as log:
        _tell_notice(log)
        number = log.add(trial)
    return {"number": number, **asdict(trial)}, [f"Noted as trial {number}: {_line(trial)}"]


def _trial(args: argparse.Namespace) -> Trial:
    mass = float(read_mass(args.each, "the mass of one object")) if args.each else named_item(args.item).mass_g
    if mass is None:
        raise BadRequest(
            "this object's mass varies", where="--item", found=args.item, remedy="Weigh yours and give --each"
        )
    trial = Trial(
        args.date, args.pattern, args.item, mass, args.count,
        guess=args.guess, sheets_used=args.sheets, hand=args.hand, note=args.note,
    )  # fmt: skip
    try:
        pattern = read_pattern(find_pattern(args.pattern))
    except FolderError:
        if os.path.exists(args.pattern):
            raise
        return trial  # a name alone: nothing is known of the design
    sheet = pattern.sheet
    return replace(
        trial, pattern=pattern.name, sheet_width_mm=sheet.width_mm, sheet_height_mm=sheet.height_mm,
        thickness_um=sheet.thickness_um, brim_g=study(pattern).load.brim_g or None,
    )  # fmt: skip


def _import(args: argparse.Namespace) -> Told:
    with TrialLog(args.log) as log:
        _tell_notice(log)
        count = import_csv(args.file, log)
    return {"imported": count}, [f"{count} trials read from {args.file}."]


def _export(args: argparse.Namespace) -> Told:
    trials = read_trials(args.log)
    export_csv(trials, args.file)
    return {"exported": len(trials)}, [f"{len(trials)} trials written to {args.file}."]


def _list(args: argparse.Namespace) -> Told:
    trials = read_trials(args.log)
    return [asdict(t) for t in trials], [_line(t) for t in trials] or ["No trials yet."]


def _summary(args: argparse.Namespace) -> Told:
    summary = summarise(read_trials(args.log))
    return summary.as_json(), list(_summary_lines(summary))


def _summary_lines(summary: Summary) -> Iterator[str]:
    for p in summary.patterns:
        yield f"{p.pattern}, {p.sheet_width_mm:g} × {p.sheet_height_mm:g} mm"
        yield f"  held: {p.held_g.bound.text}"
        if p.guesses.n:
            yield f"  guesses: {p.guesses.text}"
    yield f"All patterns, as a share of the brim load: {summary.share.bound.text}"
    if summary.guesses.n:
        yield f"All guesses: {summary.guesses.text}"


def _line(t: Trial) -> str:
    guess = f", guessed {t.guess}" if t.guess is not None else ""
    return f"{t.date}  {t.pattern}: {t.count} × {t.item} of {t.mass_each_g:g} g = {t.held_g:g} g{guess}"


def _tell_notice(log: TrialLog) -> None:
    if log.notice:
        print(f"folder: {log.notice}", file=sys.stderr)


_DOINGS: dict[str, Callable[[argparse.Namespace], Told]] = {
    "add": _add,
    "list": _list,
    "summary": _summary,
    "import": _import,
    "export": _export,
}
