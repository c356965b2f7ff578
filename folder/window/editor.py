"""The desk: everything the window is about at one moment, and what may be done to it. No pygame.

page    the start page, or the sheet
asked   the dialog that is open, if any
live    the drawing while a drag lasts; the work itself is untouched until the hand lets go
moment  the step of the strip whose hull is shown; None for the whole way, at `share`
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Literal

from msgspec import Struct, field, structs

from folder.draw.hull.solid import View
from folder.errors import BadRequest, FolderError
from folder.findings import Finding, Remedy
from folder.pattern import edit
from folder.pattern.file import read_pattern, write_pattern
from folder.pattern.pattern import Crease, Pattern, Sense
from folder.window.autosave import Autosave, Memory
from folder.window.background.result import Result
from folder.window.background.worker import Worker
from folder.window.document import Document
from folder.window.fold.side_panel import Mode, SidePanel
from folder.window.theme import MessageLevel
from folder.window.tools import laying, pointer
from folder.window.tools.tool import Preview, Setting, SheetPointer, Tool, ToolContext, ToolName, ToolResult, sentence
from folder.window.viewport import Viewport

Asked = Literal["", "open", "save", "where", "leave", "keys"]
NOTHING = Preview((0.0, 0.0), "")


class Editor(Struct):
    """The state of the window."""

    worker: Worker
    keeper: Autosave
    memory: Memory
    work: Document = field(default_factory=Document)
    tool: Tool = field(default_factory=Tool)
    setting: Setting = field(default_factory=Setting)
    live: Pattern | None = None
    moving: frozenset[int] = frozenset()
    """The creases that the drag has moved so far."""
    hand: SheetPointer | None = None
    by_keys: bool = False
    """The hand is where the arrow keys put it."""
    page: Literal["start", "sheet"] = "start"
    asked: Asked = ""
    then: Callable[[Editor], None] | None = None
    """What was wanted when the question came up whether to save first."""
    lens: Viewport | None = None
    """How the sheet is looked at, logical px from the upper left of its pane; None shows it whole."""
    view: View = field(default_factory=View)
    right: SidePanel = field(default_factory=SidePanel)
    share: float = 1.0
    moment: int | None = None
    finding: int | None = None
    """The finding that is pointed at."""
    said: list[tuple[str, MessageLevel]] = field(default_factory=list)
    """Sentences to be shown."""
    gone: bool = False
    """The window is to close."""
    _looked: tuple[tuple[object, ...], Preview] | None = None

    # What is there

    @property
    def pattern(self) -> Pattern:
        """The drawing as it is shown."""
        return self.work.pattern if self.live is None else self.live

    @property
    def picked_creases(self) -> tuple[Crease, ...]:
        """What is picked, as it is shown."""
        creases = self.pattern.creases
        return tuple(creases[i] for i in sorted(self.work.picked) if i < len(creases))

    @property
    def table(self) -> ToolContext:
        """What the tools work on."""
        return ToolContext(self.work.pattern, self.work.picked, self.setting, self.live)

    @property
    def result(self) -> Result | None:
        """What is known, of this drawing or the one before."""
        return self.worker.result

    @property
    def fresh(self) -> Result | None:
        """What is known of the drawing that is shown."""
        result = self.worker.result
        return result if result is not None and result.pattern is self.pattern else None

    @property
    def sight(self) -> Preview:
        """What a press would do."""
        if self.hand is None:
            return NOTHING
        now = (self.tool, self.work, self.setting, self.hand, self.live)
        if self._looked is None or any(a is not b for a, b in zip(self._looked[0], now, strict=True)):
            self._looked = (now, pointer.look(self.tool, self.table, self.hand))
        return self._looked[1]

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What there is to say about the drawing; an empty sheet is no fault, and a wall still to come is none."""
        result = self.result
        if result is None or result.study is None or not result.pattern.creases:
            return ()
        found = result.study.report.findings
        return tuple(structs.replace(f, level="note") if f.code == "open-side" else f for f in found)

    def say(self, text: str, level: MessageLevel = "note") -> None:
        """Show a sentence."""
        if text:
            self.said.append((text, level))

    # The hand

    def press(self) -> None:
        """The button goes down where the hand is."""
        if self.hand is not None:
            self._take(pointer.press(self.tool, self.table, self.hand))

    def drag(self) -> None:
        """The hand has moved with the button down."""
        if self.hand is not None:
            self._take(pointer.drag(self.tool, self.table, self.hand))

    def release(self) -> None:
        """The button comes up."""
        if self.hand is not None:
            self._take(pointer.release(self.tool, self.table, self.hand))

    def home(self) -> None:
        """One step home."""
        if self.live is None and not self.tool.busy and self.right.mode != "hull":
            self.right.mode = "hull"
            return
        self.live = None
        self._take(pointer.home(self.tool, self.table))

    def turn_to(self, mode: Mode) -> None:
        """Bring a page of the right half to the front. Beside the others nothing is laid, only picked and pushed."""
        if mode != "hull":
            self.take_up("pick")
        self.right.mode = mode

    def take_up(self, name: ToolName) -> None:
        """Take up a tool."""
        self.live, self.tool = None, Tool(name)
        self.right.mode = self.right.mode if name == "pick" else "hull"
        if name != "pick":
            self.work = self.work.picking(frozenset())
        self.changed()

    def lay_typed(self) -> None:
        """Lay the line that is shown."""
        if self.hand is not None:
            self._take(laying.lay_typed(self.tool, self.table, self.hand))

    def _take(self, move: ToolResult) -> None:
        before = self.work.pattern
        # A drag that gives the same drawing again keeps the one there is, and with it what is known of it.
        self.tool, self.live = move.tool, self.live if move.shown == self.live else move.shown
        pairs = () if self.live is None else zip(before.creases, self.live.creases, strict=True)
        moved = {i for i, (a, b) in enumerate(pairs) if a is not b and a != b}
        self.moving = frozenset() if self.live is None else self.moving | moved
        self.work = self.work.edited(move.pattern, move.picked)
        self.say(move.said)
        self.changed()

    # Edits by a press of a button or a key

    def edit(self, change: Callable[[Pattern], Pattern], picked: frozenset[int] | None = None) -> None:
        """Change the drawing; what cannot be done is said."""
        try:
            self.work = self.work.edited(change(self.work.pattern), picked)
        except BadRequest as error:
            self.say(sentence(error), "warn")
        self.live = None
        self.changed()

    def set_sense(self, sense: Sense) -> None:
        """New lines, or what is picked, fold this way."""
        if self.work.picked:
            turned = sense in ("valley", "mountain")
            creases = self.work.pattern.creases
            flat = [i for i in self.work.picked if turned and creases[i].sense in ("cut", "guide")]
            half = self.setting.turn_rad
            self.edit(lambda p: edit.change(edit.change(p, self.work.picked, sense=sense), flat, turn_rad=half, free=half is None))
        else:
            self.setting = structs.replace(self.setting, sense=sense)

    def set_turn(self, turn_rad: float | None) -> None:
        """New lines, or what is picked, fold this far; None leaves it to be worked out."""
        if self.work.picked:
            self.edit(lambda p: edit.change(p, self.work.picked, turn_rad=turn_rad, free=turn_rad is None))
        else:
            self.setting = structs.replace(self.setting, turn_rad=turn_rad)

    def delete(self) -> None:
        """Take what is picked away."""
        picked = self.work.picked
        if picked:
            self.edit(lambda p: edit.drop(p, picked), frozenset())

    def alike(self) -> None:
        """Pick all that is like what is picked."""
        found = {j for i in self.work.picked for j in edit.alike(self.work.pattern, i)}
        self.work = self.work.picking(frozenset(found))

    def pick_all(self) -> None:
        """Pick every line."""
        self.tool = Tool()
        self.work = self.work.picking(frozenset(range(len(self.work.pattern.creases))))

    def mend(self, remedy: Remedy) -> None:
        """Carry out a remedy."""
        self.finding = None
        self.edit(lambda p: edit.apply_remedy(p, remedy), frozenset())
        self.say(f"Done: {remedy.text[0].lower()}{remedy.text[1:]}", "good")

    def undo(self) -> None:
        """One change back."""
        self._stand(self.work.undone())

    def redo(self) -> None:
        """One change forward again."""
        self._stand(self.work.redone())

    def _stand(self, work: Document) -> None:
        self.tool, self.live, self.work = Tool(self.tool.name), None, work
        self.changed()

    def changed(self) -> None:
        """The drawing may be another one: have it studied, and show the whole hull again."""
        if self.worker.result is None or self.pattern is not self.worker.result.pattern:
            self.moment = None
        self.worker.resting = self.live is None
        self.worker.ask(self.pattern, self.view)

    # Files

    def begin(self, pattern: Pattern, path: Path | None = None, *, unsaved: bool = False) -> None:
        """Put a drawing on the table."""
        self.work = Document(pattern) if unsaved else Document.opened(pattern, path)
        self.tool, self.live, self.lens, self.hand = Tool(), None, None, None
        self.page, self.asked, self.share, self.moment, self.finding = "sheet", "", 1.0, None, None
        self.right.begin()
        self.changed()

    def open_file(self, path: Path, *, ready: bool = False) -> str:
        """Open a file. A sentence when it cannot be; then all stays as it was."""
        try:
            pattern = read_pattern(path)
        except FolderError as error:
            return f"“{path.name}” cannot be opened. {sentence(error)}"
        # A ready pattern is a model: what is made of it is saved under another name.
        self.begin(pattern, None if ready else path)
        if not ready:
            self.memory.opened(path)
        return ""

    def save_file(self, path: Path) -> str:
        """Save. A sentence when it cannot be; the work stays on the table then."""
        try:
            write_pattern(self.work.pattern, path)
        except FolderError as error:
            return sentence(error)
        self.work = self.work.written(path)
        self.memory.opened(path)
        self.keeper.keep(self.work)
        self.say(f"Saved as {path.name}.", "good")
        return ""

    def unless_unsaved(self, then: Callable[[Editor], None]) -> None:
        """Do something that leaves this drawing behind, after asking when it is not saved."""
        if self.page == "start" or self.work.is_saved:
            then(self)
        else:
            self.asked, self.then = "leave", then

    def leave(self) -> None:
        """Do what was wanted before the question."""
        then, self.then, self.asked = self.then, None, ""
        self.keeper.drop()
        if then is not None:
            then(self)
