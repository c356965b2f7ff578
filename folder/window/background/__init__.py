"""Work done away from the drawing thread. No pygame."""
