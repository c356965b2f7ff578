"""In which order objects are set down, and on which places."""
