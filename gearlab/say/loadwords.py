"""Torque, power path and losses in words."""

from ..base.numerals import exactly, listed, percent
from ..solve.paths import power_paths
from ..solve.powerflow import a_flow
from ..train.train import CASE, Brake, OneWayClutch


def describe_loads(flow):
    """What each holding element takes, how the power goes, and what is lost.

    Plain text in short sentences. Torques are parts of the input torque.

    Parameters
    ----------
    flow : PowerFlow

    Raises
    ------
    ValueError
        Something that is no flow.

    >>> import gearlab
    >>> train = gearlab.load_train("five-range")
    >>> print(describe_loads(gearlab.power_flow(train, "3")))
    The common-sun brake holds the common-sun shaft with 0.407 (11/27) forward. ...
    """
    if a_flow(flow).state == "tied up":
        return "Tied up: the torques are not determined."
    if flow.state != "drives":
        return "No torque goes through: nothing is driven."
    if flow.efficiency == 0:
        return "The train locks itself: the losses take all that is put in."
    said = [_element(flow, name) for name in flow.train.by_name]
    said += [_case(flow), _output(flow), power_paths(flow).words, _efficiency(flow)]
    return " ".join(sentence for sentence in said if sentence)


def _element(flow, name):
    """What one element takes; nothing is said of one that takes nothing."""
    value, part = flow.torques[name], flow.train.by_name[name]
    if value is None:
        return f"How much the {name} takes is not determined."
    if value == 0:
        return ""
    member = flow.train.body_of[part.sides[0]]
    if isinstance(part, Brake):
        return f"The {name} holds the {member} with {_sized(value)}."
    if isinstance(part, OneWayClutch):
        return f"The {name} pushes the {member} with {_sized(value)}."
    return f"The {name} passes {_sized(value)} on to the {member}."


def _case(flow):
    value = flow.torques[CASE]
    if not value:
        return ""
    fixed = flow.train.shafts.get(CASE, ())
    what = listed(fixed) if fixed else "the gears that bear on it"
    return f"The case holds {what} with {_sized(value)}."


def _output(flow):
    if flow.torque_ratio is None:
        return ""
    return f"Output torque is {exactly(abs(flow.torque_ratio))} × input torque."


def _efficiency(flow):
    if flow.losses is None:
        return ""
    if flow.efficiency is None:
        return (
            "The losses are not determined: what the meshes carry, or which one-way"
            " clutch holds, is not."
        )
    return f"Of the power put in, {percent(flow.efficiency, 2)} comes out."


def _sized(value):
    return f"{exactly(abs(value))} {'forward' if value > 0 else 'backward'}"
