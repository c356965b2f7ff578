"""`folder event new / rules / team / note / rank / merge / print / export`: the day itself."""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from folder.cli import VERBS, Parser
from folder.cli.json_text import json_text
from folder.errors import BadRequest, FolderError, one_line
from folder.event.entry import Team
from folder.event.exchange import read_names, standing_row, write_standings
from folder.event.file import EventFile
from folder.event.rescue import rescue
from folder.event.rules import Rules, read_rules
from folder.event.words import rule_lines
from folder.paper.event.kinds import EVENT_KINDS

LONGEST_SHOWN = 40
"""A longer name of a team would push the numbers off the terminal; --json has it whole."""

Answer = tuple[object, list[str]]
"""What is said: for machines, and in lines for people."""


def run(argv: Sequence[str]) -> int:
    """Begin an event, set its rules, enter its teams, note what they guess and hold, tell the places."""
    args = _parser().parse_args(argv)
    message, lines = _DOINGS[args.verb](args)
    print(json_text(message) if args.json else "\n".join(lines))
    return 0


def _parser() -> Parser:
    every = Parser(add_help=False)
    every.add_argument("event", type=Path, metavar="EVENT", help="the event's file")
    every.add_argument("--json", action="store_true", help="for machines")
    parser = Parser(prog="folder event", description=VERBS["event"])
    verbs = parser.add_subparsers(dest="verb", metavar="WHAT", required=True, parser_class=Parser)

    def verb(name: str, text: str) -> Parser:
        made: Parser = verbs.add_parser(name, help=text, parents=[every])
        return made

    new = verb("new", "begin an event")
    new.add_argument("--rules", type=Path, metavar="JSON", help="its rules; without, ours")
    new.add_argument("--rescue", type=Path, metavar="DAMAGED", help="go on with all that can still be read of a damaged event")
    verb("rules", "show the rules, or set them").add_argument("--from", dest="source", type=Path, metavar="JSON")
    team = verb("team", "enter teams, or list them")
    team.add_argument("doing", choices=("add", "import", "list"))
    team.add_argument("names", nargs="*", metavar="NAME", help="names to add, or the CSV file to import")
    note = verb("note", "note a guess, a count, sheets")
    note.add_argument("--team", required=True, help="its number, or its name where only one has it")
    for key, text in (("guess", "what the team says"), ("held", "how many it held"), ("sheets", "sheets used")):
        note.add_argument(f"--{key}", type=int, help=text)
    note.add_argument("--station", default="", help="which tub")
    verb("rank", "the places")
    verb("merge", "take over what other stations noted").add_argument("others", nargs="+", type=Path, metavar="OTHER")
    pages = verb("print", "slips, station sheets, the places to read out, certificates")
    pages.add_argument("--what", default=",".join(EVENT_KINDS), help=f"which pages: {', '.join(EVENT_KINDS)}")
    pages.add_argument("--stations", type=int, default=1, metavar="N", help="how many tubs share the teams")
    pages.add_argument("--paper", default="a4", help="a4 or letter")
    pages.add_argument("--to", default=".", metavar="DIR", help="where to write")
    pages.add_argument("--replace", action="store_true", help="write over files of the same name; without it they get a number")
    verb("export", "the places as a CSV file").add_argument("--to", required=True, type=Path, metavar="CSV")
    return parser


def _new(args: argparse.Namespace) -> Answer:
    if args.rescue:
        if args.rules:
            raise BadRequest("a rescued event keeps its own rules", where="--rules, --rescue", remedy="Set them afterwards")
        found = rescue(args.rescue, args.event)
        line = f"{args.event}: begun with {found.teams} teams and {found.entries} entries of {args.rescue}."
        return {"event": str(args.event), **found._asdict()}, [line]
    rules = read_rules(args.rules) if args.rules else Rules()
    with EventFile.new(args.event, rules):
        return {"event": str(args.event), "rules": rules}, [f"{args.event}: begun.", *_rule_lines(args, rules)]


def _rules(args: argparse.Namespace) -> Answer:
    with EventFile(args.event) as event:
        if args.source:
            event.rule(read_rules(args.source))
        rules = event.rules()
    return rules, _rule_lines(args, rules)


def _rule_lines(args: argparse.Namespace, rules: Rules) -> list[str]:
    change = f"To change them: folder event rules {args.event} --json > rules.json, edit that file, then --from rules.json."
    return [*rule_lines(rules), change]


def _team(args: argparse.Namespace) -> Answer:
    with EventFile(args.event) as event:
        if args.doing == "list":
            if args.names:
                raise BadRequest("list takes no names", where="event team", found=args.names[0])
            teams = event.teams()
        else:
            if args.doing == "import" and len(args.names) != 1:
                raise BadRequest("one CSV file is wanted", where="event team import", found=f"{len(args.names)} names")
            names = read_names(Path(args.names[0])) if args.doing == "import" else args.names
            if not names:
                raise BadRequest("at least one name is wanted", where="event team add")
            teams = event.add_teams(names) if args.doing == "add" else event.import_teams(names)
            if args.doing == "import" and len(teams) < len(names):
                said = [*map(_team_line, teams), f"{len(names) - len(teams)} were there already and are left alone."]
                return [{"number": t.number, "team": t.name} for t in teams], said
    return [{"number": t.number, "team": t.name} for t in teams], [_team_line(t) for t in teams] or ["No teams yet."]


def _team_line(team: Team) -> str:
    return f"{team.number:4}  {team.name}"


def _note(args: argparse.Namespace) -> Answer:
    with EventFile(args.event) as event:
        team = event.team(args.team)
        entry = event.note(team, args.station, guess=args.guess, held=args.held, sheets=args.sheets)
        most = event.rules().sheets
    noted = {key: getattr(entry, key) for key in ("guess", "held", "sheets") if getattr(entry, key) is not None}
    over = [f"The rules allow {most} {'sheet' if most == 1 else 'sheets'}."] if (entry.sheets or 0) > most else []
    return (
        {"id": entry.id, "at": entry.at, "team": team.name, "number": team.number, **noted},
        [f"{_team_line(team).strip()}: noted {', '.join(f'{key} {value}' for key, value in noted.items())}.", *over],
    )


def _mass_g(rules: Rules) -> float | None:
    """The announced mass, where one object alone is announced."""
    return rules.objects[0].mass_g if len(rules.objects) == 1 else None


def _rank(args: argparse.Namespace) -> Answer:
    with EventFile(args.event) as event:
        rules, places = event.rules(), event.standings()
    rows = [standing_row(s, _mass_g(rules)) for s in places]
    return rows, list(_rank_lines(rules, rows)) or ["No teams yet."]


def _rank_lines(rules: Rules, rows: Sequence[dict[str, object]]) -> Iterator[str]:
    def cell(value: object) -> str:
        return "-" if value is None else f"{value:g}" if isinstance(value, float) else one_line(str(value), LONGEST_SHOWN)

    heads = ["place", "number", "team", "held", "guess", "off", "sheets", *(["points"] if rules.points else [])]
    table = [heads, *([cell(row[head]) for head in heads] for row in rows)] if rows else []
    widths = [max(map(len, column)) for column in zip(*table, strict=True)]
    for line in table:
        shown = (c.ljust(w) if head == "team" else c.rjust(w) for c, w, head in zip(line, widths, heads, strict=True))
        yield "  ".join(shown).rstrip()


def _merge(args: argparse.Namespace) -> Answer:
    found, lines = [], []
    with EventFile(args.event) as event:
        for other in args.others:
            new = event.merge(other)
            found.append({"file": str(other), **new._asdict()})
            lines.append(f"{other}: {new.entries} entries and {new.teams} teams were new. {new.clock_words}".rstrip())
    return found, lines


def _print(args: argparse.Namespace) -> Answer:
    from folder.cli.pages import ensure_directory, parse_kinds, parse_paper
    from folder.paper.event.job import EventJob
    from folder.paper.event.kinds import write_event

    kinds = parse_kinds(args.what, EVENT_KINDS)
    with EventFile(args.event) as event:
        job = EventJob(event.rules(), event.standings(), parse_paper(args.paper), args.stations)
    written = write_event(job, kinds, args.event.stem, ensure_directory(args.to), replace=args.replace)
    return {"written": [str(path) for path in written]}, [str(path) for path in written]


def _export(args: argparse.Namespace) -> Answer:
    if os.path.lexists(args.to):
        raise FolderError("something stands there already", where=str(args.to), remedy="Choose another name")
    with EventFile(args.event) as event:
        places = event.standings()
        write_standings(places, _mass_g(event.rules()), args.to)
    return {"file": str(args.to), "teams": len(places)}, [f"{args.to}: {len(places)} teams."]


_DOINGS: dict[str, Callable[[argparse.Namespace], Answer]] = {
    "new": _new, "rules": _rules, "team": _team, "note": _note, "rank": _rank, "merge": _merge, "print": _print,
    "export": _export,
}  # fmt: skip
