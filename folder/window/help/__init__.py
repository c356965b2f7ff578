"""Help: first steps, the words, every key."""
