"""The division a pupil works on paper, and drills in it."""
