"""The display list: what a widget draws goes through it, in logical pixels. It notes orders; the renderer carries them out.

order    one thing to draw: which, with what, where, inside which clip
damage   the parts of the window whose orders differ from those of the last drawn pass

Only the damage is drawn again, from the ground up, so the pixels are those of drawing everything. In a pass that only
handles an event nothing is noted, and measuring text still works.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any, NamedTuple

import pygame
from msgspec import Struct

from folder.window import theme
from folder.window.theme import Rgb, Size
from folder.window.widgets.pane import Pane
from folder.window.widgets.renderer import MARKS_A_FRAME, Align, Place, Renderer

MOST_PARTS = 16
"""More parts of damage than this are drawn as one."""
Paint = Callable[[pygame.Surface, pygame.Rect], None]


class DrawCommand(NamedTuple):
    """One thing to draw. `what` names a method of the renderer; `bound` is where it can leave marks."""

    what: str
    bound: Pane
    clip: Pane | None
    args: tuple[Any, ...]


class CommandRun(NamedTuple):
    """A stretch of a pass's orders, and how those that a page draws itself are carried out."""

    commands: list[DrawCommand]
    paints: dict[int, Paint]


class TextRun(Struct, frozen=True):
    """A text that stands on the page, where, whether it had to be cut, and its contrast in a pass that was audited."""

    text: str
    pane: Pane
    cut: bool
    contrast: float | None


class DisplayList:
    """Notes orders while `drawing`; `show` brings a surface up to date with them."""

    def __init__(self) -> None:
        self.renderer = Renderer()
        self.drawing = False
        self.audit = False
        """Draw everything and measure the contrast of each text on what lies under it (slow: for tests)."""
        self.damage: list[pygame.Rect] = []
        """What the last `show` drew, physical px."""
        self._commands: list[DrawCommand] = []
        self._shown: list[DrawCommand] = []
        self._shown_on: tuple[pygame.Surface, tuple[int, int], float] | None = None
        self._paints: dict[int, Paint] = {}
        self._ratios: list[float | None] = []
        self._clip: Pane | None = None

    def start(self, drawing: bool) -> None:
        """Begin a pass."""
        self.drawing, self._clip = drawing, None
        if drawing:
            self._commands, self._paints = [], {}

    @property
    def count(self) -> int:
        """How many orders have been noted in this pass."""
        return len(self._commands)

    def run_from(self, first: int) -> CommandRun:
        """What has been noted from an order on."""
        return CommandRun(self._commands[first:], {i - first: paint for i, paint in self._paints.items() if i >= first})

    def repeat(self, run_from: CommandRun) -> None:
        """Note the same once more."""
        first = len(self._commands)
        self._commands += run_from.commands
        self._paints |= {first + i: paint for i, paint in run_from.paints.items()}

    def forget(self) -> None:
        """Draw everything the next time."""
        self._shown_on = None

    @contextmanager
    def clip(self, pane: Pane) -> Iterator[None]:
        """Draw only inside this pane (and inside any clip around it)."""
        before = self._clip
        self._clip = pane if before is None else pane.meet(before)
        try:
            yield
        finally:
            self._clip = before

    def fill(self, pane: Pane, colour: Rgb) -> None:
        """A plain rectangle."""
        self._note("fill", pane, pane, colour)

    def line(self, start: Place, end: Place, colour: Rgb = theme.EDGE, width: float = 1) -> None:
        """An upright or level line."""
        (x0, y0), (x1, y1) = start, end
        pane = Pane(min(x0, x1), min(y0, y1), abs(x1 - x0), abs(y1 - y0))
        self._note("line", _grown(pane, width), pane, colour, width)

    def plate(
        self, pane: Pane, fill: Rgb, edge: Rgb | None = None, *, width: float = 1, radius: float = theme.RADIUS,
        ear: bool = False, round_below: bool = True,
    ) -> None:  # fmt: skip
        """A rounded card, with an edge; with `ear`, its upper right corner is turned down."""
        self._note("plate", pane, pane, fill, edge, width, radius, ear, round_below)

    def ring(self, pane: Pane, radius: float = theme.RADIUS) -> None:
        """The focus ring, around a pane."""
        self._note("ring", _grown(pane, theme.RING + 2), pane, radius)

    def dot(self, middle: Place, radius: float, colour: Rgb) -> None:
        """A filled circle."""
        self._note("dot", _about(middle, radius), middle, radius, colour)

    def icon(self, name: str, middle: Place, colour: Rgb = theme.INK, size: float = theme.ICON) -> None:
        """A drawing of `icon.ICONS` about a point."""
        self._note("icon", _about(middle, size / 2), name, middle, colour, size)

    def veil(self, pane: Pane) -> None:
        """Set all that is there back, half way to the edge colour."""
        self._note("veil", pane, pane, theme.EDGE, 128)

    def text(
        self, text: str, pane: Pane, size: Size = "body", *, bold: bool = False, colour: Rgb = theme.INK,
        align: Align = "left", wrap: bool = False, top: bool = False,
    ) -> None:  # fmt: skip
        """Text inside a pane and never outside: wrapped if asked, else one line; shortened with three dots if it must.

        It stands in the middle of the height unless `top`.
        """
        if text:
            with self.clip(pane):
                self._note("text", pane, pane, text, size, bold, colour, align, wrap, top)

    def strip(self, text: str, pane: Pane, shift_px: float, colour: Rgb = theme.INK) -> None:
        """One line of body text, moved to the left by some physical px and clipped, as a field shows it."""
        with self.clip(pane):
            self._note("strip", pane, pane, text, shift_px, colour)

    def custom(self, pane: Pane, key: object, draw: Paint) -> None:
        """What `draw(surface, rect)` draws into the physical `rect` of a pane.

        It is drawn again when `key` differs from the last time: the key names all that the drawing depends on.
        """
        if self.drawing:
            self._paints[len(self._commands)] = draw
            with self.clip(pane):
                self._note("custom", pane, pane, key)

    def text_w(self, text: str, size: Size = "body", bold: bool = False) -> float:
        """How wide a line of text is, logical px; rounded up so that a pane this wide holds it."""
        return (self.renderer.glyph_cache.width(text, self.text_px(size), bold) + 1) / self.renderer.scale

    def text_h(self, text: str, w: float, size: Size = "body", bold: bool = False) -> float:
        """How high the text is when wrapped to a width, logical px."""
        lines = self.renderer.glyph_cache.wrap(text, self.text_px(size), bold, int(w * self.renderer.scale + 0.5))
        return len(lines) * theme.SIZES[size] * theme.LEADING

    def text_px(self, size: Size) -> int:
        """A text size in physical px."""
        return self.renderer.px(theme.SIZES[size])

    @property
    def texts(self) -> list[TextRun]:
        """Every text of the page as it was last drawn, in order."""
        texts = [command for command in self._shown if command.what in ("text", "strip")]
        found = []
        for i, command in enumerate(texts):
            pane, text, *rest = command.args
            cut = command.what == "text" and self.renderer.layout(pane, text, rest[0], rest[1], rest[4])[1]
            found.append(TextRun(text, pane, cut, self._ratios[i] if self.audit else None))
        return found

    def show(self, surface: pygame.Surface) -> None:
        """Bring a surface up to date: draw what differs from what this display list drew on it before."""
        renderer, whole = self.renderer, surface.get_rect()
        renderer.surface = surface
        on = (surface, surface.get_size(), renderer.scale)
        left, renderer.unfinished, renderer.marks_left = renderer.unfinished, [], MARKS_A_FRAME
        self.damage = [whole] if on != self._shown_on or self.audit else self._differing(whole, left)
        self._ratios = []
        for part in self.damage:
            near = self._near(part)
            for i, command in enumerate(self._commands):
                x, y, w, h = command.bound
                if x < near.right and y < near.bottom and x + w > near.x and y + h > near.y:
                    area = part if command.clip is None else part.clip(renderer.rect(command.clip))
                    if area.w and area.h and area.colliderect(renderer.rect(_grown(command.bound, 1))):
                        surface.set_clip(area)
                        self._carry_out(i, command)
                        continue
                if self.audit and command.what in ("text", "strip"):
                    self._ratios.append(None)
        surface.set_clip(None)
        self._shown, self._shown_on = self._commands, on

    def _carry_out(self, i: int, command: DrawCommand) -> None:
        if command.what == "custom":
            self.renderer.custom(command.args[0], self._paints[i])
            return
        self.renderer.contrasts = [] if self.audit else None
        getattr(self.renderer, command.what)(*command.args)
        if self.audit and command.what in ("text", "strip"):
            self._ratios.append(min(self.renderer.contrasts or [], default=None))

    def _note(self, what: str, bound: Pane, *args: Any) -> None:
        if self.drawing:
            self._commands.append(DrawCommand(what, bound, self._clip, args))

    def _near(self, part: pygame.Rect) -> Pane:
        """A part of the window in logical px, with a margin: what lies outside cannot leave a mark in it."""
        scale = self.renderer.scale
        return _grown(Pane(part.x / scale, part.y / scale, part.w / scale, part.h / scale), 4)

    def _differing(self, whole: pygame.Rect, left: Sequence[pygame.Rect]) -> list[pygame.Rect]:
        """The parts of the window where the orders differ from those shown, and those left unfinished."""
        old, new = self._shown, self._commands
        if len(old) == len(new):
            pairs = [pair for pair in zip(old, new, strict=True) if pair[0] is not pair[1] and pair[0] != pair[1]]
            changed = [command for pair in pairs for command in pair]
        else:
            head = _alike(old, new)
            tail = min(_alike(old[::-1], new[::-1]), min(len(old), len(new)) - head)
            changed = old[head : len(old) - tail] + new[head : len(new) - tail]
        parts: list[pygame.Rect] = []
        bounds = [command.bound if command.clip is None else command.bound.meet(command.clip) for command in changed]
        for rect in (*left, *(self.renderer.rect(_grown(bound, 2)) for bound in bounds)):
            part = rect.clip(whole)
            while part.w and part.h and (hit := part.collidelist(parts)) >= 0:
                part = part.union(parts.pop(hit))
            if part.w and part.h:
                parts.append(part)
        return parts if len(parts) <= MOST_PARTS else [parts[0].unionall(parts[1:])]


def _alike(one: Sequence[DrawCommand], other: Sequence[DrawCommand]) -> int:
    """How many orders are the same from the start."""
    pairs = zip(one, other, strict=False)
    return next((i for i, (a, b) in enumerate(pairs) if a != b), min(len(one), len(other)))


def _grown(pane: Pane, by: float) -> Pane:
    return Pane(pane.x - by, pane.y - by, pane.w + 2 * by, pane.h + 2 * by)


def _about(middle: Place, radius: float) -> Pane:
    return Pane(middle[0] - radius - 1, middle[1] - radius - 1, 2 * radius + 2, 2 * radius + 2)
