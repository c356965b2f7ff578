"""The tub: hull, water and objects as they are seen from a little above."""
