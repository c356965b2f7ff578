"""The words of the trade, each in a sentence or two for people, and where they stand in a text. No pygame."""

from __future__ import annotations

import re
from collections.abc import Iterator

from msgspec import Struct

ICON = "icon:"
"""Before the name of a picture that is an icon."""


class HelpWord(Struct, frozen=True):
    """A word: what it means, its other forms, and the name of its picture or icon."""

    word: str
    text: str
    picture: str
    forms: tuple[str, ...] = ()


HELP_WORDS = (
    HelpWord("sheet", "The flat square of foil. The side that faces you becomes the inside of the hull.", "sheet", ("sheets",)),
    HelpWord("line", "A fold line, also called a crease: the foil is folded along it.", "line", ("lines", "crease", "creases")),
    HelpWord("valley", "A fold that comes up toward you, like the two sides of a valley. Drawn with dashes.", "valley"),
    HelpWord("mountain", "A fold that goes away from you, like the ridge of a mountain. Drawn with a dash and two dots.", "mountain"),
    HelpWord("cut", "A slit in the foil. At most events no cut is allowed; water comes in there.", "cut", ("cuts",)),
    HelpWord("floor", "The flat part in the middle that carries the load.", "floor"),
    HelpWord("wall", "A part that rises from the floor. Higher walls keep water out for longer, but leave less floor.", "wall", ("walls",)),
    HelpWord(
        "flap", "The spare foil at a corner, folded away to the side. Tucked, it lies flat on a wall.", "flap",
        ("flaps", "corner fold", "corner folds", "tuck", "tucked"),
    ),
    HelpWord("hem", "The edge of the foil folded back on itself: stiff, smooth to touch, and a little lower.", "hem", ("hems", "hemmed")),
    HelpWord("pleat", "Two folds close together that make three layers: a stiff strip.", "pleat", ("pleats",)),
    HelpWord("pinch", "Press the layers together between two fingers so that they stay.", "pinch", ("pinches", "crimp", "crimps")),
    HelpWord(
        "close", "Round a point the folds must bring the foil back onto itself. Where they do not close, it gapes and tears.", "close",
        ("closes", "closed"),
    ),
    HelpWord("rim", "The top edge of the hull. Water can only come in over it, at its lowest place.", "rim"),
    HelpWord("likely", "What hands like yours will probably reach. Half of all builds hold less, half hold more.", "icon:load"),
    HelpWord(
        "make this better", "The program moves lines and turns a little, again and again, and keeps what carries more. You see each step, "
        "and take what you like.", "icon:better",
    ),
    HelpWord("perfect hands", "What the hull would carry if every fold and every object were exactly in its place.", "icon:load"),
    HelpWord("freeboard", "How much rim still stands above the water. At zero the water comes in.", "afloat"),
    HelpWord("trial", "One test of one real hull in real water, noted down.", "icon:tick", ("trials",)),
    HelpWord("guess", "How many objects you say it will hold, before you try.", "icon:help", ("guesses",)),
)  # fmt: skip
"""In the order in which they are met."""

_BY_FORM = {form.lower(): word for word in HELP_WORDS for form in (word.word, *word.forms)}
_ANY = re.compile(rf"\b({'|'.join(sorted(map(re.escape, _BY_FORM), key=len, reverse=True))})\b", re.IGNORECASE)


class WordPlace(Struct, frozen=True):
    """A word in a text: from which letter to which."""

    word: HelpWord
    start: int
    end: int


def words_in(text: str) -> Iterator[WordPlace]:
    """The words that are explained, where they stand in a line."""
    for found in _ANY.finditer(text):
        yield WordPlace(_BY_FORM[found[0].lower()], found.start(), found.end())
