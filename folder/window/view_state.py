"""The view state: how the document is looked at and worked on at one moment, frozen. No pygame.

page     which page the window is
dialog   the dialog that is open, if any
tool     what is held, and what it has been given; `setting` is how new lines are to be
pointer  where the hand is on the sheet
player   which step of the folding is shown, and how far along
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Literal

from msgspec import Struct, field, structs

from folder.draw.hull.view import View
from folder.findings import Point
from folder.pattern.pattern import Crease, Pattern
from folder.window.background.result import Progress
from folder.window.compare.state import CompareState
from folder.window.count.state import CountState
from folder.window.event.state import EventState
from folder.window.float.state import FloatState
from folder.window.fold.better.state import BetterState
from folder.window.fold.film.player import Player
from folder.window.help.state import HelpState
from folder.window.objects.state import ObjectChoice
from folder.window.print.state import PrintState
from folder.window.tools.tool import Correction, Setting, SheetPointer, Tool
from folder.window.trials.state import TrialsState
from folder.window.viewport import Viewport

PageName = Literal["start", "fold", "float", "compare", "print", "event"]
PAGES: dict[PageName, str] = {"fold": "Fold", "float": "Float", "compare": "Compare", "print": "Print", "event": "Event"}
"""The five pages of the work in its order, by their words."""
WORK_PAGES: tuple[PageName, ...] = tuple(PAGES)
DialogName = Literal[
    "", "open", "save", "where", "leave", "help", "objects", "work-out", "note-trial", "trials", "event-file", "names"
]


class ViewState(Struct, frozen=True):
    """Everything about the window that is no part of the document. A command gives a new one."""

    page: PageName = "start"
    dialog: DialogName = ""
    after_dialog: Callable[[Any], None] | None = None
    """What was wanted of the editor when the question came up whether to save first."""
    floating: FloatState = FloatState()
    comparing: CompareState = field(default_factory=CompareState)
    printing: PrintState = PrintState()
    counting: CountState = CountState()
    trials: TrialsState = TrialsState()
    eventing: EventState = EventState()
    helping: HelpState = HelpState()
    tool: Tool = Tool()
    setting: Setting = Setting()
    pointer: SheetPointer | None = None
    by_keys: bool = False
    """The pointer is where the arrow keys put it."""
    drag_pattern: Pattern | None = None
    """The drawing while a drag lasts; the document is untouched until the hand lets go."""
    moved_creases: frozenset[int] = frozenset()
    """The creases that the drag has moved so far."""
    before_drag: Progress | None = None
    """While a drag lasts, what was known of the drawing before it: the ghost of that hull, and its load."""
    correction: Correction | None = None
    """What was last made of a line drawn by hand; shown for a moment."""
    clip: tuple[Crease, ...] = ()
    """Lines that were copied."""
    more: bool = False
    """What stands under "More" is shown beside the tools."""
    menu: Point | None = None
    """The place on the sheet whose menu is open."""
    viewport: Viewport | None = None
    """How the sheet is looked at, logical px from the upper left of its pane; None shows it whole."""
    object_choice: ObjectChoice = ObjectChoice()
    """The object in use, on every page."""
    camera: View = View()
    """From where the hull is looked at."""
    player: Player = Player()
    finding: int | None = None
    """The finding that is pointed at."""
    better: BetterState = BetterState()
    """A better hull that is looked for, or offered."""
    is_closing: bool = False
    """The window is to close."""

    def opened(self) -> ViewState:
        """As it is when another document has been opened."""
        return structs.replace(
            self, tool=Tool(), drag_pattern=None, moved_creases=frozenset(), before_drag=None, correction=None, menu=None,
            viewport=None, pointer=None, page="fold", dialog="", player=Player(), finding=None, printing=self.printing.opened(),
            comparing=self.comparing.opened(),
        )  # fmt: skip
