"""Marking sheets: marks, ticks, progress and the page of a student."""
