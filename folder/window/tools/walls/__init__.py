"""Tools that work on walls: raised, moved, leaned, hemmed. No pygame."""
