"""`folder cargo FILE --item NAME [--count N]`: packing, order, predicted count."""

from __future__ import annotations

from collections.abc import Sequence

from folder.cargo.vessel import vessel_of
from folder.cli import VERBS, Parser
from folder.cli.json_text import json_text
from folder.cli.user_data import add_pupil, named_item, trials_or_warning
from folder.errors import BadRequest
from folder.pattern.file import find_pattern, read_pattern
from folder.practice.counted import joined_prediction
from folder.practice.estimate import Estimate
from folder.studies import study
from folder.verdict import verdict_of


def run(argv: Sequence[str]) -> int:
    """Lay objects on the floor of a hull, one by one, and say how many it takes."""
    parser = Parser(prog="folder cargo", description=VERBS["cargo"])
    parser.add_argument("file", help="a pattern file, or the name of a ready pattern")
    parser.add_argument("--item", required=True, metavar="NAME", help="the object, such as us-cent or washer-m8")
    parser.add_argument("--each", metavar="G", help="mass of one object, g; without it, that of the object list")
    parser.add_argument("--count", type=int, metavar="N", help="lay out so many instead of the likely count")
    parser.add_argument("--hand", default="usual", help="careful, usual or hurried")
    add_pupil(parser)
    parser.add_argument("--json", action="store_true", help="for machines")
    args = parser.parse_args(argv)
    item = named_item(args.item)
    result = study(read_pattern(find_pattern(args.file)), trials=trials_or_warning(), hand=args.hand, pupil=args.pupil)
    if result.hull is None or result.working is None:
        raise BadRequest(
            "this pattern makes no hull to load", where=args.file, found=verdict_of(result).text, remedy="See folder check"
        )
    vessel = vessel_of(result.hull, result.water, result.working)
    cargo, estimate = joined_prediction(vessel, item, result.joined, args.each, args.count)
    if args.json:
        print(json_text({**cargo.as_json(), **_resting_on(estimate), "pupil": args.pupil or None}))
        return int(bool(result.report.stops))
    data = cargo.as_json()
    print(f"{result.pattern.name} with {item.label}")
    print(f"  {data['fits_per_layer']} lie side by side, {_layers(data['layers'])}")
    print(f"  likely {cargo.count}, from {cargo.count_low} to {cargo.count_high}; limited by {cargo.limited_by}")
    if estimate is not None:
        print(f"  {estimate.text}")
    print("  The object that lets the water in does not count.")
    for sentence in (*cargo.advice, *item.cautions):
        print(f"  {sentence}")
    print("  Where to lay them, mm from the middle of the floor, and the least freeboard and the tilt after each:")
    for place, board, tilt in zip(data["placed"], data["least_freeboard_mm"], data["tilt_deg"], strict=True):
        left = "water comes in" if board is None else f"{board:.1f} mm left, {tilt:.1f}°"
        x, y = (round(mm, 1) + 0.0 for mm in (place["x_mm"], place["y_mm"]))
        print(f"  {place['n']:4d}. ({x:6.1f}, {y:6.1f}) {left}{', held by hand' if place['n'] < cargo.hold_until else ''}")
    return int(bool(result.report.stops))


def _layers(count: int) -> str:
    return "1 layer" if count == 1 else f"{count} layers"


def _resting_on(estimate: Estimate | None) -> dict[str, object]:
    """What the counts rest on, for machines."""
    if estimate is None:
        return {"count_on": None, "trials_own": 0, "trials_others": 0, "basis": None}
    return {
        "count_on": estimate.count_on, "trials_own": estimate.n_own, "trials_others": estimate.n_others, "basis": estimate.text,
    }  # fmt: skip
