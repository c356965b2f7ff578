"""The page on which it floats."""
