"""`folder make FAMILY [--PARAM V ...] --to FILE`: a parametric pattern."""

from __future__ import annotations

from collections.abc import Sequence

from folder.cli import VERBS, Parser
from folder.cli.told import json_text, one_line
from folder.errors import BadRequest
from folder.pattern.family import FAMILIES, find_family, make
from folder.pattern.file import pattern_bytes, write_pattern
from folder.pattern.parameter import Family
from folder.pattern.pattern import SHEET_SIDE_MM, THICKNESS_UM, Sheet
from folder.study import study
from folder.verdict import verdict_of


def run(argv: Sequence[str]) -> int:
    """Make a pattern and say whether it folds."""
    parser = Parser(prog="folder make", description=VERBS["make"])
    parser.add_argument("family", nargs="?", help="a family's name; its parameters are options, see --list")
    parser.add_argument("--list", action="store_true", help="list the families and their parameters")
    parser.add_argument("--to", metavar="FILE", help="where to write the pattern; without it, to the screen")
    parser.add_argument("--name", default="", help="the pattern's name")
    parser.add_argument("--note", default="", help="a note kept with it")
    parser.add_argument("--width", type=float, default=150.0, metavar="MM", help="the sheet's width")
    parser.add_argument("--height", type=float, default=150.0, metavar="MM", help="the sheet's height")
    parser.add_argument("--thickness", type=float, default=16.0, metavar="UM", help="the foil's thickness")
    parser.add_argument("--json", action="store_true", help="for machines")
    args, rest = parser.parse_known_args(argv)
    if args.list:
        _list(args.json)
        return 0
    if args.family is None:
        raise BadRequest("no family named", where="folder make", remedy=f"There are: {', '.join(FAMILIES)}")
    family = find_family(args.family)
    for option, value, (low, high) in (
        ("--width", args.width, SHEET_SIDE_MM), ("--height", args.height, SHEET_SIDE_MM), ("--thickness", args.thickness, THICKNESS_UM),
    ):  # fmt: skip
        if not low <= value <= high:
            raise BadRequest("out of range", where=option, found=f"{value:g}", remedy=f"Give {low:g} to {high:g}")
    sheet = Sheet(args.width, args.height, args.thickness)
    made = make(family.name, _parameters(rest), sheet=sheet, name=args.name, note=args.note)
    result = study(made)
    if args.to is None:
        print(pattern_bytes(made).decode(), end="")
    else:
        write_pattern(made, args.to)
        told = {
            "written": args.to,
            "name": made.name,
            "family": family.name,
            "parameters": dict(made.family.parameters if made.family else {}),
        }
        print(json_text(told) if args.json else f"{args.to}: {one_line(made.name)}. {verdict_of(result).text}")
    return int(bool(result.report.stops))


def _parameters(rest: Sequence[str]) -> dict[str, object]:
    """Options that `make` does not know are the family's parameters."""
    values: dict[str, object] = {}
    words = [part for word in rest for part in (word.split("=", 1) if word.startswith("--") else [word])]
    if len(words) % 2:
        raise BadRequest(
            "every parameter takes one value", where="folder make", found=words[-1], remedy="For example: --wall 25"
        )
    for option, value in zip(words[::2], words[1::2], strict=True):
        if not option.startswith("--"):
            raise BadRequest("not an option", where="folder make", found=option, remedy="For example: --wall 25")
        values[option[2:].replace("-", "_")] = value
    return values


def _list(as_json: bool) -> None:
    if as_json:
        print(json_text([_family_json(f) for f in FAMILIES.values()]))
        return
    for family in FAMILIES.values():
        print(f"{family.name}: {family.text}")
        for p in family.parameters:
            limits = f", {p.low:g} to {p.high:g} {p.unit}".rstrip() if not isinstance(p.default, str) else ""
            print(f"    --{p.name.replace('_', '-')} {p.default}{limits}: {p.text}")


def _family_json(family: Family) -> dict[str, object]:
    parameters = [
        {"name": p.name, "text": p.text, "default": p.default, "unit": p.unit, "low": p.low, "high": p.high}
        for p in family.parameters
    ]
    return {"name": family.name, "title": family.title, "text": family.text, "parameters": parameters}
