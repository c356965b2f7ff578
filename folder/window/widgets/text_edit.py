"""Drafts: a line of text being edited, with its caret, what is selected, and its own undo. No pygame.

caret   the place between two letters where typing goes
anchor  the other end of what is selected; at the caret when nothing is
"""

from __future__ import annotations

from msgspec import Struct, field
from msgspec.structs import replace


class TextEdit(Struct, frozen=True):
    """A line of text with a caret and an anchor, both between 0 and its length."""

    text: str = ""
    caret: int = 0
    anchor: int = 0

    @property
    def span(self) -> tuple[int, int]:
        """Start and end of what is selected."""
        return min(self.caret, self.anchor), max(self.caret, self.anchor)

    @property
    def selected(self) -> str:
        """The selected text."""
        start, end = self.span
        return self.text[start:end]

    def to(self, place: int, keep_anchor: bool = False) -> TextEdit:
        """The caret moved to a place; the anchor comes along unless it is kept."""
        place = min(max(place, 0), len(self.text))
        return replace(self, caret=place, anchor=self.anchor if keep_anchor else place)

    def all(self) -> TextEdit:
        """Everything selected."""
        return replace(self, caret=len(self.text), anchor=0)

    def word(self, place: int) -> TextEdit:
        """The word, or the run of other signs, around a place selected."""
        if not self.text:
            return self
        inside = min(max(place, 0), len(self.text) - 1)
        like = self.text[inside].isalnum()
        start, end = inside, inside + 1
        while start > 0 and self.text[start - 1].isalnum() == like:
            start -= 1
        while end < len(self.text) and self.text[end].isalnum() == like:
            end += 1
        return replace(self, caret=end, anchor=start)

    def typed(self, text: str, longest: int) -> TextEdit:
        """What is selected replaced by this text, as far as there is room."""
        start, end = self.span
        text = "".join(c for c in text if c.isprintable())[: max(longest - len(self.text) + end - start, 0)]
        place = start + len(text)
        return TextEdit(self.text[:start] + text + self.text[end:], place, place)

    def without(self, step: int, by_word: bool = False) -> TextEdit:
        """What is selected deleted, else the letter or word before (-1) or after (+1) the caret."""
        held = self if self.selected else replace(self, anchor=self.caret + step if not by_word else self.beside(step))
        start, end = max(held.span[0], 0), held.span[1]
        return TextEdit(self.text[:start] + self.text[end:], start, start)

    def beside(self, step: int) -> int:
        """The next place to the left (-1) or right (+1) where a word starts or ends."""
        place = self.caret
        while 0 < place + (step > 0) <= len(self.text) and not self._letter(place, step).isalnum():
            place += step
        while 0 < place + (step > 0) <= len(self.text) and self._letter(place, step).isalnum():
            place += step
        return place

    def _letter(self, place: int, step: int) -> str:
        return self.text[place if step > 0 else place - 1]


class Editing(Struct):
    """The draft of one field and how it got there. `base` is the value's own text, which Escape puts back."""

    base: str
    text_edit: TextEdit = field(default_factory=TextEdit)
    problem: str = ""
    shift_px: float = 0.0
    """How far the text is scrolled to the left."""
    lit: bool = False
    """The focus is in the field."""
    whole: bool = False
    """The press that is going on selected a word or all: moving on does not change that."""
    _past: list[TextEdit] = field(default_factory=list)
    _future: list[TextEdit] = field(default_factory=list)
    _running: str = ""

    @property
    def pending(self) -> bool:
        """Whether what is typed differs from the value."""
        return self.text_edit.text != self.base

    def start(self, base: str) -> None:
        """Begin anew from a value's text."""
        self.base, self.text_edit, self.problem = base, TextEdit(base, len(base), len(base)), ""
        self._past, self._future, self._running = [], [], ""

    def change(self, text_edit: TextEdit, kind: str) -> None:
        """A step. A run of letters typed one after the other is one step to undo; moving the caret ends a run."""
        if text_edit.text == self.text_edit.text:
            self.text_edit, self._running = text_edit, ""
            return
        if kind != self._running or kind == "paste":
            self._past.append(self.text_edit)
        self.text_edit, self._future, self.problem = text_edit, [], ""
        self._running = kind if kind == "type" and not text_edit.text[: text_edit.caret].endswith(" ") else ""

    def undo(self) -> None:
        """Back one step."""
        self._swap(self._past, self._future)

    def redo(self) -> None:
        """Forward one step."""
        self._swap(self._future, self._past)

    def _swap(self, source: list[TextEdit], target: list[TextEdit]) -> None:
        if source:
            target.append(self.text_edit)
            self.text_edit, self.problem, self._running = source.pop(), "", ""
