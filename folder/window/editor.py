"""The editor: a document, how it is looked at, and what is known of it. No pygame.

Document and view state are frozen. They are changed through the methods below and the functions of `commands`, which
are built on them; a view reads them and calls a command.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from msgspec import structs

from folder.errors import BadRequest
from folder.findings import Finding
from folder.pattern.pattern import Crease, Pattern
from folder.window.autosave import Autosave, Memory
from folder.window.background.offers import Offer, offers
from folder.window.background.result import Progress
from folder.window.background.worker import Worker
from folder.window.document import EMPTY, Document
from folder.window.event.day import open_event_rules
from folder.window.fold.better.state import BetterState
from folder.window.fold.film.player import Player
from folder.window.theme import MessageLevel
from folder.window.tools import gesture, laying
from folder.window.tools.tool import Preview, Tool, ToolContext, ToolName, ToolResult, sentence
from folder.window.view_state import ViewState

BETTER = "better"
"""The search for a better hull."""
NO_PREVIEW = Preview((0.0, 0.0), "")


class Editor:
    """What the window is about."""

    def __init__(self, worker: Worker, autosave: Autosave, memory: Memory) -> None:
        self.worker, self.autosave, self.memory = worker, autosave, memory
        self.focus_request = ""
        """The widget that is to get the focus."""
        self.sheet_size = (600.0, 600.0)
        """The room the sheet has in the window, logical px: told by its view."""
        self._document, self._state = Document.opened(EMPTY), ViewState(object_choice=memory.choice)
        self._messages: list[tuple[str, MessageLevel]] = []
        self._preview: tuple[tuple[object, ...], Preview] | None = None
        self._numbers: tuple[int | None, ...] = ()

    # What is there

    @property
    def document(self) -> Document:
        """The drawing, its history, what is picked, where it is kept."""
        return self._document

    @property
    def state(self) -> ViewState:
        """How it is looked at."""
        return self._state

    @property
    def pattern(self) -> Pattern:
        """The drawing as it is shown."""
        drag_pattern = self._state.drag_pattern
        return self._document.pattern if drag_pattern is None else drag_pattern

    @property
    def picked_creases(self) -> tuple[Crease, ...]:
        """What is picked, as it is shown."""
        creases = self.pattern.creases
        return tuple(creases[i] for i in sorted(self._document.picked) if i < len(creases))

    @property
    def context(self) -> ToolContext:
        """What the tools work on."""
        return ToolContext(self._document.pattern, self._document.picked, self._state.setting, self._state.drag_pattern)

    @property
    def result(self) -> Progress | None:
        """What is known, of this drawing or the one before."""
        return self.worker.result

    @property
    def fresh(self) -> Progress | None:
        """What is known of the drawing that is shown."""
        result = self.worker.result
        return result if result is not None and result.pattern is self.pattern else None

    @property
    def preview(self) -> Preview:
        """What a press would do."""
        state = self._state
        if state.pointer is None:
            return NO_PREVIEW
        now = (state.tool, self._document, state.setting, state.pointer, state.drag_pattern)
        if self._preview is None or any(a is not b for a, b in zip(self._preview[0], now, strict=True)):
            self._preview = (now, gesture.look(state.tool, self.context, state.pointer))
        return self._preview[1]

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What there is to say about the drawing; an empty sheet is no fault, and a wall still to come is none."""
        result = self.result
        if result is None or result.study is None or not result.pattern.creases:
            return ()
        found = result.study.report.findings
        return tuple(structs.replace(f, level="note") if f.code == "open-side" else f for f in found)

    @property
    def step_numbers(self) -> tuple[int | None, ...]:
        """For each crease of the drawing at rest the number of the step that makes it, as on paper; those from before while
        the new ones are being found, none where these cannot be.
        """
        known, creases = self.worker.result, self._document.pattern.creases
        if known is not None and known.pattern is self._document.pattern and known.order is not None:
            self._numbers = known.numbers
        return self._numbers if len(self._numbers) == len(creases) else (None,) * len(creases)

    @property
    def offers(self) -> tuple[Offer, ...]:
        """What would mend the drawing, the best first; nothing while that is not known, and for an empty sheet."""
        if self._state.drag_pattern is not None or not self._document.pattern.creases:
            return ()
        return offers(self.worker, self.fresh, self._state.camera) or ()

    # What is said

    def say(self, text: str, level: MessageLevel = "note") -> None:
        """Show a sentence."""
        if text:
            self._messages.append((text, level))

    def take_messages(self) -> list[tuple[str, MessageLevel]]:
        """The sentences to be shown, once each."""
        messages, self._messages = self._messages, []
        return messages

    # Changes everything else is made of

    def show(self, state: ViewState) -> None:
        """Look at it another way."""
        self._state = state

    def put(self, document: Document) -> None:
        """Another state of the document; what was being dragged is dropped."""
        self._document = document
        self._state = structs.replace(
            self._state, drag_pattern=None, moved_creases=frozenset(), before_drag=None, correction=None
        )
        self.changed()

    def pick(self, picked: frozenset[int]) -> None:
        """Pick creases."""
        self._document = self._document.picking(picked)

    def saved_as(self, path: Path) -> None:
        """The drawing stands in a file now."""
        self._document = self._document.written(path)

    def edit(self, change: Callable[[Pattern], Pattern], picked: frozenset[int] | None = None) -> None:
        """Change the drawing; what cannot be done is said."""
        try:
            self.put(self._document.edited(change(self._document.pattern), picked))
        except BadRequest as error:
            self.say(sentence(error), "warn")
            self.put(self._document)

    def begin(self, pattern: Pattern, path: Path | None = None, *, unsaved: bool = False) -> None:
        """Open a drawing."""
        self._document = Document(pattern) if unsaved else Document.opened(pattern, path)
        self._state = self._state.opened()
        self.changed()

    def changed(self) -> None:
        """The drawing may be another one: have it studied, and show the whole hull again."""
        if self.worker.result is None or self.pattern is not self.worker.result.pattern:
            self._state = structs.replace(self._state, player=Player())
        rules = open_event_rules(self.memory)
        if self._state.better.of is not None and (self.pattern is not self._state.better.of or rules != self.worker.rules):
            self.drop_better()
        self.worker.resting = self._state.drag_pattern is None
        self.worker.rules = rules
        self.worker.ask(self.pattern, self._state.camera)

    def drop_better(self) -> None:
        """No better hull is looked for any more, nor offered."""
        self.worker.stop_search(BETTER)
        self._state = structs.replace(self._state, better=BetterState())

    def study_again(self) -> None:
        """Have the same drawing studied anew: what real builds did has changed."""
        self._document = structs.replace(self._document, pattern=structs.replace(self._document.pattern))
        self.changed()

    # The pointer on the sheet

    def press(self) -> None:
        """The button goes down where the pointer is."""
        self._gesture(gesture.press)

    def drag(self) -> None:
        """The pointer has moved with the button down."""
        self._gesture(gesture.drag)

    def release(self) -> None:
        """The button comes up."""
        self._gesture(gesture.release)

    def lay_typed(self) -> None:
        """Lay the line that is shown."""
        self._gesture(laying.lay_typed)

    def drop_gesture(self) -> None:
        """What the hand has begun is dropped, and nothing is changed."""
        self._state = structs.replace(self._state, tool=Tool(self._state.tool.name), drag_pattern=None, before_drag=None)
        self.changed()

    def home(self) -> None:
        """One step home."""
        state = self._state
        self._state = structs.replace(state, drag_pattern=None, before_drag=None)
        self._take(gesture.home(state.tool, self.context))

    def take_up(self, name: ToolName) -> None:
        """Take up a tool."""
        self._state = structs.replace(self._state, drag_pattern=None, before_drag=None, tool=Tool(name))
        if name != "pick":
            self.pick(frozenset())
        self.changed()

    def _gesture(self, answer: gesture.ToolAnswer) -> None:
        if self._state.pointer is not None:
            self._take(answer(self._state.tool, self.context, self._state.pointer))

    def _take(self, move: ToolResult) -> None:
        before, state = self._document.pattern, self._state
        # A drag that gives the same drawing again keeps the one there is, and with it what is known of it.
        shown = state.drag_pattern if move.drag_pattern == state.drag_pattern else move.drag_pattern
        moved_creases = frozenset[int]() if shown is None else state.moved_creases | creases_moved(before, shown)
        before_drag = state.before_drag if state.before_drag is not None or shown is None else self.fresh
        self._state = structs.replace(
            state, tool=move.tool, drag_pattern=shown, moved_creases=moved_creases,
            before_drag=None if shown is None else before_drag, correction=move.correction or state.correction,
        )  # fmt: skip
        if move.as_drawn is not None:
            self._document = self._document.edited(move.as_drawn, frozenset())
        self._document = self._document.edited(move.pattern, move.picked)
        self.say(move.message)
        self.changed()


def creases_moved(before: Pattern, shown: Pattern) -> frozenset[int]:
    """The creases of a drawing that another one has elsewhere, or no more."""
    if len(before.creases) == len(shown.creases):
        return frozenset(i for i, (a, b) in enumerate(zip(before.creases, shown.creases, strict=True)) if a is not b and a != b)
    kept = set(shown.creases)
    return frozenset(i for i, crease in enumerate(before.creases) if crease not in kept)
