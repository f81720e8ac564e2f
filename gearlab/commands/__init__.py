"""What ``python -m gearlab`` can do, a module for each command."""
