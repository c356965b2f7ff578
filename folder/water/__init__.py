"""The vessel afloat: displaced water, the pose at rest, what it carries."""
