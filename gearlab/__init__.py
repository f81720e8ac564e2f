"""Gearlab: how power flows through the gear train of an automatic transmission."""

from .catalogue import load_train, train_names
from .motion import solve_speeds
from .powerflow import PowerFlow, power_flow, range_flows

__all__ = [
    "PowerFlow",
    "load_train",
    "power_flow",
    "range_flows",
    "solve_speeds",
    "train_names",
]
