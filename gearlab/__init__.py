"""Gearlab: how power flows through the gear train of an automatic transmission."""

from importlib import import_module

from .catalogue import load_train, train_names
from .describe import describe
from .doctor import doctor
from .glossary import glossary, read_words, word_list
from .identify import Count, identify
from .loads import member_loads
from .motion import solve_speeds
from .powerflow import PowerFlow, power_flow, range_flows
from .setupcard import set_up_card
from .survey import survey

# Loaded when they are first asked for, so that the rest is there at once.
_LATER = {
    "apply_chart": "applychart",
    "check_chart": "chartcheck",
    "describe_loads": "loadwords",
    "early_late": "shifts",
    "explain_count": "explain",
    "levers": "leverage",
    "look_up": "wordtable",
    "marks_together": "hunting",
    "power_paths": "paths",
    "product_table": "product",
    "roll_back": "rollback",
    "shift": "shifts",
    "shift_table": "shifts",
    "sweep": "variants",
}

__all__ = [
    "Count",
    "PowerFlow",
    "describe",
    "doctor",
    "glossary",
    "identify",
    "load_train",
    "member_loads",
    "power_flow",
    "range_flows",
    "read_words",
    "set_up_card",
    "solve_speeds",
    "survey",
    "train_names",
    "word_list",
    *_LATER,
]


def __getattr__(name):
    if name not in _LATER:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    value = getattr(import_module(f".{_LATER[name]}", __name__), name)
    globals()[name] = value
    return value


def __dir__():
    return __all__
