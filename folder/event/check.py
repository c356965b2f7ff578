"""What an event's rules say of a hull."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from folder.event.remedy import SLACK_MM, keeps_sizes, rule_remedy
from folder.event.rules import Rules
from folder.findings import Finding
from folder.hull.footprint import outline_of, over_by_mm, smallest_rectangle
from folder.hull.hull import Hull
from folder.pattern.pattern import Pattern


def rule_findings(rules: Rules, pattern: Pattern, hull: Hull | None, *, remedies: bool = False) -> Iterator[Finding]:
    """A stop for each rule that is broken, with how much too far, and with what mends it if `remedies` are asked for."""
    at, sheet = pattern.floor_at, (pattern.sheet.width_mm, pattern.sheet.height_mm)
    if any(abs(a - b) > SLACK_MM for a, b in zip(sorted(sheet), sorted(rules.sheet_mm), strict=True)):
        text = "Your event uses a sheet of another size."
        yield Finding("wrong-sheet", "stop", at, text, f"This one is {_size(sheet)}, the event's {_size(rules.sheet_mm)}.")
    if hull is None:
        return
    remedy = rule_remedy(rules, pattern) if remedies and not keeps_sizes(rules, hull) else None
    if rules.footprint_mm is not None:
        outline = outline_of(hull)
        over = over_by_mm(outline, rules.footprint_mm)
        if over > SLACK_MM:
            text = "The folded hull is larger than your event allows, flaps and all."
            found = f"Its smallest rectangle is {_size(smallest_rectangle(outline))}, the event's {_size(rules.footprint_mm)}"
            yield Finding("over-footprint", "stop", at, text, f"{found}: at the best turn {over:.1f} mm too far.", remedy)
    highest = float(hull.wall_heights.max(initial=0.0))
    if rules.wall_most_mm is not None and highest > rules.wall_most_mm + SLACK_MM:
        text = "A wall is higher than your event allows."
        over = highest - rules.wall_most_mm
        yield Finding(
            "over-wall",
            "stop",
            at,
            text,
            f"{highest:.1f} mm, the event's {rules.wall_most_mm:g} mm: {over:.1f} mm too high.",
            remedy,
        )
    if rules.one_hold and hull.cover.parts > 1:
        text = "Your event wants one open floor, and this one is in several holds."
        yield Finding("two-holds", "stop", at, text, f"{hull.cover.parts} pieces of floor.")


def by_rules(finding: Finding, rules: Rules) -> Finding:
    """A finding as the rules see it: where cuts are allowed, one is a warning with its price."""
    if finding.code != "cut-drawn" or rules.cuts != "allowed":
        return finding
    return replace(finding, level="warn", text="This is a cut: your event allows it, but water comes in here.", remedy=None)


def _size(sides: tuple[float, float]) -> str:
    return f"{sides[0]:.4g} x {sides[1]:.4g} mm"
