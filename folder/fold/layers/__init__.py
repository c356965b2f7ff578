"""Where the folded sheet touches itself, and in which order its layers lie."""
