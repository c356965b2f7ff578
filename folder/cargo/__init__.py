"""What the hull carries: objects, where they go, how many."""
