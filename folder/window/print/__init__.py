"""The page on which pages are printed."""
