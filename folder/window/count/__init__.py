"""Counting on screen: the division of the day worked out, and drills."""
