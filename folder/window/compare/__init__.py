"""The page on which hulls are compared."""
