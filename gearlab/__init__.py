"""Gearlab: how power flows through the gear train of an automatic transmission."""

from importlib import import_module

from .ask.survey import survey
from .ask.teeth.count import Count
from .ask.teeth.identify import identify
from .doctor import doctor
from .say.describe import describe
from .say.glossary import glossary, read_words, word_list
from .say.setupcard import set_up_card
from .solve.loads import member_loads
from .solve.powerflow import PowerFlow, power_flow, range_flows
from .solve.speeds import solve_speeds
from .train.catalogue import load_train, train_names

# Loaded when they are first asked for, so that the rest is there at once.
_LATER = {
    "apply_chart": "ask.applychart",
    "check_chart": "ask.chartcheck",
    "class_plan": "lab.walk.plan",
    "describe_loads": "say.loadwords",
    "early_late": "ask.shifts",
    "explain_count": "ask.explain",
    "faults": "ask.faults.fault",
    "levers": "solve.levers",
    "look_up": "say.wordtable",
    "make_log": "ask.log.makelog",
    "marks_together": "ask.hunting",
    "next_test": "ask.faults.nexttest",
    "power_paths": "solve.paths",
    "preview_log": "ask.log.mapping",
    "product_table": "ask.product",
    "read_log": "ask.log.readlog",
    "roll_back": "ask.rollback",
    "shift": "ask.shifts",
    "shift_causes": "ask.shiftcauses",
    "shift_symptoms": "ask.shiftsymptoms",
    "shift_table": "ask.shifts",
    "suspects": "ask.faults.suspects",
    "sweep": "ask.teeth.sweep",
    "symptoms": "ask.faults.table",
    "take_home": "bench.takehome",
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
