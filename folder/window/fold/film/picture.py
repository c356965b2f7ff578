"""The sheet at a moment of the film of its folding, painted."""

from __future__ import annotations

from collections.abc import Iterator

import pygame

from folder.draw.hull.foil import foil
from folder.draw.hull.lift import layer_lifts
from folder.draw.hull.lines import EdgeMark
from folder.draw.hull.rough import rough_picture, takes_long
from folder.draw.hull.view import View
from folder.draw.picture import box_round
from folder.fold.place import folded
from folder.fold.sequence.film import FilmState
from folder.fold.sequence.steps import FoldStep
from folder.window.background.result import Progress, step_view
from folder.window.fold.film.player import Player
from folder.window.paint.foil import foil_in_parts, paint_foil
from folder.window.widgets.glyph_cache import GlyphCache


def film_state(result: Progress, player: Player) -> FilmState:
    """The sheet at the moment that the player shows."""
    assert result.study is not None
    assert result.order is not None
    step = min(player.step or 0, len(result.order.steps) - 1)
    if result.film is not None:
        return result.film.at(step, player.share)
    # The film is being found: the sheet as it is when the step is done, or before it.
    done = player.share > 0.0
    over = result.order.steps[step].over if done else step > 0 and result.order.steps[step - 1].over
    shape = folded(result.study.faces, (result.order.steps[step].turn if done else result.order.before(step)).copy())
    return FilmState(shape, shape, float(over))


def film_in_parts(
    surface: pygame.Surface, state: FilmState, step: FoldStep, camera: View, glyph_cache: GlyphCache, scale: float
) -> Iterator[int]:
    """Paint the sheet at a moment of a step, in parts where it is large; where it goes over to another state, one through the other."""
    view = step_view(camera, state.over)
    marks: list[EdgeMark] = [(step.edges, "valley")] if step.kind == "crease" else []
    if takes_long(state.shape):
        yield from foil_in_parts(surface, rough_picture(state.shape, view), glyph_cache, scale)
        return
    lifts = layer_lifts(state.rest)
    picture = foil(state.shape, view, lifts=lifts, edge_marks=marks)
    if state.other is None:
        paint_foil(surface, picture, glyph_cache, scale)
        return
    other = foil(state.other, view, lifts=lifts, edge_marks=marks)
    frame = box_round((*picture.box.corners, *other.box.corners))
    paint_foil(surface, picture, glyph_cache, scale, frame)
    over = pygame.Surface(surface.get_size())
    paint_foil(over, other, glyph_cache, scale, frame)
    over.set_alpha(round(255 * state.fade))
    surface.blit(over, (0, 0))
