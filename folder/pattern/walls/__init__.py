"""The walls of a hull as a plan of a few numbers, read from a drawing, changed, and drawn again with their corners."""
