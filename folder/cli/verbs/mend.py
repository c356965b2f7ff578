"""`folder mend FILE --to FILE`: takes the first remedy of a drawing, a few times, and tells each and the verdict."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import asdict

from folder.cli import VERBS, Parser
from folder.cli.json_text import json_text
from folder.errors import BadRequest
from folder.pattern.file import find_pattern, read_pattern, write_pattern
from folder.search.mend import StudiedRemedy, mending
from folder.studies import study
from folder.units import rounded_down
from folder.verdict import verdict_of

TIMES, MOST_TIMES = 3, 100


def run(argv: Sequence[str]) -> int:
    """Mend one pattern."""
    parser = Parser(prog="folder mend", description=VERBS["mend"])
    parser.add_argument("file", help="a pattern file, or the name of a ready pattern")
    parser.add_argument(
        "--times", type=int, default=TIMES, metavar="N", help=f"at most so many remedies, one after another ({TIMES})"
    )
    parser.add_argument("--to", metavar="FILE", help="write the mending pattern")
    parser.add_argument("--json", action="store_true", help="for machines")
    args = parser.parse_args(argv)
    if not 0 <= args.times <= MOST_TIMES:
        raise BadRequest("out of range", where="--times", found=str(args.times), remedy=f"Give 0 to {MOST_TIMES}")
    before = study(read_pattern(find_pattern(args.file)))
    taken = mending(before, args.times)
    after = taken[-1].study if taken else before
    verdict = verdict_of(after)
    if args.to:
        write_pattern(after.pattern, args.to)
    if args.json:
        data = {
            "name": before.pattern.name,
            "before": asdict(verdict_of(before)),
            "taken": [_remedy_json(r) for r in taken],
            "verdict": asdict(verdict),
            "load": asdict(after.load),
        }
        print(json_text(data))
    else:
        print(f"{before.pattern.name}\n  {verdict_of(before).text}")
        for n, remedy in enumerate(taken, 1):
            print(f"  {n}. {remedy.text}\n     {_outcome(remedy)}")
        if not taken:
            print("  There is nothing to mend." if verdict.level == "good" else "  No remedy was taken.")
    return int(verdict.level != "good")


def _outcome(remedy: StudiedRemedy) -> str:
    """What came of a remedy, in a line."""
    load = f" A real build: likely {rounded_down(remedy.likely_g)} g." if remedy.good else ""
    return f"{remedy.verdict.text}{load}"


def _remedy_json(remedy: StudiedRemedy) -> dict[str, object]:
    return {
        "text": remedy.text,
        "verdict": asdict(remedy.verdict),
        "stops": remedy.stops,
        "likely_g": remedy.likely_g,
        "brim_g": remedy.brim_g,
        "walls_lost": remedy.lost,
        "lines_changed": remedy.changes,
        "places": remedy.places,
    }
