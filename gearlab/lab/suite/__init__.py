"""The labs of the suite, a module each; :mod:`gearlab.lab.suite.labs` finds them."""
