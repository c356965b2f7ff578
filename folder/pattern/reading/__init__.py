"""What hull a drawing means: its lines read as walls, hems and corners, and drawn again so that they close."""
