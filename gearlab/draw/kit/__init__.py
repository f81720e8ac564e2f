"""What every drawing stands on: shapes, scenes, the two painters, style, the page."""
