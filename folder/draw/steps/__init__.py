"""The order of folds as pictures with words."""
