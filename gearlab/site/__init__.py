"""The suite as a web site that needs nothing installed: Python runs in the browser."""
