"""`folder print FILE --what template,steps,card,record --paper a4 --to DIR`: pages to fold from."""

from __future__ import annotations

import sys
from collections.abc import Sequence

from folder.cli import VERBS, Parser
from folder.cli.pages import CARD_ITEM, KINDS, chosen_item, chosen_kinds, chosen_paper, made_directory, write_pages
from folder.cli.report import LONGEST_NAME, json_text
from folder.cli.user_data import trials_or_warning
from folder.errors import one_line
from folder.pattern.file import find_pattern, read_pattern
from folder.studies import study
from folder.verdict import verdict_of


def run(argv: Sequence[str]) -> int:
    """Print the pages of one pattern to files."""
    parser = Parser(prog="folder print", description=VERBS["print"])
    parser.add_argument("file", help="a pattern file, or the name of a ready pattern")
    parser.add_argument("--what", default=",".join(KINDS), help=f"which pages: {', '.join(KINDS)}")
    parser.add_argument("--paper", default="a4", help="a4 or letter")
    parser.add_argument("--item", default=CARD_ITEM, metavar="NAME", help="the object the design card is for")
    parser.add_argument("--each", metavar="G", help="the mass of that object, when you have weighed yours")
    parser.add_argument("--png", action="store_true", help="a preview picture of each page too")
    parser.add_argument("--to", default=".", metavar="DIR", help="where to write")
    parser.add_argument("--anyway", action="store_true", help="print even a pattern that does not fold; the pages say so")
    parser.add_argument("--json", action="store_true", help="for machines")
    args = parser.parse_args(argv)
    kinds, paper, item = chosen_kinds(args.what), chosen_paper(args.paper), chosen_item(args.item, args.each)
    result = study(read_pattern(find_pattern(args.file)), trials=trials_or_warning())
    if result.report.stops and not args.anyway:
        first = result.report.stops[0]
        print(
            f"folder: {one_line(args.file, LONGEST_NAME)}: {verdict_of(result).text} {first.text} Nothing printed; --anyway prints it.",
            file=sys.stderr,
        )
        return 1
    written = write_pages(result, kinds, paper, made_directory(args.to), item, png=args.png)
    if args.json:
        print(json_text({"written": [str(p) for p in written]}))
    else:
        print("\n".join(str(p) for p in written))
        print("Print at 100 % and measure the bar.")
    return int(bool(result.report.stops))
