"""The day: an event's rules, its teams, what is noted at the tubs, and the places."""
