"""Ready-made hulls: one module a kind of hull, and what they share."""
