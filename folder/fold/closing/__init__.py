"""Turns that are left free, solved so that every vertex closes."""
