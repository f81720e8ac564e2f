"""Questions about the load on any unit: coasting, one-way clutches, the power path."""

from ...base.numerals import listed, number
from ...solve.facts import element_states, member_roles
from ...solve.powerflow import LOAD_WORDS
from ..question.question import Also, Choice, Row
from ..question.slips import slip
from .any_unit import (
    UnitTopics,
    applied_told,
    driving,
    each_range,
    members_of,
    train_of,
)
from .common import CONVENTION, flow_in
from .unit_ranges import rows_of_others

SENSES = {"drives": "the engine brakes", "freewheels": "the unit freewheels"}
LOCKED = "the output is locked"
STATES = {
    "holds": "it holds",
    "overruns": "it overruns",
    "backs up": "it backs up an applied element",
    "at rest": "it stands still and carries nothing",
}
topic = UnitTopics()


# Coasting -------------------------------------------------------------------------


@topic.of("coast first", each_range, "a range that drives", prediction=True)
def coast_first(given):
    """A prediction: whether the engine brakes."""
    train, name = train_of(given), given["range"]
    flow = flow_in(train, name, "coast")
    return Choice(
        text=f"Range {name}. The vehicle drives the output now. What happens?",
        options=(*SENSES.values(), LOCKED),
        answer=SENSES[flow.state],
        reason=_why_it_coasts(train, name),
    )


def _why_it_coasts(train, name):
    """What holds, or lets go, when the vehicle drives."""
    drive, coast = flow_in(train, name), flow_in(train, name, "coast")
    if coast.state == "drives":
        return f"One output turn makes {number(abs(coast.ratio))} input turns then."
    free = train.in_order(drive.holding - coast.holding)
    return f"Under power {listed(free)} held. Now nothing holds instead."


@topic.of("coasting", each_range, "a range that drives")
def coasting(given):
    """Whether there is engine braking in a range."""
    train, name = train_of(given), given["range"]
    answer = SENSES[flow_in(train, name, "coast").state]
    return Choice(
        text=f"Range {name}. {applied_told(train, train.range(name).applied)} The"
        " vehicle drives the output. What happens?",
        options=(*SENSES.values(), LOCKED),
        answer=answer,
        slips=(
            slip("drive taken for coasting", SENSES["drives"],
                 "something holds under power only. Does it hold now?"),
            slip("a path taken for cut", SENSES["freewheels"],
                 "go back from the output. Where would the path end?"),
            slip("held taken for locked", LOCKED),
        ),
        hints=(
            "Is there a one-way clutch on the path of the power?",
            "Which way is each held part pushed, when the output drives?",
        ),
        reason=_why_it_coasts(train, name),
    )  # fmt: skip


def _one_way_cases(train):
    return tuple(
        {"range": name, "load": load, "clutch": part.name}
        for part in train.one_way_clutches
        for name in driving(train)
        for load in LOAD_WORDS
        if element_states(flow_in(train, name, load))[part.name] in STATES
    )


@topic.of("one-way clutch", _one_way_cases, "a one-way clutch")
def one_way_clutch(given):
    """What a one-way clutch does in a range."""
    train, name, load = train_of(given), given["range"], given["load"]
    state = element_states(flow_in(train, name, load))[given["clutch"]]
    return Choice(
        text=f"Range {name}, {LOAD_WORDS[load]}. What does the {given['clutch']} do?",
        options=tuple(STATES.values()),
        answer=STATES[state],
        also=(Also(answer=STATES["holds"], words=CONVENTION),)
        if state == "backs up"
        else (),
        slips=(
            slip("turning taken for held" if state == "overruns"
                 else "a push the other way", STATES["holds"],
                 "do its two sides turn alike, and is one pushed to the other?"),
            slip("held taken for turning", STATES["overruns"]),
            slip("what backs up forgotten" if state == "at rest"
                 else "turning taken for held", STATES["backs up"],
                 "let go of the applied element. Would it catch then?"),
            slip("a push forgotten", STATES["at rest"],
                 "look at its two sides. What would happen without it?"),
        ),
        hints=(
            "Look at its two sides. Do they turn alike?",
            "If they do: which way are they pushed, and by what?",
        ),
        reason="Its two sides settle it, and which way they are pushed.",
    )  # fmt: skip


# The path of the power ------------------------------------------------------------


def _by_role(train, name, role):
    roles = member_roles(flow_in(train, name))
    members = members_of(train)
    return frozenset(each for each in members if roles.get(each) == role)


def _path_cases(train):
    return tuple(
        {"range": name}
        for name in driving(train)
        if _by_role(train, name, "drives") and not _by_role(train, name, "turns")
    )


@topic.of("power path", _path_cases, "a range whose power is known set by set")
def power_path(given):
    """The members that bring power into their set."""
    train, name = train_of(given), given["range"]
    answer = _by_role(train, name, "drives")
    return Row(
        text=f"Range {name}, under power."
        f" {applied_told(train, train.range(name).applied)} Which members bring power"
        " into their gear set?",
        options=members_of(train),
        answer=answer,
        slips=(
            slip("driving and driven swapped", _by_role(train, name, "driven"),
                 "those take power out. Which ones bring it in?"),
            slip("driving and driven swapped", answer | _by_role(train, name, "driven"),
                 "some of these take power out. Which way does it go?"),
            slip("held taken for driving", answer | _by_role(train, name, "held"),
                 "a held part has torque, but no speed. Has it power?"),
            slip("turning taken for driving",
                 answer | _by_role(train, name, "turns free"),
                 "a part that turns free carries nothing."),
            *rows_of_others(
                train, name, lambda each: _by_role(train, each, "drives"),
                "the path of another range",
            ),
        ),
        hints=(
            "Begin at the input. Which applied clutch leads on, and to what?",
            "Where does power come into each working set, and where does it leave?",
        ),
        reason="Power comes into each set there, and leaves at the driven members.",
    )  # fmt: skip
