"""The folded sheet as a vessel: its skin, its rim, its measures."""
