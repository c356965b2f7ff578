"""Pictures as plain data, in mm."""
