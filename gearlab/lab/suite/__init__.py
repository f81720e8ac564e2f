"""The labs of the suite, a module each; :mod:`gearlab.lab.labs` finds them."""
