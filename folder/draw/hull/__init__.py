"""The folded sheet as a picture."""
