"""Text as a page knows it: what may stand on a page, how wide it runs, where a line is broken.

Widths are the real advance widths of the bundled font, read from its tables (OpenType specification: head, hhea,
hmtx, cmap), so no layout rests on a guess. A character the font has not is taken to be one text size wide.
"""

from __future__ import annotations

import math
import struct
import unicodedata
from functools import cache
from pathlib import Path

from msgspec import Struct

from folder.draw.picture import FontWeight, Label
from folder.findings import Point
from folder.places import ASSETS

FAMILY = "Lexend"
FILES: dict[FontWeight, Path] = {
    "regular": ASSETS / "fonts" / "Lexend-Regular.ttf",
    "bold": ASSETS / "fonts" / "Lexend-Bold.ttf",
}
ASCENT, DESCENT = 0.76, 0.24
"""Highest and lowest ink of a line over its text size (accents on capitals aside)."""

TO_WRITE = "____"
"""Stands for a line to write a name on by hand."""

_UNITS = ("mm", "g")
_UNSEEN = ("Mn", "Me", "Cf")
_DIRECTION_MARKS = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


class Font(Struct, frozen=True, eq=False):
    """Advance widths of the characters of one font file, over the text size."""

    advances: dict[int, float]

    def advance(self, char: str) -> float:
        """Advance of one character, over the text size."""
        advance = self.advances.get(ord(char))
        if advance is not None:
            return advance
        return 0.0 if unicodedata.category(char) in _UNSEEN else 1.0


@cache
def font(weight: FontWeight) -> Font:
    """The bundled font of this weight."""
    data = FILES[weight].read_bytes()
    tables = {}
    for k in range(struct.unpack_from(">H", data, 4)[0]):
        tag, _, offset, _ = struct.unpack_from(">4sLLL", data, 12 + 16 * k)
        tables[tag] = offset
    per_em = struct.unpack_from(">H", data, tables[b"head"] + 18)[0]
    many = struct.unpack_from(">H", data, tables[b"hhea"] + 34)[0]
    metrics = struct.unpack_from(f">{2 * many}H", data, tables[b"hmtx"])[::2]
    glyphs = _glyphs(data, tables[b"cmap"])
    return Font({char: metrics[min(glyph, many - 1)] / per_em for char, glyph in glyphs.items()})


def _glyphs(data: bytes, cmap: int) -> dict[int, int]:
    """Character to glyph, from the Unicode subtable of format 4."""
    for k in range(struct.unpack_from(">H", data, cmap + 2)[0]):
        offset = cmap + struct.unpack_from(">L", data, cmap + 8 + 8 * k)[0]
        if struct.unpack_from(">H", data, offset)[0] == 4:
            break
    many = struct.unpack_from(">H", data, offset + 6)[0] // 2
    ends = struct.unpack_from(f">{many}H", data, offset + 14)
    starts = struct.unpack_from(f">{many}H", data, offset + 16 + 2 * many)
    deltas = struct.unpack_from(f">{many}H", data, offset + 16 + 4 * many)
    ranges_at = offset + 16 + 6 * many
    ranges = struct.unpack_from(f">{many}H", data, ranges_at)
    glyphs = {}
    for k, (start, end, delta, shift) in enumerate(zip(starts, ends, deltas, ranges, strict=True)):
        for char in range(start, min(end, 0xFFFE) + 1):
            glyph = char
            if shift:
                glyph = struct.unpack_from(">H", data, ranges_at + 2 * k + shift + 2 * (char - start))[0]
            if glyph or not shift:
                glyphs[char] = (glyph + delta) & 0xFFFF
    return {char: glyph for char, glyph in glyphs.items() if glyph}


def clean(text: str) -> str:
    """Text fit for a page: one line, composed accents, nothing XML refuses, nothing that turns the line round."""
    kept = "".join(c for c in text if c.isspace() or _stands(c))
    return unicodedata.normalize("NFC", " ".join(kept.split()))


def _stands(char: str) -> bool:
    """Whether a character may stand on a page: no control, no half of a pair, no code that is not a character."""
    return unicodedata.category(char) not in ("Cc", "Cs") and ord(char) & 0xFFFE != 0xFFFE and char not in _DIRECTION_MARKS


def printable(text: str, weight: FontWeight = "regular") -> str:
    """The text without what the font has no letter for, for a painter with no other font to turn to.

    Where no letter or figure is left of it there is a line to write it on by hand: a certificate is somebody's.
    """
    kept = " ".join("".join(c for c in text if ord(c) in font(weight).advances).split())
    return kept if any(map(str.isalnum, kept)) or not leaves_out(text, weight) else TO_WRITE


def leaves_out(text: str, weight: FontWeight = "regular") -> bool:
    """Whether the font has no letter for something that would be seen."""
    held = font(weight)
    return any(ord(c) not in held.advances and held.advance(c) > 0.0 for c in text)


def width_mm(text: str, size_mm: float, weight: FontWeight = "regular") -> float:
    """How far a line of text runs."""
    held = font(weight)
    return size_mm * sum(held.advance(c) for c in text)


def shortened(text: str, size_mm: float, room_mm: float, weight: FontWeight = "regular") -> str:
    """The text, or as much of it as fits the room with an ellipsis after it."""
    if width_mm(text, size_mm, weight) <= room_mm:
        return text
    held = font(weight)
    left = room_mm / size_mm - held.advance("…")
    kept = 0
    while left >= held.advance(text[kept]):
        left -= held.advance(text[kept])
        kept += 1
    cut = text[:kept]
    if unicodedata.category(text[kept]) in _UNSEEN:  # do not leave half a joined sign
        cut = cut[:-1]
    return cut.rstrip(" \u200d") + "…"


def unwritable(text: str, weight: FontWeight = "regular") -> bool:
    """Whether nothing can be read of a text in this font."""
    return printable(text, weight) == TO_WRITE


def wrapped(text: str, size_mm: float, room_mm: float, weight: FontWeight = "regular") -> tuple[str, ...]:
    """The text in lines no wider than the room; a word that is wider by itself is shortened. A number keeps its unit."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_mm(longer, size_mm, weight) <= room_mm:
            lines[-1] = longer
            continue
        if lines and word.strip(".,;:") in _UNITS and lines[-1][-1].isdigit() and " " in lines[-1]:
            before, number = lines[-1].rsplit(" ", 1)
            if width_mm(f"{number} {word}", size_mm, weight) <= room_mm:
                lines[-1], word = before, f"{number} {word}"
        lines.append(shortened(word, size_mm, room_mm, weight))
    return tuple(lines)


def label_corners(label: Label) -> tuple[Point, Point, Point, Point]:
    """The corners of the box a label's ink may fill, counter-clockwise from the start of its lower side."""
    width = width_mm(label.text, label.size_mm, label.weight)
    left = {"start": 0.0, "middle": -width / 2, "end": -width}[label.anchor]
    low, high = -DESCENT * label.size_mm, ASCENT * label.size_mm
    c, s = math.cos(label.rotation_rad), math.sin(label.rotation_rad)

    def turned(x: float, y: float) -> Point:
        return (label.at[0] + c * x - s * y, label.at[1] + s * x + c * y)

    return turned(left, low), turned(left + width, low), turned(left + width, high), turned(left, high)
