"""Gearlab: how power flows through the gear train of an automatic transmission."""

from .catalogue import load_train, train_names
from .describe import describe
from .doctor import doctor
from .motion import solve_speeds
from .powerflow import PowerFlow, power_flow, range_flows
from .setupcard import set_up_card

__all__ = [
    "PowerFlow",
    "describe",
    "doctor",
    "load_train",
    "power_flow",
    "range_flows",
    "set_up_card",
    "solve_speeds",
    "train_names",
]
