"""The work on the table: the drawing, what was before and after it, what is picked, where it is kept. No pygame."""

from __future__ import annotations

from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from folder.pattern.pattern import Pattern

EMPTY = Pattern(name="My hull")
"""An empty sheet."""


class Document(Struct, frozen=True):
    """A drawing and its history. Every change gives a new Work; undo and redo have no end."""

    pattern: Pattern = EMPTY
    past: tuple[Pattern, ...] = ()
    future: tuple[Pattern, ...] = ()
    picked: frozenset[int] = frozenset()
    path: Path | None = None
    saved: Pattern | None = None
    """The drawing as it stands in the file; None when there is none."""

    @classmethod
    def opened(cls, pattern: Pattern, path: Path | None = None) -> Document:
        """Work on a drawing that has just been opened or begun."""
        return cls(pattern, path=path, saved=pattern)

    @property
    def is_saved(self) -> bool:
        """Whether nothing would be lost."""
        return self.saved is self.pattern or self.saved == self.pattern

    def edited(self, pattern: Pattern, picked: frozenset[int] | None = None) -> Document:
        """With the drawing changed; the same drawing leaves the history alone."""
        picked = self.picked if picked is None else picked
        if pattern == self.pattern:
            return self.picking(picked)
        kept = frozenset(i for i in picked if i < len(pattern.creases))
        return replace(self, pattern=pattern, past=(*self.past, self.pattern), future=(), picked=kept)

    def picking(self, picked: frozenset[int]) -> Document:
        """With other creases picked."""
        kept = frozenset(i for i in picked if 0 <= i < len(self.pattern.creases))
        return self if kept == self.picked else replace(self, picked=kept)

    def undone(self) -> Document:
        """One change back."""
        if not self.past:
            return self
        return replace(self, pattern=self.past[-1], past=self.past[:-1], future=(*self.future, self.pattern), picked=frozenset())

    def redone(self) -> Document:
        """One change forward again."""
        if not self.future:
            return self
        return replace(
            self, pattern=self.future[-1], past=(*self.past, self.pattern), future=self.future[:-1], picked=frozenset()
        )

    def written(self, path: Path) -> Document:
        """With the drawing saved in a file."""
        return replace(self, path=path, saved=self.pattern)
