"""Better hulls: what mends a drawing, and what improves a family."""
