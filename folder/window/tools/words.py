"""The tools, senses, mirrors and grids as a pupil reads them, each with its icon and tip. No pygame."""

from __future__ import annotations

from folder.pattern.pattern import Sense
from folder.window.tools.tool import ToolName

TOOL_WORDS: dict[ToolName, tuple[str, str, str]] = {
    "wall": ("Wall", "wall", "Drag in from an edge: a wall comes up, and corners fold where two meet. Drag a wall to move it."),
    "corner": (
        "Corner",
        "corner",
        "Fold the spare corner between two walls to a flap. It lies on the wall you press nearer to.",
    ),
    "hem": ("Hem", "hem", "Press on an edge: it is folded over, and the walls below move in. Drag in for a deeper hem."),
    "pick": ("Move", "move", "Move lines: press one to pick it, drag to push it. Draw a box round several."),
    "line": ("Line", "line", "A line from one point to another"),
    "long": ("Long line", "minus", "A line through two points, on to the edges of the sheet"),
    "square": ("Square to", "square", "A line at right angles to another: press a line, then a point"),
    "angle": ("Half angle", "halve_angle", "A line that halves the corner between two lines: press both"),
    "halve": ("Half way", "halve", "A line half way between two points: press both"),
    "beside": ("Beside", "parallel", "A line beside another: press a line, then how far away"),
    "pinch": ("Pinch", "crimp", "Mark a place to pinch, so that layers hold together"),
    "floor": ("Floor", "floor", "Say which part of the sheet is the floor"),
}
"""Each tool: its word, its icon, its tip."""
SENSE_WORDS: dict[Sense, tuple[str, str]] = {
    "valley": ("Valley", "Fold toward you"),
    "mountain": ("Mountain", "Fold away from you"),
    "guide": ("Guide", "Only drawn, not folded"),
    "cut": ("Cut", "A cut: not allowed at the event, shows what it would cost"),
}
MIRROR_ICONS = {"none": "line", "left-right": "mirror_lr", "top-bottom": "mirror_tb", "four": "mirror_all"}
GRIDS = {"0": "No grid", "1": "Grid 1 mm", "2": "Grid 2 mm", "2.5": "Grid 2.5 mm", "5": "Grid 5 mm", "10": "Grid 10 mm"}
