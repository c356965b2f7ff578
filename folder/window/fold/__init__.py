"""The page on which a hull is folded."""
