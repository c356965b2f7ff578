"""`folder drill --grade N --count N --seed S --to DIR`: division practice, with answers."""

from __future__ import annotations

from collections.abc import Sequence

from folder.cargo.division.drill import GRADES, GUESS, Problem, drill
from folder.cli import VERBS, Parser
from folder.cli.json_text import json_text


def run(argv: Sequence[str]) -> int:
    """Show division problems; the same seed gives the same problems."""
    parser = Parser(prog="folder drill", description=VERBS["drill"])
    parser.add_argument("--grade", type=int, default=4, help=f"school grade, {GRADES[0]} to {GRADES[-1]}")
    parser.add_argument("--count", type=int, default=10, help="how many problems")
    parser.add_argument("--seed", type=int, default=1, help="another number, other problems")
    parser.add_argument("--to", metavar="DIR", help="write pages to fill in, and the answers, as SVG and PDF")
    parser.add_argument("--paper", default="a4", help="a4 or letter")
    parser.add_argument("--json", action="store_true", help="for machines")
    args = parser.parse_args(argv)
    problems = drill(args.grade, args.count, args.seed)
    written = [] if args.to is None else _write(problems, args.grade, args.seed, args.paper, args.to)
    if args.json:
        data = [
            {"question": p.question, "guess": _guess(p), "answer": p.answer, "working": p.working.as_json()} for p in problems
        ]
        print(json_text({"problems": data, "written": written} if written else data))
        return 0
    if written:
        print("\n".join(written))
        return 0
    print(f"{GUESS}\n")
    for number, problem in enumerate(problems, 1):
        print(f"{number}. {problem.question}")
    print("\nAnswers:")
    for number, problem in enumerate(problems, 1):
        low, high, nearer = _guess(problem).values()
        side = "in the middle" if nearer is None else f"nearer to {nearer}"
        print(f"{number}. {problem.answer} (guess: {low} to {high}, {side})")
    return 0


def _guess(problem: Problem) -> dict[str, int | None]:
    """What rounding tells before anything is worked out."""
    working = problem.working
    return {"low": working.low, "high": working.high, "nearer": working.nearer}


def _write(problems: Sequence[Problem], grade: int, seed: int, paper: str, to: str) -> list[str]:
    """Write the pages; the files."""
    # Only pages need what knows of paper.
    from folder.cli.pages import ensure_directory, parse_paper, write_book
    from folder.paper.sheets.drill import drill_pages

    size = parse_paper(paper)
    pages = drill_pages(problems, grade, seed, size)
    stem = f"drill-grade-{grade}-seed-{seed}"
    return [str(path) for path in write_book(stem, {stem: pages}, ensure_directory(to), size)]
