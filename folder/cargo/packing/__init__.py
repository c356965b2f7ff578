"""Where objects fit: on the floor, in the room above it, in layers and heaps."""
