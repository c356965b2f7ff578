"""`folder drill --grade N --count N --seed S --to DIR`: division practice, with answers."""

from __future__ import annotations

from collections.abc import Sequence

from folder.cargo.drill import GRADES, drill
from folder.cli import VERBS, Parser
from folder.cli.told import json_text


def run(argv: Sequence[str]) -> int:
    """Show division problems; the same seed gives the same problems."""
    parser = Parser(prog="folder drill", description=VERBS["drill"])
    parser.add_argument("--grade", type=int, default=4, help=f"school grade, {GRADES[0]} to {GRADES[-1]}")
    parser.add_argument("--count", type=int, default=10, help="how many problems")
    parser.add_argument("--seed", type=int, default=1, help="another number, other problems")
    parser.add_argument("--json", action="store_true", help="for machines")
    args = parser.parse_args(argv)
    problems = drill(args.grade, args.count, args.seed)
    if args.json:
        told = [{"question": p.question, "answer": p.answer, "working": p.working.as_json()} for p in problems]
        print(json_text(told))
        return 0
    for number, problem in enumerate(problems, 1):
        print(f"{number}. {problem.question}")
    print("\nAnswers: " + ", ".join(f"{n}. {p.answer}" for n, p in enumerate(problems, 1)))
    return 0
