"""`folder trial add / list / edit / remove / summary / import / print / export`: the log of real builds."""

from __future__ import annotations

import argparse
import datetime
import os
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

from msgspec.structs import asdict, replace

from folder.cli import VERBS, Parser
from folder.cli.json_text import json_text
from folder.cli.trial_text import trial_line
from folder.cli.user_data import named_item
from folder.errors import BadRequest, FolderError
from folder.practice.log import LogEntry, TrialLog, read_history, read_trials
from folder.practice.trial import HAND_NAMES, HAPPENED, Trial

ANYWAY = "Look again; --anyway notes it as it is"


def run(argv: Sequence[str]) -> int:
    """Add to the log, correct it, show it, sum it up, or carry it to and from a spreadsheet."""
    args = _parser().parse_args(argv)
    data, lines = _DOINGS[args.what](args)
    if args.json:
        print(json_text(data))
    else:
        print("\n".join(lines))
    return 0


def _parser() -> Parser:
    every = Parser(add_help=False)
    every.add_argument("--log", type=Path, metavar="FILE", help="the log; without it, the one in your own directory")
    every.add_argument("--json", action="store_true", help="for machines")
    asked = Parser(add_help=False)
    asked.add_argument("--anyway", "--yes", action="store_true", help="note even what can hardly be true")
    parser = Parser(prog="folder trial", description=VERBS["trial"])
    verbs = parser.add_subparsers(dest="what", metavar="WHAT", required=True, parser_class=Parser)
    add = verbs.add_parser("add", help="note a float test down", parents=[every, asked, _fields(required=True)])
    add.set_defaults(date=datetime.date.today().isoformat(), sheets=1, hand="usual", note="", pupil="", happened="")
    edit = verbs.add_parser("edit", help="correct a trial", parents=[every, asked, _fields(required=False)])
    remove = verbs.add_parser("remove", help="strike a trial out; edit brings it back", parents=[every])
    for one in (edit, remove):
        one.add_argument("number", type=int, help="the trial's number, as list shows it")
    listed = verbs.add_parser("list", help="show the log", parents=[every])
    listed.add_argument("--all", action="store_true", help="also what was corrected or struck out")
    verbs.add_parser("summary", help="how the trials went, and what can be counted on", parents=[every])
    taken = verbs.add_parser("import", help="read trials from a CSV file", parents=[every, asked])
    taken.add_argument("file", type=Path)
    taken.add_argument("--new", action="store_true", help="leave out what the log holds already, as is done anyway")
    pages = verbs.add_parser("print", help="a page of a class's trials: box plots, guesses against counts", parents=[every])
    pages.add_argument("--paper", default="a4", help="a4 or letter")
    pages.add_argument("--to", default=".", metavar="DIR", help="where to write")
    pages.add_argument("--replace", action="store_true", help="write over files of the same name; without it they get a number")
    verbs.add_parser("export", help="write the log as a CSV file", parents=[every]).add_argument("file", type=Path)
    return parser


def _fields(required: bool) -> Parser:
    """What can be said of a trial."""
    of = Parser(add_help=False)
    of.add_argument("--pattern", required=required, help="a pattern file, the name of a ready pattern, or just a name")
    of.add_argument("--item", required=required, help="the object's name")
    of.add_argument("--each", metavar="G", help="mass of one object, g; without it, that of the object list")
    counts = "how many it held; the one that let water in does not count"
    of.add_argument("--count", "--held", type=int, required=required, help=counts)
    of.add_argument("--guess", type=int, help="what was said beforehand")
    of.add_argument("--date", help="such as 2025-03-14; without it, today")
    of.add_argument("--sheets", type=int, help="sheets used for this build")
    of.add_argument("--hand", choices=HAND_NAMES, help="how carefully it was folded")
    of.add_argument("--pupil", help="who built it")
    of.add_argument("--happened", metavar="WHAT", help=f"what ended it: {', '.join(HAPPENED)}")
    of.add_argument("--note")
    return of


Answer = tuple[object, Iterable[str]]
"""What was done: for machines, and line by line for people."""


def _add(args: argparse.Namespace) -> Answer:
    trial = Trial(**_fields_given(args))
    _ask(args, [trial])
    with TrialLog(args.log) as log:
        _tell_notice(log)
        number = log.add(trial)
    return {"number": number, **asdict(trial)}, [f"Noted as trial {number}: {trial_line(trial)}"]


def _edit(args: argparse.Namespace) -> Answer:
    changes = _fields_given(args)
    with TrialLog(args.log) as log:
        _tell_notice(log)
        was = log.entry(args.number).trial
        trial = replace(was, **changes)
        _ask(args, [trial])
        log.edit(args.number, **changes)
    return {"number": args.number, **asdict(trial)}, [f"Trial {args.number} is now: {trial_line(trial)}"]


def _remove(args: argparse.Namespace) -> Answer:
    with TrialLog(args.log) as log:
        _tell_notice(log)
        trial = log.remove(args.number)
    back = f"It does not count any more. To bring it back: folder trial edit {args.number}"
    return {"number": args.number, **asdict(trial)}, [f"Trial {args.number} is struck out: {trial_line(trial)}", back]


def _fields_given(args: argparse.Namespace) -> dict[str, Any]:
    """The fields of a trial that the call names."""
    plain = {
        "pattern": args.pattern, "item": args.item, "count": args.count, "guess": args.guess, "date": args.date,
        "sheets_used": args.sheets, "hand": args.hand, "note": args.note, "pupil": args.pupil, "happened": args.happened,
    }  # fmt: skip
    fields = {name: value for name, value in plain.items() if value is not None}
    if args.each is not None:
        from folder.cargo.division.arithmetic import read_mass

        fields["mass_each_g"] = float(read_mass(args.each, "the mass of one object"))
    elif args.item is not None:
        mass = named_item(args.item).mass_g
        if mass is None:
            remedy = "Weigh yours and give --each"
            raise BadRequest("this object's mass varies", where="--item", found=args.item, remedy=remedy)
        fields["mass_each_g"] = mass
    return fields | (_design(args.pattern) if args.pattern is not None else {})


def _design(name: str) -> dict[str, Any]:
    """What a trial knows of its design; with a name alone, nothing."""
    from folder.pattern.file import find_pattern, read_pattern
    from folder.trial_designs import design_fields

    try:
        pattern = read_pattern(find_pattern(name))
    except FolderError:
        if os.path.exists(name):
            raise
        return {"design": "", "brim_g": None}
    return design_fields(pattern)


def _ask(args: argparse.Namespace, trials: Sequence[Trial], where: str = "") -> None:
    """BadRequest where something can hardly be true and the call does not say that it is."""
    from folder.practice.doubts import doubts

    today = datetime.date.today().isoformat()
    found = [] if args.anyway else [doubt for trial in trials if (doubt := doubts(trial, today))]
    if found:
        more = f", and {len(found) - 1} more like this" if len(found) > 1 else ""
        raise BadRequest(f"can this be? {'; '.join(found[0])}{more}", where=where, remedy=ANYWAY)


def _import(args: argparse.Namespace) -> Answer:
    from folder.practice.doubts import noted_before
    from folder.practice.exchange import read_csv
    from folder.trial_designs import with_designs

    table = read_csv(args.file)
    trials = with_designs(table.trials)
    with TrialLog(args.log) as log:
        _tell_notice(log)
        before = () if args.anyway else noted_before(trials, _noted(log))
        fresh = [trials[k] for k in _others(trials, before)]
        _ask(args, fresh, str(args.file))
        log.add_all(fresh)
    lines = [f"{len(fresh)} trials read from {args.file}."]
    if before:
        lines.append(f"{len(before)} were noted before and are left alone; --anyway takes all once more.")
    if table.passed_over:
        lines.append(f"Columns passed over: {', '.join(table.passed_over)}.")
    return {"imported": len(fresh), "noted_before": len(before), "passed_over": table.passed_over}, lines


def _noted(log: TrialLog) -> dict[int, list[Trial]]:
    """Every trial that was noted, by number; corrected and struck out ones too."""
    return {number: [entry.trial for entry in entries] for number, entries in log.history().items()}


def _others(trials: Sequence[Trial], before: Sequence[Trial]) -> Iterator[int]:
    """The places of the trials that are not among those noted before."""
    left = list(before)
    for k, trial in enumerate(trials):
        if left and trial == left[0]:
            del left[0]
        else:
            yield k


def _print(args: argparse.Namespace) -> Answer:
    from folder.cli.pages import ensure_directory, parse_paper, write_book  # only pages need what knows of paper
    from folder.paper.sheets.class_trials import class_trials_page

    paper = parse_paper(args.paper)
    parts = {"class-trials": [class_trials_page(read_trials(args.log), paper)]}
    written = write_book("class-trials", parts, ensure_directory(args.to), paper, replace=args.replace)
    return {"written": [str(path) for path in written]}, [str(path) for path in written]


def _export(args: argparse.Namespace) -> Answer:
    from folder.practice.exchange import export_csv

    trials = read_trials(args.log)
    export_csv(trials, args.file)
    return {"exported": len(trials)}, [f"{len(trials)} trials written to {args.file}."]


def _list(args: argparse.Namespace) -> Answer:
    history = read_history(args.log)
    shown = [
        (number, entry, entry is entries[-1])
        for number, entries in history.items()
        for entry in (entries if args.all else entries[-1:])
        if args.all or not entry.struck
    ]
    data = [
        {"number": number, **asdict(entry.trial)}
        | ({"noted_at": entry.noted_at, "struck": entry.struck, "counts": last and not entry.struck} if args.all else {})
        for number, entry, last in shown
    ]
    lines = [f"{number:4d}  {trial_line(entry.trial)}{_standing(entry, last)}" for number, entry, last in shown]
    return data, lines or ["No trials yet."]


def _standing(entry: LogEntry, last: bool) -> str:
    """Why an entry does not count."""
    if entry.struck:
        return "  (struck out)" if last else "  (struck out, brought back later)"
    return "" if last else "  (corrected or struck out later)"


def _summary(args: argparse.Namespace) -> Answer:
    from folder.cli.trial_summary import trial_summary

    return trial_summary(read_trials(args.log))


def _tell_notice(log: TrialLog) -> None:
    if log.notice:
        print(f"folder: {log.notice}", file=sys.stderr)


_DOINGS: dict[str, Callable[[argparse.Namespace], Answer]] = {
    "add": _add,
    "list": _list,
    "edit": _edit,
    "remove": _remove,
    "summary": _summary,
    "import": _import,
    "print": _print,
    "export": _export,
}
