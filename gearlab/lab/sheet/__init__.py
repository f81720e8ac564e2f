"""Answer sheets that lose nothing, and a student's work on them."""
