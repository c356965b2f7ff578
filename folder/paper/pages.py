"""A printed page: its paper, its margins, its head and foot, the scale check and the cautions.

page      one side of paper with one picture on it; origin at the paper's lower left, mm, y up
body      the box between head and foot that is left for the picture
scale     bars of 100 mm to be measured with a ruler: printers that fit to the page shrink it by 3 to 5 %
caution   one line on what can hurt, at the foot
"""

from __future__ import annotations

import math
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from folder.draw.picture import PUPIL_MM, Area, Box, Label, Line, Mark, Picture, centred
from folder.draw.style import GUIDE, INK, PAPER, SHADE, STOP
from folder.draw.text import clean, shortened, width_mm, wrapped

PaperName = Literal["a4", "letter"]
Scale = Literal["none", "across", "both"]

PAPERS: dict[PaperName, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height upright, mm: ISO 216; ANSI/ASME Y14.1."""

MARGIN_MM = 12.0
"""Desktop printers leave 3 to 6 mm of the paper blank; a punched hole needs 12 (common practice)."""
GAP_MM = 4.0
LEADING_MM = 5.2
"""From one baseline of 12 pt text to the next."""
TITLE_MM = 7.2
LONG_TITLE_MM = 5.4
TWO_LINES_MM = 4.5
HEAD_MM = 14.0
NOTCH_MM = 26.0
"""How much of the rule under the head is folded into a hull, at its right."""
BANNER_MM = 11.0
BAR_MM = 100.0
BAR_ROOM_MM = 12.0

CAUTIONS = {
    "edges": "Foil edges can cut: run folds down with a fingertip, never along the rim.",
    "sharp": "Screws and pins are sharp: count them out, and count them back.",
    "small": "Small objects can choke: not in mouths, and not near small children.",
    "water": "An adult stays beside the water. Wipe up spills: wet floors are slippery.",
    "rules": "Your event's own rules come first.",
}
"""What can hurt in this work, by name."""


def caution(name: str, rules: str = "") -> str:
    """A caution by its name; that the event's rules come first is said by the rules of the event, where they are known."""
    return clean(rules) if rules and name == "rules" else CAUTIONS[name]


FOLDING = ("edges", "rules")
"""The cautions of a page that is folded from."""
FLOATING = ("edges", "sharp", "small", "water", "rules")
"""The cautions of a page that goes to the tub."""

BLANK = Picture((), Box(0.0, 0.0, 0.0, 0.0))


class Page(Struct, frozen=True):
    """One printed page. Fill `body` with a picture: `page.showing(picture)`."""

    title: str
    kind: str
    """What the page is, at the head on the right: `Template 1:1`, `Steps 2 of 3`."""
    paper: PaperName = "a4"
    landscape: bool = False
    scale: Scale = "none"
    cautions: tuple[str, ...] = ()
    """Names of `CAUTIONS`."""
    warning: str = ""
    """Said in a band across the page: the pattern does not fold."""
    picture: Picture = BLANK
    name: str = ""
    """Whose page it is: written under the head."""
    rules: str = ""
    """The rules of the event it is for, in the place of the caution that they come first."""
    title_mm: float = math.inf
    """How far the title may run: what crosses a fold cannot be read."""

    @property
    def width_mm(self) -> float:
        """Width of the paper as it is read."""
        return PAPERS[self.paper][self.landscape]

    @property
    def height_mm(self) -> float:
        """Height of the paper as it is read."""
        return PAPERS[self.paper][not self.landscape]

    @property
    def body(self) -> Box:
        """The box left for the picture."""
        foot = self._cautions_mm + (BAR_ROOM_MM if self.scale != "none" else 0.0)
        head = HEAD_MM + (BANNER_MM + GAP_MM if self.warning else 0.0)
        return Box(
            MARGIN_MM + (BAR_ROOM_MM if self.scale == "both" else 0.0),
            MARGIN_MM + foot + (GAP_MM if foot else 0.0),
            self.width_mm - MARGIN_MM,
            self.height_mm - MARGIN_MM - head - GAP_MM,
        )

    def showing(self, picture: Picture) -> Page:
        """This page with a picture, whose places are on the page."""
        return replace(self, picture=picture)

    def drawing(self) -> Picture:
        """Everything on the page, as one picture the size of the paper."""
        marks = (*self.head_marks(), *self.name_marks(), *self.picture.marks, *self._bars(), *self._caution_block())
        return Picture(marks, Box(0.0, 0.0, self.width_mm, self.height_mm))

    def name_marks(self) -> tuple[Mark, ...]:
        """The name of whose page it is: all in which the pages of a class differ."""
        if not self.name:
            return ()
        room = self.width_mm - 2 * MARGIN_MM - NOTCH_MM
        text = shortened(clean(self.name), PUPIL_MM, room, "bold")
        return (Label(text, (MARGIN_MM, self.height_mm - MARGIN_MM - HEAD_MM - 0.6), weight="bold"),)

    def head_marks(self) -> list[Mark]:
        """Title, kind of page and warning."""
        left, right, top = MARGIN_MM, self.width_mm - MARGIN_MM, self.height_mm - MARGIN_MM
        kind = clean(self.kind)
        room = min(self.title_mm, right - left - width_mm(kind, PUPIL_MM) - 3 * GAP_MM)
        rule = top - HEAD_MM + GAP_MM
        titles = self._title_lines(left, top, room, min(self.title_mm, right - left))
        marks: list[Mark] = [
            *titles,
            Label(kind, (right, top - 0.72 * (TITLE_MM if len(titles) == 1 else TWO_LINES_MM)), PUPIL_MM, "end", colour=GUIDE),
            # The rule is folded into a hull: the sheet's edge seen from the side.
            Line(
                (
                    (left, rule),
                    (right - 24, rule),
                    (right - 22, rule - 4),
                    (right - 10, rule - 4),
                    (right - 8, rule),
                    (right, rule),
                )
            ),
        ]
        if self.warning:
            band = Box(left, top - HEAD_MM - GAP_MM - BANNER_MM, right, top - HEAD_MM - GAP_MM)
            text = shortened(clean(self.warning), 5.0, band.width - 2 * GAP_MM, "bold")
            marks += [Area((band.corners,), STOP), centred(text, band.middle, 5.0, "bold", PAPER)]
        return marks

    def _title_lines(self, left: float, top: float, room: float, below: float) -> list[Mark]:
        """The title in a line beside the kind of page, smaller where it is long, and on two lines where it is longer still."""
        title = clean(self.title)
        for size in (TITLE_MM, LONG_TITLE_MM):
            if width_mm(title, size, "bold") <= room:
                return [Label(title, (left, top - 0.72 * TITLE_MM), size, weight="bold")]
        first = wrapped(title, TWO_LINES_MM, room, "bold")[0]
        rest = title[len(first) :].strip()
        if not title.startswith(first):  # one word wider than the room is broken
            kept = first.removesuffix("…")
            first, rest = f"{kept}-", title[len(kept) :]
        return [
            Label(first, (left, top - 0.72 * TWO_LINES_MM), TWO_LINES_MM, weight="bold"),
            Label(shortened(rest, TWO_LINES_MM, below, "bold"), (left, top - 1.76 * TWO_LINES_MM), TWO_LINES_MM, weight="bold"),
        ]

    @property
    def _caution_lines(self) -> tuple[str, ...]:
        room = self.width_mm - 2 * MARGIN_MM - 14.0 - GAP_MM
        return tuple(line for name in self.cautions for line in wrapped(caution(name, self.rules), PUPIL_MM, room))

    @property
    def _cautions_mm(self) -> float:
        """Height of the caution block."""
        return len(self._caution_lines) * LEADING_MM + 4.0 if self.cautions else 0.0

    def _caution_block(self) -> list[Mark]:
        if not self.cautions:
            return []
        box = Box(MARGIN_MM, MARGIN_MM, self.width_mm - MARGIN_MM, MARGIN_MM + self._cautions_mm)
        x, y = box.left + 7.0, box.middle[1]
        sign = tuple((x + 4.2 * math.sin(t), y - 0.9 + 4.2 * math.cos(t)) for t in (0, 2 * math.pi / 3, 4 * math.pi / 3))
        marks: list[Mark] = [
            Area((box.corners,), SHADE),
            Area((sign,), PAPER, "outline"),
            centred("!", (x, y - 0.4), 3.6, "bold"),
        ]
        for k, line in enumerate(self._caution_lines):
            marks.append(Label(line, (box.left + 14.0, box.top - 2.0 - 3.9 - k * LEADING_MM)))
        return marks

    def _bars(self) -> list[Mark]:
        if self.scale == "none":
            return []
        y = MARGIN_MM + self._cautions_mm + GAP_MM + 1.0
        bar = measure_bar().moved(MARGIN_MM, y)
        x = MARGIN_MM + BAR_MM + GAP_MM
        marks = [
            *bar.marks,
            Label("Measure me: 100 mm.", (x, y + 3.3), weight="bold"),
            Label("If not, print at 100 %.", (x, y - 1.9)),
        ]
        if self.scale == "both":
            upright = measure_bar().rotated(math.pi / 2).moved(MARGIN_MM + 3.0, self.body.bottom)
            note = Label("Measure me: 100 mm.", (MARGIN_MM + 8.0, self.body.bottom), rotation_rad=math.pi / 2)
            marks += [*upright.marks, note]
        return marks


def measure_bar() -> Picture:
    """A bar of exactly 100 mm in tens, its lower left corner at the origin.

    One filled area without an outline: from its first inked edge to its last is 100 mm on paper too, and painters that
    widen single rectangles to whole pixels leave it alone.
    """
    rows = ((1.5, 3.0), (0.0, 1.5))
    blocks = tuple(Box(10.0 * k, rows[k % 2][0], 10.0 * (k + 1), rows[k % 2][1]).corners for k in range(10))
    return Picture.of([Area(blocks, INK), Line(((0.0, 1.5), (BAR_MM, 1.5)), "thin")])
