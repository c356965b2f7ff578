"""The largest value of a function that has no slopes: of one number, of a few, and of one that takes long."""
