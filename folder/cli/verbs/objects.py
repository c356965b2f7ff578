"""`folder objects [WORDS] / add / remove`: the list of objects, searched, and one's own."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from msgspec.structs import asdict, replace

from folder.cargo.division.arithmetic import read_mass
from folder.cargo.item import Item, item_name
from folder.cargo.item_list import add_item, items, remove_item
from folder.cargo.item_search import nearest_items, search_items
from folder.cargo.shape import SHAPES
from folder.cli import VERBS, Parser
from folder.cli.json_text import json_text
from folder.cli.parser import parse_numbers
from folder.cli.user_data import say_own_fault
from folder.errors import BadRequest, one_line

LONGEST = 60


def run(argv: Sequence[str]) -> int:
    """Search the list, add an object of one's own, or take one out."""
    if argv and argv[0] == "add":
        return _add(argv[1:])
    if argv and argv[0] == "remove":
        return _remove(argv[1:])
    parser = Parser(prog="folder objects", description=VERBS["objects"])
    what = "part of a name, a shape, a mass or a size, such as: marble, disc, 3.06, '21.25 mm'; or: add NAME ..., remove NAME"
    parser.add_argument("words", nargs="*", metavar="WORDS", help=what)
    parser.add_argument("--json", action="store_true", help="for machines")
    args = parser.parse_args(argv)
    say_own_fault()
    text, every = " ".join(args.words), items()
    found = search_items(text, every)
    if args.json:
        print(json_text([_json(item) for item in found]))
        return 0
    if not found:
        near = " or ".join(f"'{item.name}'" for item in nearest_items(text, every))
        add = "Add your own: folder objects add NAME --shape S --size MM,... --mass G"
        remedy = f"Did you mean {near}? {add}" if near else add
        raise BadRequest("no object answers to that", where="objects", found=text, remedy=remedy)
    for item in found:
        print(_line(item))
    return 0


def _add(argv: Sequence[str]) -> int:
    parser = Parser(prog="folder objects add", description="Keep an object of your own; one of the same name gives way.")
    sizes = "; ".join(f"{name}: {', '.join(shape.sizes)}" for name, shape in SHAPES.items())
    parser.add_argument("name", metavar="NAME", help="what it is called")
    parser.add_argument("--shape", required=True, choices=tuple(SHAPES), help="what form it has")
    parser.add_argument("--size", required=True, metavar="MM[,MM[,MM]]", help=f"its sizes, mm ({sizes})")
    parser.add_argument("--mass", metavar="G", help="mass of one, g; without it, weigh yours each time")
    parser.add_argument("--sharp", action="store_true", help="it has edges or points that cut")
    parser.add_argument("--rolls", action="store_true", help="it rolls; balls and tubes always do")
    parser.add_argument("--stacks", action="store_true", help="one stands on another")
    parser.add_argument("--json", action="store_true", help="for machines")
    args = parser.parse_args(argv)
    item = _item(args)
    path = add_item(item)
    if args.json:
        print(json_text(_json(item) | {"written": str(path)}))
    else:
        print(f"Kept: {_line(item).strip()}")
        print(f"  in {path}. To take it out: folder objects remove {item.name}")
        for sentence in item.cautions:
            print(f"  {sentence}")
    return 0


def _item(args: argparse.Namespace) -> Item:
    """The object that the call describes."""
    wanted = SHAPES[args.shape].sizes
    sizes = parse_numbers(args.size, "--size", len(wanted), f"--size {','.join('20' for _ in wanted)} ({', '.join(wanted)})")
    mass = None if args.mass is None else float(read_mass(args.mass, "--mass"))
    if args.stacks and args.shape in ("ball", "tube", "screw"):
        raise BadRequest(f"a {args.shape} does not stand on another", where="--stacks", remedy="Leave --stacks away")
    label = args.name.strip()
    if not label:
        raise BadRequest("an object needs a name", where="objects add", remedy="Such as 'red bead'")
    item = Item(item_name(label), label, args.shape, tuple(sizes), mass, source="your own")
    return replace(
        item, stacks=args.stacks, rolls=args.rolls or args.shape in ("ball", "tube"), sharp=args.sharp or args.shape == "screw"
    )


def _remove(argv: Sequence[str]) -> int:
    parser = Parser(prog="folder objects remove", description="Take an object of your own out of the list.")
    parser.add_argument("name", metavar="NAME", help="its name")
    parser.add_argument("--json", action="store_true", help="for machines")
    args = parser.parse_args(argv)
    gone = remove_item(args.name)
    print(json_text(_json(gone)) if args.json else f"Taken out: {_line(gone).strip()}")
    return 0


def _json(item: Item) -> dict[str, object]:
    return asdict(item) | {"group": item.group_name, "cautions": list(item.cautions)}


def _line(item: Item) -> str:
    """An object in a line: its name, what people call it, its shape and sizes, its mass."""
    size = " × ".join(f"{mm:g}" for mm in item.size_mm)
    mass = "weigh yours" if item.mass_g is None else f"{item.mass_g:g} g"
    return f"  {item.name:24s}  {one_line(item.label, LONGEST)}: {item.shape}, {size} mm, {mass}"
