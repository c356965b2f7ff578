"""`folder compare FILE...`: patterns side by side, as a table, a chart and a sheet to print."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from msgspec.structs import asdict

from folder.cli import VERBS, Parser
from folder.cli.pages import chosen_paper, made_directory, write_book
from folder.cli.report import json_text
from folder.cli.user_data import trials_or_warning
from folder.draw.chart import spread_chart
from folder.draw.picture import Picture
from folder.errors import one_line
from folder.paper.design import Design
from folder.paper.sheets.compare import check_number, compare_sheet
from folder.paper.svg import picture_svg
from folder.pattern.file import find_pattern, read_pattern
from folder.places import write_whole
from folder.studies import Study, study
from folder.units import rounded_down
from folder.verdict import design_of, verdict_of

HEADS = ("", "floor cm2", "wall mm", "folds", "brim g", "low g", "likely g", "high g", "limited by")
LONGEST = 32
EDGE_MM = 6.0
"""White round the chart."""


def run(argv: Sequence[str]) -> int:
    """Compare patterns; exit 1 when one of them has a stop."""
    parser = Parser(prog="folder compare", description=VERBS["compare"])
    parser.add_argument("files", nargs="+", metavar="FILE", help="pattern files, or names of ready patterns: 2 to 8")
    parser.add_argument("--svg", metavar="OUT", help="write a chart of the loads")
    parser.add_argument("--to", metavar="DIR", help="write the compare sheet, as SVG and PDF")
    parser.add_argument("--paper", default="a4", help="a4 or letter")
    parser.add_argument("--json", action="store_true", help="for machines")
    args = parser.parse_args(argv)
    paper = chosen_paper(args.paper)
    check_number(len(args.files))
    trials = trials_or_warning()
    studies = [study(read_pattern(find_pattern(file)), trials=trials) for file in args.files]
    designs = [design_of(one) for one in studies]
    written: list[Path] = []
    if args.svg is not None:
        chart = spread_chart([design.spread for design in designs])
        framed = Picture(chart.marks, chart.box.grown(EDGE_MM))
        write_whole(Path(args.svg), picture_svg(framed, "What the hulls carry").encode())
        written.append(Path(args.svg))
    if args.to is not None:
        written += write_book("compare", {"compare": [compare_sheet(designs, paper)]}, made_directory(args.to), paper)
    if args.json:
        data = [_json(*both) for both in zip(studies, designs, strict=True)]
        print(json_text({"designs": data, "written": [str(path) for path in written]}))
    else:
        print("\n".join(_table([HEADS, *(_row(*both) for both in zip(studies, designs, strict=True))])))
        for one in studies:
            if one.joined is not None:
                print(f"{one_line(one.pattern.name, LONGEST)}: {one.load.basis}")
        print("\n".join(map(str, written)), end="\n" if written else "")
    return int(any(one.report.stops for one in studies))


def _json(study: Study, design: Design) -> dict[str, object]:
    load = design.load
    return {
        "name": study.pattern.name,
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
    }


def _row(study: Study, design: Design) -> tuple[str, ...]:
    m, load = study.measures, design.load
    row = (
        one_line(study.pattern.name, LONGEST),
        f"{m.floor_area_mm2 / 100:.1f}",
        f"{m.wall_height_mm:.1f}" if study.folds else "-",
        f"{m.creases}",
    )
    if load is None:
        return (*row, "-", "-", "-", "-", verdict_of(study).short)
    loads = (rounded_down(g) for g in (load.brim_g, load.low_g, load.likely_g, load.high_g))
    return (*row, *loads, load.limited_by if design.sound else verdict_of(study).short)


def _table(rows: Sequence[Sequence[str]]) -> Iterator[str]:
    """Rows as lines of text: the first and the last column run from the left, numbers to the right."""
    wide = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for first, *numbers, last in rows:
        middle = "  ".join(f"{number:>{w}}" for number, w in zip(numbers, wide[1:-1], strict=True))
        yield f"{first:<{wide[0]}}  {middle}  {last}".rstrip()
