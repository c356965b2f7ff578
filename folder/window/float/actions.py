"""What is done on the page Float: guess, load object by object, take back, end, begin anew. What is confirmed is kept on disk."""

from __future__ import annotations

import math
from pathlib import Path

from msgspec.structs import replace

from folder.cargo.settle import settled
from folder.cargo.spot import Spot
from folder.findings import Point
from folder.water.tub import Tub
from folder.window.commands.look import turn_to
from folder.window.editor import Editor
from folder.window.float.floating import best_load_place
from folder.window.float.knowledge import NEAR, KnownHull, known_of, next_spot
from folder.window.float.state import MOST_COUNT, MOST_TRIES, Ending, FloatState, Shelf, Try, TubLoading, keep_shelf, shelf_of


def show_float(editor: Editor, state: FloatState) -> None:
    """Another state of the page."""
    if state != editor.state.floating:
        editor.show(replace(editor.state, floating=state))


def come_to(editor: Editor, known: KnownHull) -> None:
    """Another hull or object than before has come into the tub: what is kept of it is there again."""
    state = editor.state.floating
    if state.of == known.of:
        return
    shelf = shelf_of(known.of.design, _directory(editor))
    loading = shelf.loading if shelf.of == known.of else TubLoading()
    before = state.before
    if state.of.design != known.of.design:
        done = [one.held for one in state.tries if one.item == known.of.item and one.each_g == known.of.each_g]
        before = max(done) if done else None
    elif state.of.item != known.of.item:
        before = None
    show_float(
        editor,
        replace(state, of=known.of, loading=loading, tries=shelf.tries, before=before, told=False, cursor=None, layer=None),
    )


def _directory(editor: Editor) -> Path:
    """Where loadings are kept: beside the safety copies of the work."""
    return editor.autosave.directory.parent


def _confirm(editor: Editor, state: FloatState) -> None:
    """Show it, and keep it on disk."""
    show_float(editor, state)
    editor.say(keep_shelf(Shelf(state.of, state.loading, state.tries), _directory(editor)), "warn")


def set_guess(editor: Editor, guess: int | None) -> None:
    """The pupil says how many it will take; that stands once the first object is aboard."""
    state = editor.state.floating
    if guess != state.loading.guess and not state.loading.spots:
        _confirm(editor, replace(state, loading=replace(state.loading, guess=guess)))


def add_at(editor: Editor, at: Point | None = None) -> None:
    """One object more: where it is let go, in the hull's frame, or on the next place of the plan."""
    known = known_of(editor)
    if known is None or known.wrong or known.item is None:
        return
    come_to(editor, known)
    state = editor.state.floating
    loading = state.loading
    if loading.ending:
        editor.say("This loading is over. Begin again to load once more.")
        return
    if len(loading.spots) >= MOST_COUNT:
        editor.say(f"{MOST_COUNT} are as many as can be loaded here.", "warn")
        return
    spot = _spot_for(known, loading.spots, at)
    if spot is None:
        editor.say("There is no room for one more there.", "warn")
        return
    _added(editor, known, state, (*loading.spots, spot))


def _spot_for(known: KnownHull, spots: tuple[Spot, ...], at: Point | None) -> Spot | None:
    assert known.item is not None
    planned = next_spot(known.plan, spots, known.item)
    if at is None:
        if planned is not None:
            return planned
        at = best_load_place(known.hull, known.study)
    elif planned is not None and math.dist(at, (planned.x_mm, planned.y_mm)) < NEAR * min(known.item.extents_mm[:2]):
        return planned
    turned = planned.rotation_rad if planned is not None else 0.0
    return settled(known.room, known.item, spots, at[0], at[1], turned)


def _added(editor: Editor, known: KnownHull, state: FloatState, spots: tuple[Spot, ...]) -> None:
    lying = known.lying(state, spots)
    ending: Ending = "" if lying.afloat else "capsizes" if lying.state == "capsizes" else "floods"
    after = replace(state, loading=replace(state.loading, spots=spots, ending=ending), cursor=None, layer=None)
    _confirm(editor, _noted(known, after) if ending else after)


def _noted(known: KnownHull, state: FloatState) -> FloatState:
    """With the loading that is over among the others."""
    assert known.item is not None
    loading = state.loading
    one = Try(known.item.name, known.item.label, known.each_g or 0.0, loading.guess, loading.held, loading.ending)
    return replace(state, tries=(one, *state.tries)[:MOST_TRIES])


def take_one_back(editor: Editor) -> None:
    """The last object comes out again; a loading that is over goes on."""
    state = editor.state.floating
    loading = state.loading
    if not loading.spots:
        return
    tries = state.tries[1:] if loading.ending else state.tries
    spots = loading.spots if loading.ending == "enough" else loading.spots[:-1]
    _confirm(editor, replace(state, loading=replace(loading, spots=spots, ending=""), tries=tries, cursor=None, layer=None))


def all_at_once(editor: Editor) -> None:
    """For the impatient: object upon object by the plan, until water comes in or there is no place left."""
    known = known_of(editor)
    if known is None or known.wrong or known.item is None:
        return
    come_to(editor, known)
    state = editor.state.floating
    spots = state.loading.spots
    if state.loading.ending or known.plan is None:
        editor.say("" if state.loading.ending else "Working out where they go. Press once more in a moment.")
        return
    while len(spots) < MOST_COUNT:
        spot = next_spot(known.plan, spots, known.item)
        if spot is None:
            break
        spots = (*spots, spot)
        if not known.lying(state, spots).afloat:
            break
    if len(spots) > len(state.loading.spots):
        _added(editor, known, state, spots)
    if known.lying(state, spots).afloat:
        enough(editor)


def enough(editor: Editor) -> None:
    """The pupil stops: what is in the hull counts."""
    known, state = known_of(editor), editor.state.floating
    if known is None or known.item is None or state.loading.ending or not state.loading.spots:
        return
    _confirm(editor, _noted(known, replace(state, loading=replace(state.loading, ending="enough"))))


def again(editor: Editor) -> None:
    """An empty hull, and a new guess."""
    state = editor.state.floating
    _confirm(editor, replace(state, loading=TubLoading(), told=False, cursor=None, layer=None))


def turn_map(editor: Editor) -> None:
    """The map as large as the boat, or the boat again."""
    state = editor.state.floating
    show_float(editor, replace(state, large_map=not state.large_map))


def print_plan(editor: Editor) -> None:
    """To the page Print, with the card ticked: the plan is printed with it, every layer of it."""
    printing = editor.state.printing
    kinds = printing.kinds if "card" in printing.kinds else (*printing.kinds, "card")
    editor.show(replace(editor.state, printing=replace(printing, kinds=kinds)))
    turn_to(editor, "print")


def turn_coach(editor: Editor) -> None:
    """The coach's words, or not."""
    state = editor.state.floating
    show_float(editor, replace(state, coach=not state.coach))


def tell_answer(editor: Editor) -> None:
    """For the coach: the answer before there is a guess."""
    show_float(editor, replace(editor.state.floating, told=True))


def set_hand(editor: Editor, hand: str) -> None:
    """How careful the hands are that fold and load."""
    show_float(editor, replace(editor.state.floating, hand=hand))


def set_tub(editor: Editor, tub: Tub) -> None:
    """Another tub, or more water in it."""
    show_float(editor, replace(editor.state.floating, tub=tub))


def show_layer(editor: Editor, layer: int | None) -> None:
    """Leaf through the layers of the map."""
    show_float(editor, replace(editor.state.floating, layer=layer))


def set_cursor(editor: Editor, at: Point | None) -> None:
    """Where the keys would let an object go."""
    show_float(editor, replace(editor.state.floating, cursor=at))
