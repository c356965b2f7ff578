"""`folder compare FILE...`: patterns side by side, as a table, a chart and a sheet to print."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from msgspec.structs import asdict, replace

from folder.cargo.item import Item
from folder.cargo.words import noun
from folder.cli import VERBS, Parser
from folder.cli.json_text import json_text
from folder.cli.pages import ensure_directory, parse_paper, write_book
from folder.cli.user_data import counted_item, trials_or_warning
from folder.draw.chart import spread_chart
from folder.draw.picture import Picture
from folder.errors import one_line
from folder.paper.design import Design
from folder.paper.sheets.compare import check_number, compare_sheet
from folder.paper.svg import picture_svg
from folder.pattern.file import find_pattern, read_pattern
from folder.places import write_whole
from folder.search.ranking import Contender, contender, distinct_names, ranked, why_it_wins
from folder.studies import Study, study
from folder.units import rounded_down
from folder.verdict import design_of, verdict_of

HEADS = ("", "floor cm2", "wall mm", "folds", "brim g", "low g", "likely g", "high g", "limited by")
ITEM_HEADS = ("", "floor cm2", "wall mm", "folds", "perfect", "low", "likely", "high", "limited by")
LONGEST = 32
EDGE_MM = 6.0
"""White round the chart."""


def run(argv: Sequence[str]) -> int:
    """Compare patterns, the best first; exit 1 when one of them has a stop."""
    parser = Parser(prog="folder compare", description=VERBS["compare"])
    parser.add_argument("files", nargs="+", metavar="FILE", help="pattern files, or names of ready patterns: 2 to 8")
    parser.add_argument(
        "--item", metavar="NAME", help="count how many of this object each takes, such as us-cent; without it, in g"
    )
    parser.add_argument("--each", metavar="G", help="mass of one object, g; without it, that of the object list")
    parser.add_argument("--hand", default="usual", help="careful, usual or hurried")
    parser.add_argument("--svg", metavar="OUT", help="write a chart of what they take")
    parser.add_argument("--to", metavar="DIR", help="write the compare sheet, as SVG and PDF")
    parser.add_argument("--paper", default="a4", help="a4 or letter")
    parser.add_argument("--json", action="store_true", help="for machines")
    args = parser.parse_args(argv)
    paper = parse_paper(args.paper)
    check_number(len(args.files))
    item = counted_item(args.item, args.each)
    trials = trials_or_warning()
    studies = [study(read_pattern(find_pattern(file)), trials=trials, hand=args.hand) for file in args.files]
    details = [f"wall {one.measures.wall_height_mm:.0f}" for one in studies]
    names = distinct_names([one.pattern.name for one in studies], details)
    found = [replace(contender(one, item), name=name) for one, name in zip(studies, names, strict=True)]
    order = ranked(found)
    studies, found = [studies[k] for k in order], [found[k] for k in order]
    designs = [design_of(one) for one in studies]
    why = why_it_wins(found, item)
    written: list[Path] = []
    if args.svg is not None:
        unit = "g" if item is None else noun(item, 2)
        chart = spread_chart([one.spread for one in found], unit=unit)
        framed = Picture(chart.marks, chart.box.grown(EDGE_MM))
        write_whole(Path(args.svg), picture_svg(framed, "What the hulls take").encode())
        written.append(Path(args.svg))
    if args.to is not None:
        written += write_book("compare", {"compare": [compare_sheet(designs, paper)]}, ensure_directory(args.to), paper)
    if args.json:
        data = [_json(*each) for each in zip(studies, designs, found, strict=True)]
        best = found[0].name if found[0].good else None
        more = {"item": None if item is None else item.name, "best": best, "why": why}
        print(json_text({"designs": data, **more, "written": [str(path) for path in written]}))
    else:
        heads = HEADS if item is None else ITEM_HEADS
        rows = [_row(*each, item) for each in zip(studies, designs, found, strict=True)]
        if item is not None:
            print(f"How many {noun(item, 2)} of {item.mass_g:g} g, {args.hand} hands:")
        print("\n".join(_table([heads, *rows])))
        if why:
            print(f"{one_line(found[0].name, LONGEST) if found[0].good else ''}{': ' if found[0].good else ''}{why}")
        for one, named in zip(studies, found, strict=True):
            if one.joined is not None:
                print(f"{one_line(named.name, LONGEST)}: {one.load.basis}")
        print("\n".join(map(str, written)), end="\n" if written else "")
    return int(any(one.report.stops for one in studies))


def _json(study: Study, design: Design, found: Contender) -> dict[str, object]:
    load = design.load
    return {
        "name": study.pattern.name,
        "shown_as": found.name,
        "verdict": asdict(verdict_of(study)),
        "folds": study.folds,
        "needs_cut": study.needs_cut,
        "needs_tape": study.needs_tape,
        "measures": asdict(study.measures),
        "load": {
            "brim_g": load.brim_g if load else None,
            "surface_tension_g": load.surface_tension_g if load else None,
            "low_g": load.low_g if load else None,
            "likely_g": load.likely_g if load else None,
            "high_g": load.high_g if load else None,
            "limited_by": load.limited_by if load else None,
            "count_on_g": study.load.count_on_g,
            "basis": study.load.basis,
        },
        "count": {
            "most": found.most, "low": found.low, "likely": found.likely, "high": found.high, "limited_by": found.limited_by,
            "hold_until": found.hold_until,
        },
    }  # fmt: skip


def _row(study: Study, design: Design, found: Contender, item: Item | None) -> tuple[str, ...]:
    m, load = study.measures, design.load
    row = (
        one_line(found.name, LONGEST),
        f"{m.floor_area_mm2 / 100:.1f}",
        f"{m.wall_height_mm:.1f}" if study.folds else "-",
        f"{m.creases}",
    )
    if load is None or found.low is None or found.likely is None or found.high is None or found.most is None:
        return (*row, "-", "-", "-", "-", verdict_of(study).short)
    limit = (load.limited_by if item is None else found.limited_by) if design.sound else verdict_of(study).short
    return (*row, *map(rounded_down, (found.most, found.low, found.likely, found.high)), limit)


def _table(rows: Sequence[Sequence[str]]) -> Iterator[str]:
    """Rows as lines of text: the first and the last column run from the left, numbers to the right."""
    wide = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for first, *numbers, last in rows:
        middle = "  ".join(f"{number:>{w}}" for number, w in zip(numbers, wide[1:-1], strict=True))
        yield f"{first:<{wide[0]}}  {middle}  {last}".rstrip()
