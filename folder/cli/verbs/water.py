"""`folder water FILE --mass G [--at X,Y] [--height MM] [--temp C]`: pose at rest, freeboard, stability."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec.structs import asdict

from folder.cli import VERBS, Parser
from folder.cli.json_text import json_text
from folder.cli.parser import parse_numbers
from folder.errors import BadRequest
from folder.hull.hull import Hull
from folder.hull.weight import Weight
from folder.pattern.file import find_pattern, read_pattern
from folder.studies import Study, study
from folder.units import DEG_PER_RAD, rounded_up
from folder.verdict import verdict_of
from folder.water.equilibrium.rest import Rest, rest, standing_on_floor
from folder.water.equilibrium.stand import stands_from
from folder.water.fluid import Water
from folder.water.stability import Metacentre, Righting, metacentre, righting
from folder.water.tub import Tub, in_tub

_SIDES = (
    "the right", "the far right corner", "the far side", "the far left corner",
    "the left", "the near left corner", "the near side", "the near right corner",
)  # fmt: skip
"""Where a hull is pushed to, an eighth of a turn apart, from the right on."""


def run(argv: Sequence[str]) -> int:
    """Set a load on the floor of a hull and say how it lies."""
    parser = Parser(prog="folder water", description=VERBS["water"])
    parser.add_argument("file", help="a pattern file, or the name of a ready pattern")
    parser.add_argument("--mass", type=float, required=True, metavar="G", help="the load, g")
    parser.add_argument("--at", default="0,0", metavar="X,Y", help="where its centre is, mm from the middle of the floor")
    parser.add_argument("--height", type=float, default=5.0, metavar="MM", help="how high its centre is over the floor")
    parser.add_argument("--temp", type=float, default=20.0, metavar="C", help="the water's temperature")
    parser.add_argument("--salt", type=float, default=0.0, metavar="G", help="salt in the water, g in a kg")
    parser.add_argument("--tub", metavar="L,W,H,D", help="the tub's inner length, width, wall and depth of water, mm")
    parser.add_argument("--json", action="store_true", help="for machines")
    args = parser.parse_args(argv)
    x, y = parse_numbers(args.at, "--at", 2, "5,-10")
    tub = Tub(*parse_numbers(args.tub, "--tub", 4, "400,300,150,100")) if args.tub else None
    water = Water.of(args.temp, args.salt)
    result = study(read_pattern(find_pattern(args.file)), temp_c=args.temp)
    hull = _floating(result, args.file)
    whole = hull.weight + standing_on_floor(hull.skin, Weight(args.mass, (x, y, args.height)))
    at_rest = rest(hull.skin, whole, water)
    pushed = None if at_rest.pose is None else righting(hull.skin, whole, water, at_rest.pose)
    held = metacentre(hull.skin, whole, water) if at_rest.state == "capsizes" else None
    data = water_json(at_rest, pushed, held)
    if tub and at_rest.pose:
        data["tub"] = asdict(in_tub(hull.skin, at_rest.pose, tub))
    begins = stands_from(hull.skin, hull.weight, water, (x, y, args.height))
    print(
        json_text(data) if args.json else "\n".join([*_lines(result, at_rest, pushed, data), *_standing(at_rest, held, begins)])
    )
    return int(bool(result.report.stops))


def water_json(at_rest: Rest, pushed: Righting | None, held: Metacentre | None) -> dict[str, object]:
    """A hull at rest for machines; what has no value when it does not float is null.

    Of one that turns over KB, BM and GM are told as it is `held` level: they say why.
    """
    board, stiff = at_rest.freeboard, held or at_rest
    return {
        "state": at_rest.state,
        "draft_mm": at_rest.draft_mm,
        "heel_deg": _degrees(at_rest.heel_rad),
        "trim_deg": _degrees(at_rest.trim_rad),
        "freeboard_mm": {
            "least": board.least_mm if board else None,
            "at": board.at if board else at_rest.at,
            "corners": [{"at": c.at, "freeboard_mm": c.freeboard_mm} for c in board.corners] if board else [],
        },
        "kb_mm": stiff.kb_mm,
        "bm_mm": stiff.bm_mm,
        "gm_mm": stiff.gm_mm,
        "displaced_mm3": at_rest.displaced_mm3,
        "righting": {
            "toward_deg": _degrees(pushed.toward_rad) if pushed else None,
            "heel_deg": [_degrees(heel) for heel in pushed.heel_rad] if pushed else [],
            "arm_mm": pushed.arm_mm if pushed else [],
            "vanishing_heel_deg": _degrees(pushed.vanishing_rad) if pushed else None,
        },
        "flooding_heel_deg": _degrees(pushed.flooding_rad) if pushed else None,
    }


def _degrees(turn_rad: float | None) -> float | None:
    return None if turn_rad is None else turn_rad * DEG_PER_RAD


def _floating(result: Study, file: str) -> Hull:
    """The hull, if the pattern makes one that can float."""
    if result.hull is None or result.brim is None:
        raise BadRequest(
            "this pattern makes no hull to float", where=file, found=verdict_of(result).text, remedy="See folder check"
        )
    if result.hull.rim_height_mm <= 0.0:
        raise BadRequest("water comes straight in", where=file, found="a rim at the floor", remedy="See folder check")
    return result.hull


def _standing(at_rest: Rest, held: Metacentre | None, begins: float | None) -> Iterator[str]:
    """From which load the hull stands, where that is not plain."""
    if held is not None:
        yield f"  Held level: KB {held.kb_mm:.2f}, BM {held.bm_mm:.2f}, GM {held.gm_mm:.2f} mm"
    if begins:
        yield f"  Empty it turns over. With its load here it stands from {rounded_up(begins)} g on: hold it till then."
    elif begins is None and at_rest.state == "capsizes":
        yield "  It turns over with any load that is put here."


def _pushed(pushed: Righting) -> Iterator[str]:
    """The righting arms in words and numbers."""
    side = _SIDES[round(pushed.toward_rad * DEG_PER_RAD / 45.0) % 8]
    arms = ", ".join(
        f"{h * DEG_PER_RAD:.3g} deg {round(a, 1) + 0.0:.1f}" for h, a in zip(pushed.heel_rad, pushed.arm_mm, strict=True)
    )
    yield f"  pushed over toward {side}, its righting arm is, mm: {arms}"
    if pushed.vanishing_rad is not None:
        yield f"  past {pushed.vanishing_rad * DEG_PER_RAD:.1f} deg it turns over by itself"
    elif pushed.flooding_rad is not None:
        yield f"  at {pushed.flooding_rad * DEG_PER_RAD:.1f} deg water comes in"


def _lines(result: Study, at_rest: Rest, pushed: Righting | None, data: dict[str, object]) -> Iterator[str]:
    yield result.pattern.name
    x, y, _ = at_rest.at
    if at_rest.state != "floats" or at_rest.freeboard is None:
        happens = "turns over" if at_rest.state == "capsizes" else f"floods: water comes in near ({x:.0f}, {y:.0f}) mm"
        yield f"  With {at_rest.weight.mass_g:.1f} g in all it {happens}."
        return
    x, y, _ = at_rest.freeboard.at
    yield f"  Floats with {at_rest.weight.mass_g:.1f} g in all: draft {at_rest.draft_mm:.2f} mm at the middle of the floor."
    heel, trim = (round((turn or 0.0) * DEG_PER_RAD, 2) + 0.0 for turn in (at_rest.heel_rad, at_rest.trim_rad))
    across = "" if not heel else " (the right side dips)" if heel > 0 else " (the left side dips)"
    along = "" if not trim else " (the far side dips)" if trim > 0 else " (the near side dips)"
    yield f"  heel {heel:.2f} deg{across}, trim {trim:.2f} deg{along}"
    yield f"  least freeboard {at_rest.freeboard.least_mm:.2f} mm, near ({x:.0f}, {y:.0f}) mm from the middle"
    yield f"  KB {at_rest.kb_mm:.2f}, BM {at_rest.bm_mm:.2f}, GM {at_rest.gm_mm:.2f} mm"
    if pushed is not None:
        yield from _pushed(pushed)
    tub = data.get("tub")
    if isinstance(tub, dict):
        yield f"  In the tub the water rises {tub['rise_mm']:.2f} mm; {tub['under_keel_mm']:.1f} mm are left under the hull."
        for wrong, text in (
            (tub["grounds"], "It grounds: more water is wanted."),
            (tub["spill_mm3"] > 0, f"{tub['spill_mm3'] / 1000:.0f} cm3 run over. Wipe up: wet floors are slippery."),
            (not tub["fits"], "The hull does not fit between the tub's walls."),
        ):
            if wrong:
                yield f"  {text}"
