"""`folder check FILE...`: report, measures, loads."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

from folder.cli import VERBS, Parser
from folder.cli.told import check_json, check_lines, json_text
from folder.errors import FolderError
from folder.pattern.file import find_pattern, read_pattern
from folder.places import user_data
from folder.study import study

if TYPE_CHECKING:
    from folder.practice.trial import Trial


def run(argv: Sequence[str]) -> int:
    """Check every file; one that cannot be read does not keep the others from being checked."""
    parser = Parser(prog="folder check", description=VERBS["check"])
    parser.add_argument("file", nargs="+", help="pattern files, or names of ready patterns")
    parser.add_argument("--hand", default="usual", help="careful, usual or hurried")
    parser.add_argument("--json", action="store_true", help="for machines")
    args = parser.parse_args(argv)
    trials: Sequence[Trial] = ()
    if user_data().is_dir():
        from folder.practice.log import read_trials  # most pupils have no log yet, and a database is slow to load

        trials = read_trials()
    studies, code = [], 0
    for name in args.file:
        try:
            studies.append(study(read_pattern(find_pattern(name)), trials=trials, hand=args.hand))
        except FolderError as error:
            print(f"folder: {error}", file=sys.stderr)
            code = 2
    if args.json and studies:
        told = [check_json(s) for s in studies]
        print(json_text(told[0] if len(args.file) == 1 else told))
    elif studies:
        print("\n\n".join("\n".join(check_lines(s)) for s in studies))
    return code or int(any(s.report.stops for s in studies))
