"""`folder improve FAMILY [--keep PARAM=V ...]`: the best parameters found, and by how much."""

from __future__ import annotations

from collections.abc import Sequence

from folder.cli import VERBS, Parser
from folder.cli.report import json_text
from folder.errors import BadRequest
from folder.pattern.families.catalogue import find_family, make
from folder.pattern.file import write_pattern
from folder.search.families import improve


def run(argv: Sequence[str]) -> int:
    """Search a family for the parameters with the largest brim load."""
    parser = Parser(prog="folder improve", description=VERBS["improve"])
    parser.add_argument("family", help="a family's name, see folder make --list")
    parser.add_argument("--keep", action="append", default=[], metavar="PARAM=V", help="a parameter that stays as it is")
    parser.add_argument("--to", metavar="FILE", help="write the best pattern")
    parser.add_argument("--json", action="store_true", help="for machines")
    args = parser.parse_args(argv)
    family = find_family(args.family)
    keep: dict[str, object] = {}
    for text in args.keep:
        name, equals, value = text.partition("=")
        if not equals:
            raise BadRequest("a parameter and its value are wanted", where="--keep", found=text, remedy="For example: turn=75")
        keep[name] = value
    found = improve(family.name, keep)
    if args.to:
        write_pattern(make(family.name, found.best.values), args.to)
    gain = None if found.start is None else found.best.score - found.start.score
    data = {
        "family": family.name,
        "parameters": dict(found.best.values),
        "brim_g": found.best.score,
        "gain_g": gain,
        "tried": found.tried,
    }
    if args.json:
        print(json_text(data))
        return 0
    settings = ", ".join(f"{k} {v:.2f}" if isinstance(v, float) else f"{k} {v}" for k, v in found.best.values.items())
    print(f"{family.title}: {settings}: brim load {found.best.score:.1f} g")
    if gain is not None and gain >= 0.05:
        print(f"{gain:.1f} g more than where the search began; {found.tried} patterns tried.")
    elif gain is not None:
        print(f"That is where the search began: none of the {found.tried} patterns tried carries more.")
    print("The largest brim load is not always the best boat: hands, tilt and room count too.")
    return 0
