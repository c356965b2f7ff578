"""`folder improve FAMILY|FILE [--for likely|brim|count] [--keep PARAM=V ...]`: the best found, by how much, and what limits it."""

from __future__ import annotations

import argparse
import math
import os
import sys
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from folder.cargo.item import Item
from folder.cli import VERBS, Parser
from folder.cli.json_text import json_text
from folder.cli.user_data import counted_item, named_rules
from folder.errors import BadRequest
from folder.pattern.families.catalogue import FAMILIES, find_family, make
from folder.pattern.families.parameter import Value
from folder.pattern.file import find_pattern, read_pattern, ready_patterns, write_pattern
from folder.pattern.pattern import Pattern, Sheet
from folder.places import refuse_unwritable
from folder.search.drawings import improve_drawing
from folder.search.families import Improvement, improve
from folder.search.family.designs import DesignPoint
from folder.search.objective import Aim, Limits, Objective
from folder.second_process import cores
from folder.studies import study
from folder.water.build_variation import variation_named

LEAST_FLOOR, LEAST_FLOOR_SHARE = 1.0 / 15.0, "fifteenth"
"""Nothing can be set down on less of the sheet (judgement): on a smaller floor the model is asked for more than it knows."""

_LIMITS = {"wall_most": 25, "floor_least": 2000, "fold_least": 3}
"""By option, a limit as an example. Of floor and folds 0 is none."""


def run(argv: Sequence[str]) -> int:
    """Search a family for the design that carries most, or make a drawing better."""
    args = _parser().parse_args(argv)
    if args.to:
        refuse_unwritable(args.to)  # not after minutes of searching
    if _is_family(args.family):
        return _improve_family(args, Pattern(), find_family(args.family).name)
    pattern = read_pattern(find_pattern(args.family))
    if pattern.family is None:
        return _improve_drawing(args, pattern)
    return _improve_family(args, pattern, find_family(pattern.family.name).name)


def _parser() -> Parser:
    parser = Parser(prog="folder improve", description=VERBS["improve"])
    parser.add_argument("family", metavar="FAMILY|FILE", help="a family (folder make --list), or a pattern of one to begin with")
    parser.add_argument("--for", dest="aim", choices=("brim", "likely", "count"), help="what is to be large; brim by default")
    parser.add_argument("--item", metavar="NAME", help="the object whose count is to be large")
    parser.add_argument("--each", metavar="G", help="mass of one object, g; without it, that of the object list")
    parser.add_argument("--hand", default="usual", help="careful, usual or hurried, for likely and count")
    parser.add_argument("--keep", action="append", default=[], metavar="PARAM=V", help="a parameter that stays as it is")
    parser.add_argument("--wall-most", type=float, metavar="MM", help="no wall higher")
    floor = f"no floor smaller; without it a {LEAST_FLOOR_SHARE} of the sheet, so that there is room for a heap"
    parser.add_argument("--floor-least", type=float, metavar="MM2", help=floor)
    parser.add_argument("--fold-least", type=float, metavar="MM", help="no two folds closer together")
    parser.add_argument("--whole", action="store_true", help="only whole millimetres and degrees")
    parser.add_argument("--event", metavar="EVENT", help="an event's file, or its rules as JSON: nothing outside them")
    parser.add_argument("--to", metavar="FILE", help="write the best pattern")
    parser.add_argument("--json", action="store_true", help="for machines")
    return parser


def _is_family(text: str) -> bool:
    """Whether a family is named; what is neither that nor a pattern is taken for a family, for its message."""
    return text in FAMILIES or not (text.endswith(".json") or text in ready_patterns() or os.path.exists(text))


def _objective(args: argparse.Namespace, sheet: Sheet) -> Objective:
    """What is to be large on such a sheet, and what limits it."""
    item = counted_item(args.item, args.each)
    aim: Aim = args.aim or ("count" if item else "brim")
    if aim == "count" and item is None:
        raise BadRequest("a count is of some object", where="--for count", remedy="Add --item NAME")
    variation_named(args.hand)
    for option, example in _LIMITS.items():
        value = getattr(args, option)
        if value is not None and not (math.isfinite(value) and (value > 0.0 or (value == 0.0 and option != "wall_most"))):
            where = f"--{option.replace('_', '-')}"
            raise BadRequest("a limit is a number above 0", where=where, found=f"{value:g}", remedy=f"For example: {example}")
    least = sheet.width_mm * sheet.height_mm * LEAST_FLOOR if args.floor_least is None else args.floor_least
    limits = Limits(args.wall_most, least, args.fold_least, args.whole, named_rules(args.event))
    return Objective(aim, item, args.hand, limits)


def _improve_family(args: argparse.Namespace, pattern: Pattern, family: str) -> int:
    """The best of a family on the sheet of a pattern, searched for from its numbers on where it has some."""
    sheet, own = pattern.sheet, pattern.family
    start = {} if own is None else find_family(family).values(own.parameters)
    objective, show = _objective(args, sheet), _progress(args.json)
    found = improve(
        family,
        _kept(args.keep),
        sheet=sheet,
        objective=objective,
        start=start,
        progress=None if show is None else lambda tried, best: show(tried, best.score),
        processes=cores(),
    )
    if args.to:
        named = {} if own is None else {"name": pattern.name, "note": pattern.note}
        write_pattern(make(family, found.best.values, sheet=sheet, **named), args.to)
    data = _as_json(found, objective, sheet)
    print(json_text(data) if args.json else "\n".join(_sentences(found, objective, data)))
    return 0


def _improve_drawing(args: argparse.Namespace, pattern: Pattern) -> int:
    """A drawing made better, with each step of the way."""
    objective = _objective(args, pattern.sheet)
    if args.keep:
        raise BadRequest("a drawing has no parameters to keep", where="--keep", found=args.keep[0], remedy="Leave --keep away")
    found = improve_drawing(pattern, objective, progress=_progress(args.json))
    if args.to:
        write_pattern(found.best.pattern, args.to)
    before, best = (study(p, hand=objective.hand).load for p in (found.start.pattern, found.best.pattern))
    if args.json:
        steps = [{"text": s.text, "score": s.score} for s in found.steps]
        ends = ((before, found.start.score), (best, found.best.score))
        loads = [
            {"brim_g": load.brim_g, "likely_g": load.likely_g, "count": int(score) if objective.aim == "count" else None}
            for load, score in ends
        ]
        print(
            json_text({"name": pattern.name, "before": loads[0], "best": loads[1], "steps": steps, "designs_tried": found.tried})
        )
        return 0
    print(pattern.name)
    for n, step in enumerate(found.steps):
        print(f"  {n}. {step.text} {_scored(step.score, objective)}")
    if best.likely_g is not None and best.brim_g is not None:
        print(f"  a real build likely {best.likely_g:.0f} g, brim load {best.brim_g:.1f} g; {found.tried} designs tried")
    return 0


def _scored(score: float, objective: Objective) -> str:
    """What a drawing scores, in words."""
    return f"{score:.1f} g" if objective.aim != "count" or objective.item is None else f"{int(score)} x {objective.item.label}"


def _kept(texts: Sequence[str]) -> dict[str, object]:
    keep: dict[str, object] = {}
    for text in texts:
        name, equals, value = text.partition("=")
        if not equals:
            raise BadRequest("a parameter and its value are wanted", where="--keep", found=text, remedy="For example: turn=75")
        if keep.setdefault(name, value) != value:
            found = f"{name}={keep[name]} and {text}"
            raise BadRequest("one parameter is to keep two values", where="--keep", found=found, remedy="Give one of them")
    return keep


def _progress(quiet: bool) -> Callable[[int, float], None] | None:
    """Shows, on a terminal, how many designs were tried and the best score so far."""
    if quiet or not sys.stderr.isatty():
        return None

    def show(tried: int, score: float) -> None:
        sys.stderr.write(f"\r{tried} designs tried, best {score:.1f}  (Ctrl-C: enough)")
        sys.stderr.flush()

    return show


def _as_json(found: Improvement, objective: Objective, sheet: Sheet) -> dict[str, Any]:
    def measured(point: DesignPoint | None) -> dict[str, Any] | None:
        return None if point is None else _measured(found.family, point, objective, sheet)

    return {
        "family": found.family,
        "parameters": dict(found.best.values),
        "before": measured(found.start),
        "best": measured(found.best),
        "whole": None if found.whole is None else {"parameters": dict(found.whole.values), **(measured(found.whole) or {})},
        "at_limit": list(found.at_limit),
        "designs_tried": found.tried,
    }


def _measured(family: str, point: DesignPoint, objective: Objective, sheet: Sheet) -> dict[str, Any]:
    trip = study(make(family, point.values, sheet=sheet), hand=objective.hand)
    return {
        "brim_g": trip.load.brim_g,
        "likely_g": trip.load.likely_g,
        "count": int(point.score) if objective.aim == "count" else None,
    }


def _sentences(found: Improvement, objective: Objective, data: Mapping[str, Any]) -> list[str]:
    best, before, item = data["best"], data["before"], objective.item
    lines = [f"{find_family(found.family).title}: {_settings(found.best.values)}", f"  {_said(best, item)}"]
    if before is not None:
        key = {"brim": "brim_g", "likely": "likely_g", "count": "count"}[objective.aim]
        gain, unit = best[key] - before[key], item.label if objective.aim == "count" and item else "g"
        more = f"{gain:.4g} {unit} more than where the search began" if gain > 0.05 else "that is where the search began"
        lines.append(f"  {more}; {found.tried} designs tried")
    if found.whole is not None and found.whole != found.best:
        lines += [f"  in whole numbers: {_settings(found.whole.values)}", f"    {_said(data['whole'], item)}"]
    lines += [f"  it is held back by: {limit}{_option(limit)}" for limit in found.at_limit]
    lines.append("The largest brim load is not always the best boat: hands, tilt and room count too.")
    return lines


def _option(limit: str) -> str:
    """What sets a limit that nobody may have asked for."""
    return " (--floor-least gives another)" if limit.startswith("a floor of") else ""


def _said(best: Mapping[str, Any], item: Item | None) -> str:
    count = f"likely {best['count']} x {item.label}, " if item is not None and best["count"] is not None else ""
    return f"{count}a real build likely {best['likely_g']:.0f} g, brim load {best['brim_g']:.1f} g"


def _settings(values: Mapping[str, Value]) -> str:
    return ", ".join(f"{k} {v:.2f}" if isinstance(v, float) else f"{k} {v}" for k, v in values.items() if v)
