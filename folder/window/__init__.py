"""The window: the only place that knows pygame."""

import os
import sys

if sys.platform.startswith("linux"):
    # Must be said before pygame is imported: an accelerated window takes 4 ms to show what a plain one shows in 0.2.
    os.environ.setdefault("SDL_FRAMEBUFFER_ACCELERATION", "0")
os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")
