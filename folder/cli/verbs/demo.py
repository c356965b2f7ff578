"""`folder demo --to DIR`: the whole job on a ready pattern, everything written to DIR."""

from __future__ import annotations

from collections.abc import Sequence

from folder.cli import VERBS, Parser
from folder.cli.json_text import json_text
from folder.cli.pages import USUAL, ensure_directory, parse_paper, write_pages
from folder.cli.report import CAUTION, check_json, check_lines
from folder.pattern.file import find_pattern, read_pattern, write_pattern
from folder.places import write_whole
from folder.studies import study

SHOWN = "plain-tray"


def run(argv: Sequence[str]) -> int:
    """Check a ready pattern, and write its file, its report and all its pages."""
    parser = Parser(prog="folder demo", description=VERBS["demo"])
    parser.add_argument("--to", default="hull-demo", metavar="DIR", help="where to write")
    parser.add_argument("--paper", default="a4", help="a4 or letter")
    parser.add_argument("--json", action="store_true", help="for machines")
    args = parser.parse_args(argv)
    paper, directory = parse_paper(args.paper), ensure_directory(args.to)
    result = study(read_pattern(find_pattern(SHOWN)))
    write_pattern(result.pattern, directory / f"{SHOWN}.json")
    report = check_json(result)
    write_whole(directory / f"{SHOWN}-report.json", json_text(report).encode())
    written = [
        directory / f"{SHOWN}.json",
        directory / f"{SHOWN}-report.json",
        *write_pages(result, list(USUAL), paper, directory),
    ]
    if args.json:
        print(json_text({"written": [str(p) for p in written], "report": report}))
        return 0
    print("\n".join(check_lines(result)))
    print(f"\nWritten to {directory}:")
    print("\n".join(f"  {path.name}" for path in written))
    print(f"\n{CAUTION}")
    return 0
