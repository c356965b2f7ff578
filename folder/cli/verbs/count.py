"""`folder count --holds G --each G`: the division worked on paper."""

from __future__ import annotations

from collections.abc import Sequence

from folder.cargo.division.arithmetic import work_division
from folder.cargo.division.tables import plain
from folder.cli import VERBS, Parser
from folder.cli.json_text import json_text


def run(argv: Sequence[str]) -> int:
    """Work a division in several ways, as on paper. Masses stay text until they are exact decimals."""
    parser = Parser(prog="folder count", description=VERBS["count"])
    parser.add_argument("--holds", required=True, metavar="G", help="what the hull holds, g")
    parser.add_argument("--each", required=True, metavar="G", help="the mass of one object, g")
    parser.add_argument("--json", action="store_true", help="for machines")
    args = parser.parse_args(argv)
    working = work_division(args.holds, args.each)
    if args.json:
        print(json_text(working.as_json()))
        return 0
    held, each = plain(working.held_g), plain(working.each_g)
    print(f"{held} g to carry, {each} g each: {working.answer} objects; the division lies from {working.low} to {working.high}.")
    print(f"Try: {working.suggestion}. {working.reason}")
    for step in working.steps:
        print(f"\n{step.way}")
        for line in step.lines:
            print(f"  {line}")
    print("\nThe object that lets the water in does not count.")
    return 0
