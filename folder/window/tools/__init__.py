"""What the pointer does on the sheet. No pygame."""
