"""`folder check FILE...`: report, measures, loads."""

from __future__ import annotations

import sys
from collections.abc import Sequence

from folder.cli import VERBS, Parser, tell_fault
from folder.cli.json_text import json_text
from folder.cli.report import check_json, check_lines
from folder.cli.user_data import add_pupil, named_rules, trials_or_warning
from folder.errors import FolderError
from folder.pattern.file import find_pattern, read_pattern
from folder.studies import study


def run(argv: Sequence[str]) -> int:
    """Check every file; one that cannot be read does not keep the others from being checked."""
    parser = Parser(prog="folder check", description=VERBS["check"])
    parser.add_argument("file", nargs="+", help="pattern files, or names of ready patterns")
    parser.add_argument("--event", metavar="EVENT", help="an event whose rules are checked too: its file, or its rules as JSON")
    parser.add_argument("--hand", default="usual", help="careful, usual or hurried")
    add_pupil(parser)
    parser.add_argument("--json", action="store_true", help="for machines")
    args = parser.parse_args(argv)
    trials, rules = trials_or_warning(), named_rules(args.event)
    reports: list[object] = []
    code = stops = 0
    for name in args.file:
        try:
            one = study(read_pattern(find_pattern(name)), trials=trials, hand=args.hand, rules=rules, pupil=args.pupil)
            reports.append(check_json(one) if args.json else "\n".join(check_lines(one)))
            stops |= bool(one.report.stops)
        except FolderError as error:
            print(f"folder: {error}", file=sys.stderr)
            code = max(code, 2)
        except Exception as error:  # noqa: BLE001 (a fault over one pattern does not keep the others from being checked)
            code = tell_fault(error, ["check", name])
    if args.json and reports:
        print(json_text(reports[0] if len(args.file) == 1 else reports))
    elif reports:
        print("\n\n".join(map(str, reports)))
    return code or stops
