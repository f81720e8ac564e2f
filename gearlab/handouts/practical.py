"""The observed practical: what the examiner sees, a card a station, the task record."""

from functools import lru_cache
from itertools import cycle, islice

from ..ask.explain import explain_count
from ..base.numerals import listed, number, turn_count
from ..lab.sheet.classlist import read_table
from ..solve.equilibrium import DRIVES
from ..solve.powerflow import power_flow
from ..train.train import Brake
from .blocks import Blanks, Break, Cards, Caution, Heading, Points, Room, Table, Words
from .unitsheets import FINGER, cautions, driving

# What is observed, in this order; how it is seen. The last one fails the whole.
LINES = (
    ("Names members on the real part", "at least four, pointed at, each rightly"),
    ("Sets the range", "from the card; holds and joins what it says, and nothing else"),
    ("Predicts before turning", "way and count, said aloud before a hand turns"),
    ("Turns the input, the right way", "the input, forward, seen from the input end"),
    ("Loads the output", "a hand drags it, so that one-way clutches catch"),
    ("Counts to ⅛ turn", "five output turns; the count is within an eighth for one"),
    ("States applied, held, driven, one-way", "each of the four, for this range"),
    ("Explains a disagreement", "finds what gave the count that the examiner tells"),
    ("Names what fails", "what the unit does without the part that is told"),
    (
        "Works safely",
        "hands clear and in sight, says when it turns, releases at the end",
    ),
)
FAILS = (
    "A finger in a turning train ends the practical at once, and it is failed, whatever"
    " else was right."
)
_COLUMNS = {
    "code": ("code", "no", "number", "task no", "id"),
    "text": ("task", "text", "description", "task text"),
}
_MOST_TASKS = 500


def practical(train, name=""):
    """The blocks of the record of one practical, of ten lines; a page."""
    yield Heading(text="Observed practical", level=1)
    yield Words(text=f"{train.name}. One candidate, one station, one examiner.")
    yield Blanks(labels=(f"Candidate: {name}" if name else "Candidate", "Date"))
    yield Blanks(labels=("Station", "Range", "Examiner"))
    yield Caution(text=f"{FAILS} {cautions(train)}")
    yield Table(
        head=("", "line", "seen when", "yes", "not yet"),
        rows=tuple(
            (str(n), what, how, "", "") for n, (what, how) in enumerate(LINES, 1)
        ),
        parts=(1, 6, 9, 2, 2),
    )
    last = len(LINES)
    yield Points(
        items=(
            f"Line {last}: a finger was in a turning train. Failed.",
            f"Passed: line {last}, and seven of the other nine.",
            "Not yet: to be done again, on another range.",
        ),
        mark="box",
    )
    yield Words(text="What was not yet right:")
    yield Room(lines=2)
    yield Blanks(labels=("Signed: examiner", "candidate"))
    yield Break()


# A card a station -----------------------------------------------------------------


def examiner_cards(train, count):
    """Blocks with a card for each of `count` stations: range, key, what is told.

    Raises ValueError for a train of which no range drives.
    """
    flows = driving(train)
    if not flows:
        raise ValueError(
            f'no range of the train "{train.name}" drives, but a practical counts one;'
            " write one under [ranges]"
        )
    stations = enumerate(islice(cycle(flows.values()), count), 1)
    yield Cards(cards=tuple(tuple(_card(flow, n)) for n, flow in stations))


def _card(flow, station):
    yield Heading(text=f"Examiner: station {station}, range {flow.range}", level=1)
    yield Caution(text=f"{FAILS} {FINGER}")
    yield Table(
        head=("line", "right is"), rows=tuple(_right(flow, station)), parts=(2, 7)
    )


def _right(flow, station):
    """(line, what is right) of what depends on the range."""
    train, ratio = flow.train, flow.ratio
    way = "backward" if ratio < 0 else "forward"
    applied, holding = map(train.in_order, (flow.applied, flow.holding))
    parts = [train.by_name[name] for name in applied]
    held = [part.member for part in parts if isinstance(part, Brake)]
    held += [train.by_name[name].member for name in holding
             if train.body_of[train.by_name[name].against] == "case"]  # fmt: skip
    yield "count", f"{turn_count(abs(ratio))} {way}, give or take 1/8 turn"
    yield "applied", listed(applied, "") or "nothing"
    yield "held", listed(held, "") or "nothing to the case by an element"
    yield "driven", train.output
    yield "one-way", _one_ways(flow)
    if findings := _mishaps(train, flow.range):
        finding = findings[station % len(findings)]
        count = turn_count(abs(finding.would_give))
        back = " backward" if finding.would_give < 0 else ""
        yield "tell", f"“Somebody counted {count}{back}.” {finding.words}"
    if some := (*applied, *holding):
        name = some[station % len(some)]
        yield "what fails", f"Without the {name}: {_without(flow, name)}"


def _one_ways(flow):
    train = flow.train
    said = {
        **dict.fromkeys(flow.at_rest, "is at rest"),
        **dict.fromkeys(flow.overrunning, "overruns"),
        **dict.fromkeys(flow.holding, "holds"),
        **dict.fromkeys(flow.backing_up, "backs up"),
    }
    return "; ".join(f"{name} {said[name]}" for name in train.in_order(said)) or (
        "there is none that matters" if train.one_way_clutches else "there is none"
    )


@lru_cache(maxsize=64)
def _mishaps(train, range):
    """What gives another count than the right one, a finding of each kind."""
    flow = power_flow(train, range)
    found = {}
    for one in explain_count(train, range, flow.ratio).findings:
        if one.would_give and not one.fits and one.kind != "chart":
            found.setdefault(one.kind, one)
    return tuple(found.values())


def _without(flow, name):
    """What is left of a range when a part of it lets go."""
    if name not in flow.applied:
        return "it cannot catch, so what it held is free"
    left = power_flow(flow.train, applied=flow.applied - {name})
    if left.ratio == flow.ratio and left.state == DRIVES:
        return "it drives as before"
    if left.ratio is None:
        return left.gives
    return f"one output turn takes {number(left.ratio)} input turns"


# The task record ------------------------------------------------------------------


def read_tasks(path):
    """The tasks of an instructor's own CSV file: [(number, text)].

    Its first line names the columns; "task" holds the texts, and "code", where there
    is one, the numbers. Raises ValueError for a file without.
    """
    table = read_table(path, "task list")
    head = [cell.casefold() for cell in table[0][1]]
    place = {
        what: next((n for n, cell in enumerate(head) if cell in names), None)
        for what, names in _COLUMNS.items()
    }
    if place["text"] is None:
        raise ValueError(
            'the task list has no column "task"; write the names of its columns into'
            ' the first line, "code" and "task"'
        )
    tasks = []
    for n, (_, cells) in enumerate(table[1:], 1):
        cells = [*cells, *[""] * len(head)]
        code = str(n) if place["code"] is None else cells[place["code"]]
        if text := cells[place["text"]]:
            tasks.append((code, text))
    if not 0 < len(tasks) <= _MOST_TASKS:
        raise ValueError(
            f"the task list has {len(tasks)} tasks, but 1 to {_MOST_TASKS} are printed;"
            " give a task in each line"
        )
    return tuple(tasks)


def task_record(tasks, name=""):
    """The blocks of the record of one student's tasks, as the instructor wrote them."""
    yield Heading(text="Task record", level=1)
    yield Blanks(labels=(f"Name: {name}" if name else "Name", "Class"))
    yield Table(
        head=("no.", "task", "date", "result", "signed"),
        rows=tuple((code, text, "", "", "") for code, text in tasks),
        parts=(2, 8, 2, 2, 3),
        tall=True,
    )
    yield Break()
