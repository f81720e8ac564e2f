"""From what a vehicle does to what failed in its gear train.

A fault is a changed train with other elements applied, asked of the one solver.
"""
