"""What real classes held, as published, beside what the model says of the best plain tray of that sheet.

Counts of US cents of 2.5 g, from public-broadcast children's science pages; the pleated tray from a school's lab report of four
pupils. Only of that one is the shape known. First boats, by pupils who had not trained.
"""

from __future__ import annotations

import statistics

from msgspec import Struct

from folder.pattern.families.catalogue import make
from folder.pattern.pattern import Sheet
from folder.studies import study

CENT_G = 2.5


class ClassResult(Struct, frozen=True):
    """One sheet size, and what the boats of a class held."""

    sheet: str
    side_mm: float
    held: tuple[int, ...]
    family: str = "square-tray"

    def spans(self) -> list[tuple[int, int, int]]:
        """Low, likely and high in cents of the model, for usual and for hurried hands; then the brim, three times."""
        wall = 25.4 if self.family != "square-tray" else self.side_mm / 6.0
        pattern = make(self.family, {"wall": wall}, sheet=Sheet(self.side_mm, self.side_mm))
        loads = [study(pattern, hand=hand).load for hand in ("usual", "hurried")]
        grams = [(load.low_g, load.likely_g, load.high_g) for load in loads] + [(loads[0].brim_g,) * 3]
        return [tuple(int(g / CENT_G) for g in span) for span in grams]

    def row(self) -> str:
        """Its row of the table in the README."""
        usual, hurried, (brim, _, _) = self.spans()
        held = sorted(self.held)
        inside = [sum(low <= n <= high for n in held) for low, _, high in (usual, hurried)]
        shape = "unknown" if self.family == "square-tray" else "pleat, 1 in walls"
        loads = [f"{likely} ({low} to {high})" for low, likely, high in (usual, hurried)]
        reported = f"{', '.join(map(str, held))}; middle {statistics.median(held):g}"
        return f"| {self.sheet} | {shape} | {reported} | {loads[0]} | {loads[1]} | {brim} | {inside[0]} and {inside[1]} of {len(held)} |"


RESULTS = (
    ClassResult("10 cm", 100.0, (12,)),
    ClassResult("4 in", 101.6, (20,)),
    ClassResult("15 cm", 150.0, (20, 12, 45, 6, 15, 11, 23, 65)),
    ClassResult("6 in", 152.4, (22, 57, 28)),
    ClassResult("6 in", 152.4, (20, 24, 20, 28), "pleated-floor-tray"),
    ClassResult("20 cm", 200.0, (14, 124, 8, 30, 40, 19, 34, 74, 79)),
    ClassResult("30 cm", 300.0, (104, 157, 31, 52, 58)),
)
