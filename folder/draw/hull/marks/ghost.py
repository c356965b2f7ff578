"""The hull as it was before, as a ghost: pale lines behind the new one, its rim dotted over it."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from msgspec.structs import replace

from folder.draw.hull.foil import rim_edges
from folder.draw.hull.lift import layer_lifts
from folder.draw.hull.lines import seen_lines
from folder.draw.hull.view import View, whole_frame
from folder.draw.picture import Picture
from folder.draw.style import GUIDE
from folder.fold.layers.order import Layering
from folder.fold.place import Folded

PALE = "#9FB0BF"


@lru_cache(maxsize=4)  # a drag shows the same one in every frame
def ghost_under(folded: Folded, view: View, layering: Layering | None = None) -> Picture:
    """All its lines that are seen, pale; its box is its frame."""
    lifts = layer_lifts(folded, layering)
    lines = seen_lines(folded, view, lifts * np.sign(folded.normals @ view.axes[2]), [(rim_edges(folded), "edge")])
    return Picture.of([replace(line, colour=PALE) for line in lines], whole_frame(folded, view))


@lru_cache(maxsize=4)
def ghost_over(folded: Folded, view: View, layering: Layering | None = None) -> Picture:
    """Its rim alone, dotted."""
    under = ghost_under(folded, view, layering)
    rim = [replace(line, style="guide", colour=GUIDE) for line in under.marks if getattr(line, "style", "") == "edge"]
    return Picture.of(rim, under.box)
