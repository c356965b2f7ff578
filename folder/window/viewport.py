"""The viewport: how mm on the sheet (or on a picture) become pixels, and back. No pygame.

Places on the sheet run upward, pixels downward. `px_per_mm` is the zoom; lines and text have a size of their own.
"""

from __future__ import annotations

import math

from msgspec import Struct

from folder.draw.picture import Box
from folder.findings import Point


class Viewport(Struct, frozen=True):
    """`origin_px` is the pixel where the point (0, 0) mm is seen."""

    px_per_mm: float
    origin_px: Point

    @classmethod
    def fit(cls, box: Box, left: float, top: float, width: float, height: float, margin_px: float = 0.0) -> Viewport:
        """The viewport that shows a box as large as it goes in the middle of a rectangle of pixels."""
        room_w, room_h = max(width - 2 * margin_px, 1.0), max(height - 2 * margin_px, 1.0)
        zoom = min(room_w / max(box.width, 1e-9), room_h / max(box.height, 1e-9))
        x, y = box.middle
        return cls(zoom, (left + width / 2 - zoom * x, top + height / 2 + zoom * y))

    def px(self, at: Point) -> Point:
        """Where a place on the sheet is seen."""
        return self.origin_px[0] + self.px_per_mm * at[0], self.origin_px[1] - self.px_per_mm * at[1]

    def mm(self, at_px: Point) -> Point:
        """The place on the sheet that is seen at a pixel."""
        return (at_px[0] - self.origin_px[0]) / self.px_per_mm, (self.origin_px[1] - at_px[1]) / self.px_per_mm

    def zoomed(self, times: float, about_px: Point, least: float = 0.5, most: float = 60.0) -> Viewport:
        """Nearer or further off, with the place under a pixel staying there. The zoom stays between two bounds."""
        zoom = min(max(self.px_per_mm * times, least), most)
        x, y = self.mm(about_px)
        return Viewport(zoom, (about_px[0] - zoom * x, about_px[1] + zoom * y))

    def panned(self, dx_px: float, dy_px: float) -> Viewport:
        """Moved along with the hand."""
        return Viewport(self.px_per_mm, (self.origin_px[0] + dx_px, self.origin_px[1] + dy_px))

    @property
    def is_sound(self) -> bool:
        """Whether it can be looked through: finite, and not nothing."""
        return self.px_per_mm > 0 and all(math.isfinite(v) for v in (self.px_per_mm, *self.origin_px))
