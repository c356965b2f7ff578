"""`folder make FAMILY [--PARAM V ...] --to FILE`: a parametric pattern."""

from __future__ import annotations

from collections.abc import Sequence

from folder.cli import VERBS, Parser
from folder.cli.json_text import json_text
from folder.cli.parser import parse_numbers
from folder.cli.report import LONGEST_NAME
from folder.errors import BadRequest, nearest, one_line
from folder.pattern.families.catalogue import FAMILIES, find_family, make
from folder.pattern.families.parameter import Family, Parameter
from folder.pattern.file import pattern_bytes, write_pattern
from folder.pattern.pattern import SHEET_SIDE_MM, THICKNESS_UM, Sheet
from folder.studies import study
from folder.verdict import verdict_of


def run(argv: Sequence[str]) -> int:
    """Make a pattern and say whether it folds."""
    family = next((FAMILIES[word] for word in argv if word in FAMILIES), None)
    parser = make_parser(family)
    args, rest = parser.parse_known_args(argv)
    if args.list:
        _list(args.json)
        return 0
    if args.family is None:
        raise BadRequest("no family named", where="folder make", remedy=f"There are: {', '.join(FAMILIES)}")
    family = family or find_family(args.family)
    _refuse_rest(rest, family, parser)
    sheet = _sheet(args.sheet, args.thickness)
    given = {p.name: getattr(args, p.name) for p in family.parameters if getattr(args, p.name) is not None}
    made = make(family.name, given, sheet=sheet, name=args.name, note=args.note)
    result = study(made)
    if args.to is None:
        print(pattern_bytes(made).decode(), end="")
    else:
        write_pattern(made, args.to)
        data = {
            "written": args.to,
            "name": made.name,
            "family": family.name,
            "parameters": dict(made.family.parameters if made.family else {}),
        }
        names = ": ".join(one_line(name, LONGEST_NAME) for name in (args.to, made.name))
        print(json_text(data) if args.json else f"{names}. {verdict_of(result).text}")
    return int(bool(result.report.stops))


def make_parser(family: Family | None) -> Parser:
    """The options of `make`, and with them the parameters of a family: argparse itself refuses two of one name."""
    parser = Parser(prog="folder make", description=VERBS["make"])
    parser.add_argument("family", nargs="?", help="a family's name; its parameters are options, see --list")
    parser.add_argument("--list", action="store_true", help="list the families and their parameters")
    parser.add_argument("--to", metavar="FILE", help="where to write the pattern; without it, to the screen")
    parser.add_argument("--name", default="", help="the pattern's name")
    parser.add_argument("--note", default="", help="a note kept with it")
    parser.add_argument("--sheet", default="150,150", metavar="W,H", help="the sheet's width and height, mm")
    parser.add_argument("--thickness", type=float, default=16.0, metavar="UM", help="the foil's thickness")
    parser.add_argument("--json", action="store_true", help="for machines")
    if family is not None:
        own = parser.add_argument_group(family.name)
        for p in family.parameters:
            own.add_argument(option_of(p), dest=p.name, metavar="V", help=p.text.replace("%", "%%"))
    return parser


def option_of(parameter: Parameter) -> str:
    """The option that sets a parameter."""
    return f"--{parameter.name.replace('_', '-')}"


def _refuse_rest(rest: Sequence[str], family: Family, parser: Parser) -> None:
    """BadRequest for what is neither an option of the verb nor a parameter of the family."""
    for word in rest:
        if not word.startswith("--"):
            parser.refuse(word)
        name = word[2:].partition("=")[0]
        remedy = nearest(name, [option_of(p)[2:] for p in family.parameters], among="It has")
        if name in ("width", "height"):
            remedy = f"The sheet's size is --sheet W,H. {remedy}"
        raise BadRequest("no such parameter", where=family.name, found=name, remedy=remedy)


def _sheet(size: str, thickness_um: float) -> Sheet:
    width, height = parse_numbers(size, "--sheet", 2, "150,150")
    for what, value, (low, high) in (
        ("--sheet, width", width, SHEET_SIDE_MM), ("--sheet, height", height, SHEET_SIDE_MM), ("--thickness", thickness_um, THICKNESS_UM),
    ):  # fmt: skip
        if not low <= value <= high:
            raise BadRequest("out of range", where=what, found=f"{value:g}", remedy=f"Give {low:g} to {high:g}")
    return Sheet(width, height, thickness_um)


def _list(as_json: bool) -> None:
    if as_json:
        print(json_text([_family_json(f) for f in FAMILIES.values()]))
        return
    for family in FAMILIES.values():
        print(f"{family.name}: {family.text}")
        for p in family.parameters:
            limits = f", {p.low:g} to {p.high:g} {p.unit}".rstrip() if not isinstance(p.default, str) else ""
            print(f"    {option_of(p)} {p.default}{limits}: {p.text}")


def _family_json(family: Family) -> dict[str, object]:
    parameters = [
        {"name": p.name, "text": p.text, "default": p.default, "unit": p.unit, "low": p.low, "high": p.high}
        for p in family.parameters
    ]
    return {"name": family.name, "title": family.title, "text": family.text, "parameters": parameters}
