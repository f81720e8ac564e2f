"""What stands under everything: checks, numbers, whole-number vectors, files."""
