"""Widget records: where each widget of a pass stands and in what state it is. Tests and the played demo find widgets here."""

from __future__ import annotations

from msgspec import Struct

from folder.window import theme
from folder.window.widgets.pane import Pane


class WidgetRecord(Struct, frozen=True):
    """One widget as it stood in one pass.

    `pane` is the whole of it, `visible` the part not scrolled or clipped away, `layer` 0 for the page, 2 for a dialog over
    it, one more for a list that hangs over its layer.
    """

    name: str
    kind: str
    pane: Pane
    visible: Pane
    text: str = ""
    value: object = None
    enabled: bool = True
    focused: bool = False
    hovered: bool = False
    held: bool = False
    layer: int = 0
    stops: bool = True
    """Tab stops here."""
    owner: str = ""
    """The widget that gets the focus when this part of it is pressed."""
    pointed: bool = True
    """The pointer finds it; what only shows is looked through."""
    types: bool = False
    """Letters typed go here."""
    wheel: bool = False
    """The wheel turns here."""
    scrolls: bool = False
    """It stands in something that scrolls, and may be out of sight."""
    tip: str = ""
    problem: str = ""
    """What is wrong with what was typed, in a sentence."""

    @property
    def ground(self) -> theme.Rgb:
        """The colour of its card in its state."""
        if not self.enabled:
            return theme.FADED
        return theme.PRESSED if self.held else theme.HOVER if self.hovered else theme.PAPER

    @property
    def ink(self) -> theme.Rgb:
        """The colour of its text."""
        return theme.INK if self.enabled else theme.FADED_INK
