"""The folding as a film: its player, its picture, its strip."""
