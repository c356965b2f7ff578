"""“Make this better” on the page Fold."""
