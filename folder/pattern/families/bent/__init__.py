"""Walls that bend, and the ears that their spare sheet makes."""
