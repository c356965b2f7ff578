"""What is drawn into the picture of a folded sheet, and what a hand finds in it."""
