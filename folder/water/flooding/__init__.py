"""The load at which water comes in."""
