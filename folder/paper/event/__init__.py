"""The pages of an event's day: slips, station sheets, places, certificates."""
