"""The drawing cut into vertices, edges and faces."""
