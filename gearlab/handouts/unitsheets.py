"""Sheets about the unit on the bench: its charts and diagrams, cards, and counts."""

from ..ask.explain import QUESTIONS, explain_count
from ..base.numerals import exactly, turn_count
from ..draw import draw_apply_chart, draw_end_view, draw_levers, draw_stick
from ..draw.levers.blank import draw_blank_levers
from ..draw.stick import has_stick
from ..lab.question.prediction import ASKS
from ..say.setupcard import CAUTION, DRUM_RULE, set_up_rows
from ..solve.equilibrium import DRIVES
from ..solve.powerflow import power_flow
from .blocks import (
    Blanks,
    Break,
    Cards,
    Caution,
    Heading,
    Points,
    Room,
    Table,
    Words,
    kept,
    picture,
)

FINGER = (
    "A finger in a turning train is crushed or cut off. Everybody's hands are clear and"
    " in sight before anybody turns, and whoever turns says so first."
)
LOCAL_RULES = (
    "Local law, the school's rules and the maker's instructions come first, and a"
    " qualified instructor is present."
)
_FIVE = 5  # output turns of a count


def cautions(train):
    """What keeps people from harm at the bench of a train, in sentences."""
    drums = f" {DRUM_RULE}" if train.one_way_clutches else ""
    return f"{FINGER} {CAUTION}{drums} {LOCAL_RULES}"


def driving(train):
    """{range: PowerFlow} of the ranges that drive, under power."""
    flows = {name: power_flow(train, name) for name in train.range_names}
    return {name: flow for name, flow in flows.items() if flow.state == DRIVES}


# Charts and diagrams --------------------------------------------------------------


def blank_charts(train):
    """The blocks of the apply chart, the stick diagram and the levers to fill in."""
    yield from _charts(train, "to fill in", blank=True)


def filled_charts(train):
    """The same, filled: the chart, the diagram with its names, levers by range."""
    yield from _charts(train, "filled", blank=False)


def _charts(train, what, blank):
    yield Heading(text=f"{train.name}: charts and diagrams, {what}", level=1)
    if train.ranges:
        yield from _part("Apply chart", draw_apply_chart(train, **_how(blank=blank)))
    rest = power_flow(train, applied=())
    if has_stick(train):
        scene = draw_stick(rest, power=False, **_how(labels=not blank))
        words = "Write the names of shafts, sets and elements to their parts."
        yield from _part("Stick diagram", scene, words if blank else "")
    if blank:
        yield from _end_views(rest)
        yield from _blank_levers(train)
        return
    for name, flow in driving(train).items():
        yield from _part(f"Levers in range {name}", draw_levers(flow, **_how()))


def _how(**more):
    return {"context": "print", **more}


def _part(title, scene, words=""):
    blocks = [Heading(text=title), *([Words(text=words)] if words else [])]
    yield from kept([*blocks, picture(scene)])


def _end_views(flow):
    for one in flow.train.sets:
        scene = draw_end_view(flow, one.name, **_how(labels=False, colour_by="role"))
        words = "Name the members, and mark which one is held in the range you turn."
        yield from _part(f"End view of the {one.name} set", scene, words)


def _blank_levers(train):
    """The levers without a speed: the lines of a range are drawn by hand."""
    words = (
        "Choose a range, mark what is held on the line at 0, and draw the speeds of its"
        " members as a straight line across each lever."
    )
    yield from _part("Levers", draw_blank_levers(train, **_how()), words)


# Set-up cards ---------------------------------------------------------------------


def set_up_cards(train):
    """Blocks with a card for each range: half a page, to be cut apart."""
    cards = (tuple(_card(train, name)) for name in train.range_names)
    yield Cards(cards=tuple(cards))


def _card(train, name):
    yield Heading(text=f"{train.name}: set-up card, range {name}", level=1)
    rows = set_up_rows(train, name)
    caution = dict(rows)["caution"]
    told = tuple(row for row in rows if row[0] != "caution")
    yield Table(head=("what", "how"), rows=told, parts=(1, 6))
    yield Caution(text=f"{FINGER} {caution}")


# Count and chart disagree ---------------------------------------------------------


def disagreement(train):
    """The page for a count that the chart does not give, in the order to check it."""
    yield Heading(text="When count and chart disagree", level=1)
    yield Words(text=f"{train.name}. Look for the mistake in this order.")
    yield Caution(text=cautions(train))
    yield Blanks(labels=("Range", "Your count", "By the chart"))
    yield Points(items=tuple(asked for _, asked, _ in QUESTIONS), mark="box")
    yield Words(text="What was it? What did you count then?", lead="In the end:")
    yield Room(lines=4)


def disagreement_key(train):
    """What every mistake would have given, range by range, for the instructor."""
    yield Heading(text="When count and chart disagree: what gives which count", level=1)
    yield Words(text=f"{train.name}, as its file has it. One output turn.")
    for name, flow in driving(train).items():
        explained = explain_count(train, name, flow.ratio)
        yield Heading(text=f"Range {name}: {_count(flow.ratio)}")
        yield Points(
            items=tuple(finding.words for finding in explained.questions),
            mark="number",
        )


def _count(ratio):
    way = "backward" if ratio < 0 else "forward"
    return f"{turn_count(abs(ratio))} {way}"


# What is turned at the bench ------------------------------------------------------


def bench_record(train):
    """The sheet that a group fills at the bench: predict, turn, compare."""
    yield Heading(text=f"{train.name}: predict, turn, compare", level=1)
    yield Blanks(labels=("Group", "Cutaway", "Date"))
    yield Blanks(labels=("Turner", "Holder"))
    yield Blanks(labels=("Counter", "Recorder"))
    yield Caution(text=cautions(train))
    yield Words(text=f"{ASKS['drive']} Write the prediction first. Count to 1/8 turn.")
    yield Table(
        head=("range", "predicted way", "predicted count", f"turns for {_FIVE}",
              "count for one", "who holds"),
        rows=tuple((name, "", "", "", "", "") for name in train.range_names),
        parts=(2, 3, 3, 3, 3, 4),
        tall=True,
    )  # fmt: skip
    yield Words(text="Which count surprised you, and why?", lead="Afterwards:")
    yield Room(lines=3)
    yield Break()


def bench_key(train):
    """The same sheet filled, for the instructor."""
    yield Heading(text=f"{train.name}: predict, turn, compare, filled", level=1)
    rows = []
    for name in train.range_names:
        flow = power_flow(train, name)
        ratio = flow.ratio
        five = "" if ratio is None else turn_count(abs(ratio) * _FIVE)
        one = flow.gives if ratio is None else f"{_count(ratio)}; {exactly(ratio)}"
        holds = ", ".join(train.in_order(flow.applied | set(flow.holding)))
        rows.append((name, one, five, holds))
    yield Table(
        head=("range", "count for one output turn", f"turns for {_FIVE}",
              "applied, and one-way clutches that hold"),
        rows=tuple(rows),
        parts=(1, 3, 3, 4),
    )  # fmt: skip
