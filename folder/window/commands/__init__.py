"""What can be done in the window: functions on the editor, and the table of those that have a name, words and keys."""
