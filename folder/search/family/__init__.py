"""The search of a family in parts: its designs as places, the climbs, what lies beside the best, the processes."""
