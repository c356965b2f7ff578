"""What stands at the hand on the sheet: the note while something is dragged, the menu of what can be done at a place."""
