"""Trials in the window: noted in ten seconds, seen side by side, corrected, carried to and from a spreadsheet."""
