"""The parts of the day, one module each."""
