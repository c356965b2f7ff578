"""Items: the small identical objects a hull carries, shipped with the program or added by the user.

item        one kind of object: its shape, size, mass and habits
size_mm     the numbers that give a shape its size, in the order of its row in SHAPES
nest step   the height, mm, that each further cup adds to a nested stack
weigh yours the mass is None: it varies too much between makers to be printed
"""

from __future__ import annotations

import re
import unicodedata
import zlib
from collections.abc import Iterable

from msgspec import Struct

from folder.cargo.shape import SHAPES, Shape
from folder.errors import BadRequest

LARGEST_MM = 1000.0
"""No object is larger than the largest sheet."""

HEAVIEST_G = 100_000.0
"""More than the largest sheet could float."""

SWALLOW_WIDTH_MM, SWALLOW_LENGTH_MM = 31.7, 57.1
"""The small-parts cylinder of 16 CFR 1501.4 (from memory): what fits inside can choke a small child."""

LONGEST_NAME = 60
_NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


class Item(Struct, frozen=True, forbid_unknown_fields=True):
    """One kind of object.

    `name` is lower case with hyphens, `label` is what people read. `size_mm` holds the numbers its shape has in SHAPES. `mass_g` is
    None where it varies too much ("weigh yours"). `nest_step_mm` is None for what does not nest.
    """

    name: str
    label: str
    shape: str
    size_mm: tuple[float, ...]
    mass_g: float | None
    stacks: bool = False
    nest_step_mm: float | None = None
    rolls: bool = False
    sharp: bool = False
    source: str = ""
    many: str = ""
    """What several are called, where an s at the end of the label's first part would be wrong or long."""
    group: str = ""
    """What it is listed under, where that is not the group of its shape."""

    def __post_init__(self) -> None:
        where = f"object '{self.name}'"
        if not _NAME.fullmatch(self.name) or len(self.name) > LONGEST_NAME:
            raise BadRequest(
                "the name is not usable",
                where=where,
                remedy="Use lower case letters, digits and single hyphens, at most 60, such as 'washer-m8'",
            )
        if not self.label.isprintable() or not self.label.strip():
            raise BadRequest("the label cannot be read", where=where, remedy="Give one line of plain text")
        for what, word in (("the word for several", self.many), ("the group", self.group)):
            if word and (not word.isprintable() or not word.strip()):
                raise BadRequest(f"{what} cannot be read", where=where, remedy="Give one line of plain text, or none")
        if self.shape not in SHAPES:
            raise BadRequest("no such shape", where=where, found=repr(self.shape), remedy=f"Use {either(SHAPES)}")
        wanted = self.form.sizes
        if len(self.size_mm) != len(wanted):
            raise BadRequest(
                f"a {self.shape} has {len(wanted)} size(s)",
                where=where,
                found=str(len(self.size_mm)),
                remedy=f"Give {', '.join(wanted)} in mm",
            )
        for what, size in zip(wanted, self.size_mm, strict=True):
            if not 0 < size <= LARGEST_MM:  # also refuses nan
                raise BadRequest(
                    f"the {what} is not possible",
                    where=where,
                    found=f"{size:g} mm",
                    remedy=f"Give more than 0 and at most {LARGEST_MM:g} mm",
                )
        if self.mass_g is not None and not 0 < self.mass_g <= HEAVIEST_G:
            raise BadRequest(
                "the mass is not possible",
                where=where,
                found=f"{self.mass_g:g} g",
                remedy="Give a mass above 0 g, or none for 'weigh yours'",
            )
        if self.nest_step_mm is not None and not (self.form.nests and 0 < self.nest_step_mm <= self.extents_mm[2]):
            raise BadRequest(
                "the nest step is not possible",
                where=where,
                found=f"{self.nest_step_mm:g} mm",
                remedy="Only a cup nests, and the step is above 0 and no more than its height",
            )

    @property
    def form(self) -> Shape:
        """All that is common to objects of its shape."""
        return SHAPES[self.shape]

    @property
    def group_name(self) -> str:
        """What it is listed under."""
        return self.group or self.form.group

    @property
    def nests(self) -> bool:
        """Whether one fits into the next."""
        return self.nest_step_mm is not None

    @property
    def extents_mm(self) -> tuple[float, float, float]:
        """Length, width and height of the box around it as it lies by itself: tubes and screws on their side."""
        return self.form.extents_mm(self.size_mm)

    @property
    def footprint_mm(self) -> tuple[float, ...]:
        """What it covers of a floor: the radius of what is round, else length and width."""
        length, width, _ = self.extents_mm
        return (length, width) if self.form.outline == "block" else (width / 2.0,)

    @property
    def cautions(self) -> tuple[str, ...]:
        """What an adult should know before handing it out, a sentence each."""
        sentences = []
        if self.sharp:
            sentences.append("Edges or points can cut skin and foil: an adult hands these out.")
        _, middle, longest = sorted(self.extents_mm)
        if middle <= SWALLOW_WIDTH_MM and longest <= SWALLOW_LENGTH_MM:
            sentences.append("Small enough to choke on: keep away from small children, count them out and back in.")
        return tuple(sentences)


def item_name(label: str) -> str:
    """A label as a name: lower case, with hyphens; a number of its own where the label has no letter from a to z and no digit."""
    plain = unicodedata.normalize("NFKD", label).encode("ascii", "ignore").decode()
    return hyphened(plain)[:LONGEST_NAME].strip("-") or f"own-{zlib.crc32(label.encode())}"


def hyphened(text: str) -> str:
    """Lower case letters, digits and single hyphens of a text: what names are compared by."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")


def either(names: Iterable[str]) -> str:
    """Names in quotes, the last after an `or`."""
    *most, last = [f"'{name}'" for name in names]
    return f"{', '.join(most)} or {last}" if most else last
