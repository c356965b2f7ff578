"""What would mend a drawing: remedies that are studied whole before they are offered, the best first."""

from folder.search.mend.rank import mending, remedies
from folder.search.mend.tried import StudiedRemedy

__all__ = ["StudiedRemedy", "mending", "remedies"]
