"""An event's rules in plain words: one sentence a rule, what decides the places, the object as it is announced."""

from __future__ import annotations

from folder.event.entry import Result
from folder.event.rules import Criterion, EventObject, Rules

DECIDES: dict[Criterion, str] = {
    "points": "most points",
    "held": "most held",
    "sheets": "fewest sheets",
    "guess": "nearest guess",
}
"""What is best of each thing that may decide."""

COUNT_RULE = "The one that lets the water in does not count."
LONGEST_TITLE = 40
NO_NAME = "Foil hull event"


def title_of(rules: Rules) -> str:
    """What the event is called."""
    return rules.name.strip() or NO_NAME


def ordinal(place: int) -> str:
    """A place as it is read out: 1st, 2nd, 3rd, 11th."""
    ending = "th" if place % 100 in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(place % 10, "th")
    return f"{place}{ending}"


def order_words(rules: Rules) -> str:
    """What decides the places, first to last."""
    return ", then ".join(DECIDES[criterion] for criterion in rules.deciding)


def object_words(thing: EventObject) -> str:
    """An object with its mass as announced."""
    return thing.name if thing.mass_g is None else f"{thing.name}, {thing.mass_g:g} g each"


def objects_words(rules: Rules) -> str:
    """All that the hulls are loaded with; nothing while it is not announced."""
    return "; ".join(object_words(thing) for thing in rules.objects)


def held_words(rules: Rules, result: Result) -> str:
    """What a team's hull held, in objects and, where one mass is announced, in grams."""
    if result.held is None:
        return ""
    if len(rules.objects) != 1:
        return f"{result.held} objects"
    thing = rules.objects[0]
    grams = "" if thing.mass_g is None else f", {result.held * thing.mass_g:,.4g} g" if result.held else ""
    return f"{result.held} × {thing.name}{grams}"


def rule_lines(rules: Rules) -> tuple[str, ...]:
    """Every rule in a sentence of its own."""
    sheets = "1 sheet" if rules.sheets == 1 else f"up to {rules.sheets} sheets"
    lines = [f"{sheets[0].upper()}{sheets[1:]} of {_size(rules.sheet_mm)} a team."]
    lines.append("No cuts." if rules.cuts == "not-allowed" else "Cuts are allowed.")
    if rules.footprint_mm is not None:
        lines.append(f"The folded hull fits {_size(rules.footprint_mm)}, flaps and all.")
    if rules.wall_most_mm is not None:
        lines.append(f"No wall is higher than {rules.wall_most_mm:g} mm.")
    if rules.one_hold:
        lines.append("One open floor, not several holds.")
    if rules.objects:
        lines.append(f"Loaded with: {objects_words(rules)}.")
    if rules.guess:
        lines.append("Say your guess before you load.")
    lines.append(COUNT_RULE)
    clocks = [(rules.build_min, "to build"), (rules.load_min, "to load")]
    times = [f"{minutes:g} min {what}" for minutes, what in clocks if minutes is not None]
    if times:
        lines.append(f"{', '.join(times)}.")
    return (*lines, f"Places: {order_words(rules)}.")


def rules_line(rules: Rules) -> str:
    """What a hull must keep to, in one short line: for the card and the foot of the step sheet."""
    parts = [f"sheet {_size(rules.sheet_mm)}", "1 sheet" if rules.sheets == 1 else f"up to {rules.sheets} sheets"]
    parts.append("no cuts" if rules.cuts == "not-allowed" else "cuts allowed")
    if rules.footprint_mm is not None:
        parts.append(f"fits {_size(rules.footprint_mm)}")
    if rules.wall_most_mm is not None:
        parts.append(f"walls up to {rules.wall_most_mm:g} mm")
    if rules.one_hold:
        parts.append("one open floor")
    return f"{title_of(rules)[:LONGEST_TITLE]}: {', '.join(parts)}."


def _size(sides: tuple[float, float]) -> str:
    return f"{sides[0]:g} × {sides[1]:g} mm"
