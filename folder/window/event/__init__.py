"""The page Event: the day."""
