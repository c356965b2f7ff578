"""The order of folds, and the states between them."""
