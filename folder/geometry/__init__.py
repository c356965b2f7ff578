"""Turns, rigid motions and triangle soups: numpy alone."""
