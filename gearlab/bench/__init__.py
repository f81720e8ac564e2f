"""The bench as pages: what a train does in each state, as plain data for a front end.

Nothing here needs a notebook; :mod:`gearlab.panels` shows the pages in one, and
:mod:`gearlab.bench.takehome` writes them into a file.
"""
