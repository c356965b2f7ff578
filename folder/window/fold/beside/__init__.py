"""Beside the sheet: the verdict over the hull, what it will carry, what was found, what would mend it."""
