"""The editor: everything the window is about at one moment, and what may be done to it. No pygame.

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
from folder.window.tools import gesture, laying
from folder.window.tools.tool import Preview, Setting, SheetPointer, Tool, ToolContext, ToolName, ToolResult, sentence
from folder.window.viewport import Viewport

DialogName = Literal["", "open", "save", "where", "leave", "keys"]
NO_PREVIEW = Preview((0.0, 0.0), "")


class Editor(Struct):
    """The state of the window."""

    worker: Worker
    autosave: Autosave
    memory: Memory
    document: Document = field(default_factory=Document)
    tool: Tool = field(default_factory=Tool)
    setting: Setting = field(default_factory=Setting)
    drag_pattern: Pattern | None = None
    moved_creases: frozenset[int] = frozenset()
    """The creases that the drag has moved so far."""
    pointer: SheetPointer | None = None
    by_keys: bool = False
    """The hand is where the arrow keys put it."""
    page: Literal["start", "sheet"] = "start"
    dialog: DialogName = ""
    after_dialog: Callable[[Editor], None] | None = None
    """What was wanted when the question came up whether to save first."""
    viewport: Viewport | None = None
    """How the sheet is looked at, logical px from the upper left of its pane; None shows it whole."""
    view: View = field(default_factory=View)
    side_panel: SidePanel = field(default_factory=SidePanel)
    share: float = 1.0
    step_index: int | None = None
    finding: int | None = None
    """The finding that is pointed at."""
    messages: list[tuple[str, MessageLevel]] = field(default_factory=list)
    """Sentences to be shown."""
    is_closing: bool = False
    """The window is to close."""
    _preview_cache: tuple[tuple[object, ...], Preview] | None = None

    # What is there

    @property
    def pattern(self) -> Pattern:
        """The drawing as it is shown."""
        return self.document.pattern if self.drag_pattern is None else self.drag_pattern

    @property
    def picked_creases(self) -> tuple[Crease, ...]:
        """What is picked, as it is shown."""
        creases = self.pattern.creases
        return tuple(creases[i] for i in sorted(self.document.picked) if i < len(creases))

    @property
    def context(self) -> ToolContext:
        """What the tools work on."""
        return ToolContext(self.document.pattern, self.document.picked, self.setting, self.drag_pattern)

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
    def preview(self) -> Preview:
        """What a press would do."""
        if self.pointer is None:
            return NO_PREVIEW
        now = (self.tool, self.document, self.setting, self.pointer, self.drag_pattern)
        if self._preview_cache is None or any(a is not b for a, b in zip(self._preview_cache[0], now, strict=True)):
            self._preview_cache = (now, gesture.look(self.tool, self.context, self.pointer))
        return self._preview_cache[1]

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
            self.messages.append((text, level))

    # The hand

    def press(self) -> None:
        """The button goes down where the hand is."""
        if self.pointer is not None:
            self._take(gesture.press(self.tool, self.context, self.pointer))

    def drag(self) -> None:
        """The hand has moved with the button down."""
        if self.pointer is not None:
            self._take(gesture.drag(self.tool, self.context, self.pointer))

    def release(self) -> None:
        """The button comes up."""
        if self.pointer is not None:
            self._take(gesture.release(self.tool, self.context, self.pointer))

    def home(self) -> None:
        """One step home."""
        if self.drag_pattern is None and not self.tool.busy and self.side_panel.mode != "hull":
            self.side_panel.mode = "hull"
            return
        self.drag_pattern = None
        self._take(gesture.home(self.tool, self.context))

    def turn_to(self, mode: Mode) -> None:
        """Bring a page of the right half to the front. Beside the others nothing is laid, only picked and pushed."""
        if mode != "hull":
            self.take_up("pick")
        self.side_panel.mode = mode

    def take_up(self, name: ToolName) -> None:
        """Take up a tool."""
        self.drag_pattern, self.tool = None, Tool(name)
        self.side_panel.mode = self.side_panel.mode if name == "pick" else "hull"
        if name != "pick":
            self.document = self.document.picking(frozenset())
        self.changed()

    def lay_typed(self) -> None:
        """Lay the line that is shown."""
        if self.pointer is not None:
            self._take(laying.lay_typed(self.tool, self.context, self.pointer))

    def _take(self, move: ToolResult) -> None:
        before = self.document.pattern
        # A drag that gives the same drawing again keeps the one there is, and with it what is known of it.
        self.tool, self.drag_pattern = move.tool, self.drag_pattern if move.drag_pattern == self.drag_pattern else move.drag_pattern
        pairs = () if self.drag_pattern is None else zip(before.creases, self.drag_pattern.creases, strict=True)
        moved = {i for i, (a, b) in enumerate(pairs) if a is not b and a != b}
        self.moved_creases = frozenset() if self.drag_pattern is None else self.moved_creases | moved
        self.document = self.document.edited(move.pattern, move.picked)
        self.say(move.message)
        self.changed()

    # Edits by a press of a button or a key

    def edit(self, change: Callable[[Pattern], Pattern], picked: frozenset[int] | None = None) -> None:
        """Change the drawing; what cannot be done is said."""
        try:
            self.document = self.document.edited(change(self.document.pattern), picked)
        except BadRequest as error:
            self.say(sentence(error), "warn")
        self.drag_pattern = None
        self.changed()

    def set_sense(self, sense: Sense) -> None:
        """New lines, or what is picked, fold this way."""
        if self.document.picked:
            turned = sense in ("valley", "mountain")
            creases = self.document.pattern.creases
            flat = [i for i in self.document.picked if turned and creases[i].sense in ("cut", "guide")]
            half = self.setting.turn_rad
            self.edit(lambda p: edit.change(edit.change(p, self.document.picked, sense=sense), flat, turn_rad=half, free=half is None))
        else:
            self.setting = structs.replace(self.setting, sense=sense)

    def set_turn(self, turn_rad: float | None) -> None:
        """New lines, or what is picked, fold this far; None leaves it to be worked out."""
        if self.document.picked:
            self.edit(lambda p: edit.change(p, self.document.picked, turn_rad=turn_rad, free=turn_rad is None))
        else:
            self.setting = structs.replace(self.setting, turn_rad=turn_rad)

    def delete(self) -> None:
        """Take what is picked away."""
        picked = self.document.picked
        if picked:
            self.edit(lambda p: edit.drop(p, picked), frozenset())

    def alike(self) -> None:
        """Pick all that is like what is picked."""
        found = {j for i in self.document.picked for j in edit.alike(self.document.pattern, i)}
        self.document = self.document.picking(frozenset(found))

    def pick_all(self) -> None:
        """Pick every line."""
        self.tool = Tool()
        self.document = self.document.picking(frozenset(range(len(self.document.pattern.creases))))

    def mend(self, remedy: Remedy) -> None:
        """Carry out a remedy."""
        self.finding = None
        self.edit(lambda p: edit.apply_remedy(p, remedy), frozenset())
        self.say(f"Done: {remedy.text[0].lower()}{remedy.text[1:]}", "good")

    def undo(self) -> None:
        """One change back."""
        self._stand(self.document.undone())

    def redo(self) -> None:
        """One change forward again."""
        self._stand(self.document.redone())

    def _stand(self, document: Document) -> None:
        self.tool, self.drag_pattern, self.document = Tool(self.tool.name), None, document
        self.changed()

    def changed(self) -> None:
        """The drawing may be another one: have it studied, and show the whole hull again."""
        if self.worker.result is None or self.pattern is not self.worker.result.pattern:
            self.step_index = None
        self.worker.resting = self.drag_pattern is None
        self.worker.ask(self.pattern, self.view)

    # Files

    def begin(self, pattern: Pattern, path: Path | None = None, *, unsaved: bool = False) -> None:
        """Put a drawing on the table."""
        self.document = Document(pattern) if unsaved else Document.opened(pattern, path)
        self.tool, self.drag_pattern, self.viewport, self.pointer = Tool(), None, None, None
        self.page, self.dialog, self.share, self.step_index, self.finding = "sheet", "", 1.0, None, None
        self.side_panel.begin()
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
            write_pattern(self.document.pattern, path)
        except FolderError as error:
            return sentence(error)
        self.document = self.document.written(path)
        self.memory.opened(path)
        self.autosave.keep(self.document)
        self.say(f"Saved as {path.name}.", "good")
        return ""

    def unless_unsaved(self, after_dialog: Callable[[Editor], None]) -> None:
        """Do something that leaves this drawing behind, after asking when it is not saved."""
        if self.page == "start" or self.document.is_saved:
            after_dialog(self)
        else:
            self.dialog, self.after_dialog = "leave", after_dialog

    def leave(self) -> None:
        """Do what was wanted before the question."""
        after_dialog, self.after_dialog, self.dialog = self.after_dialog, None, ""
        self.autosave.drop()
        if after_dialog is not None:
            after_dialog(self)
