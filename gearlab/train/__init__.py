"""A train: its gear sets, the one mesh law, its file, and the shipped trains."""
