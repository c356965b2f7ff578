"""Which foil and which sheet can be chosen: what kitchens have, and what the open event asks for. No pygame.

one layer    household foil, 16 µm: what the program counts with unless told otherwise
heavy duty   about half as thick again, 24 µm; sold under that name (makers say 0.00094 in; from memory)
"""

from __future__ import annotations

from folder.pattern.pattern import Sheet
from folder.window.autosave import Memory
from folder.window.event.day import open_event_rules

FOILS: dict[float, str] = {16.0: "Kitchen foil, 16 µm", 24.0: "Heavy duty, 24 µm"}
SIZES_MM: tuple[tuple[float, float], ...] = ((150.0, 150.0), (200.0, 200.0), (300.0, 300.0))


def open_event_sheet(memory: Memory) -> tuple[float, float] | None:
    """The sheet that the open event asks for; None where none is open."""
    rules = open_event_rules(memory)
    return None if rules is None else (rules.sheet_mm[0], rules.sheet_mm[1])


def size_key(sheet: Sheet) -> str:
    """A sheet's size as the key of a choice."""
    return f"{sheet.width_mm:g}x{sheet.height_mm:g}"


def sheet_sizes(now: Sheet, event_mm: tuple[float, float] | None = None) -> dict[str, str]:
    """The sizes to choose from, each with its words: the usual ones, the event's, and what lies here."""
    sizes: dict[str, str] = {}
    if event_mm is not None:
        sizes[f"{event_mm[0]:g}x{event_mm[1]:g}"] = f"{_cm(*event_mm)}, your event's"
    for width, height in (*SIZES_MM, (now.width_mm, now.height_mm)):
        sizes.setdefault(f"{width:g}x{height:g}", _cm(width, height))
    return sizes


def _cm(width: float, height: float) -> str:
    return f"{width / 10.0:g} x {height / 10.0:g} cm"
