"""Lab 15, find the fault: a road test, and the part that failed.

One thing failed in the student's own unit. What each test shows is worked out on that
unit, and so is what it clears.
"""

from functools import lru_cache, partial

from ...ask.faults.fault import APPLY, HOLD, RELEASE, SLIP, STANDING, faults
from ...ask.faults.nexttest import next_test
from ...ask.faults.seen import SLIPS, TIES_UP
from ...ask.faults.suspects import suspects
from ...ask.faults.table import symptoms
from ...base.numerals import listed
from ...solve.powerflow import LOAD_WORDS, power_flow
from ..question.papers import Lab, Topics
from ..question.question import Choice, Order, Row
from ..question.slips import slip
from .common import ROAD_CAUTION, UNDER_POWER, one_of
from .failing import AS_BEFORE, not_like
from .five_range import FORWARDS, LOW, draw, shipped, train

RANGES = (*FORWARDS, "1 low", "R")
SLIPS_UNDER_LOAD = "it slips under load"
CONFIRM = "confirm it by a pressure test, before anything is taken apart"
TOO_SOON = "take the unit apart and look at every part"
OTHERS = 7  # faults beside the right one, among which it is to be found


def _told(range, load):
    return f"range {range}, {LOAD_WORDS[load]}"


def candidates(one):
    """The faults that a student meets: commoner ones, each with symptoms of its own.

    Of those that no road test parts, the first stands for all.
    """
    table = symptoms(one)
    firsts = [table.in_order(group)[0] for group in table.groups]
    kinds = (APPLY, RELEASE, SLIP, HOLD)
    nothing = table.group_of(STANDING)
    return [one for one in firsts if one.kind in kinds and one not in nothing]


def fault_of(one, kind, about):
    """The fault of a kind of a part."""
    return next(
        each for each in faults(one) if (each.kind, each.about) == (kind, about)
    )


def changes(one, fault):
    """The ranges in which a fault shows under power, as ``{range: observation}``."""
    table = symptoms(one)
    return {
        each: table.rows[fault][each, "drive"]
        for each in RANGES
        if table.rows[fault][each, "drive"] != table.sound[each, "drive"]
    }


topic = Topics()


FIRST = (LOW, "forward clutch", "low brake", "direct clutch")


@topic("first suspect", prediction=True)
def first_suspect(given):
    """A prediction: which part is behind a complaint."""
    seen = {"1": "no drive", "1 low": "drives", "R": "drives"}
    found = suspects(shipped(), seen).explain_all
    return Choice(
        text="In D the vehicle does not start off. In L it drives, and in R too. Which"
        " part do you suspect first?",
        options=FIRST,
        answer=next(one.about for one in found if one.about in FIRST),
        reason="What works in L and in R is cleared. One part is left that D alone"
        " needs.",
    )


# From the fault to what it shows ----------------------------------------------------

SHOWN = [
    ("common-sun brake", APPLY, "3"), ("overdrive brake", APPLY, "5"),
    ("direct clutch", APPLY, "4"), ("direct clutch", APPLY, "R"),
    ("direct clutch", RELEASE, "2"), ("direct clutch", RELEASE, "3"),
    ("common-sun brake", RELEASE, "1"), ("common-sun brake", RELEASE, "4"),
    ("low brake", RELEASE, "1"), ("low brake", RELEASE, "3"),
    ("overdrive brake", RELEASE, "4"), ("forward clutch", RELEASE, "R"),
    ("low brake", SLIP, "R"), ("common-sun brake", SLIP, "3"),
]  # fmt: skip
_FAILS = {
    APPLY: "no longer applies",
    RELEASE: "no longer releases",
    SLIP: "slips above some torque",
    HOLD: "no longer holds",
}


@topic("what it shows", draw=one_of(shown=[list(one) for one in SHOWN]))
def what_it_shows(given):
    """From a fault to what a range does, under power."""
    one = shipped()
    part, kind, mine = given["shown"]
    seen = changes(one, fault_of(one, kind, part)).get(mine)
    as_range = {each: f"it runs in range {each}" for each in FORWARDS if each != mine}
    nothing, tied = UNDER_POWER["neutral"], UNDER_POWER["tied up"]
    answers = {None: AS_BEFORE, "no drive": nothing, TIES_UP: tied}
    answers |= {SLIPS: SLIPS_UNDER_LOAD}
    answers |= {f"drives like range {each}": text for each, text in as_range.items()}
    own = set(one.range(mine).applied)
    own = own | {part} if kind == RELEASE else own - {part} if kind == APPLY else own
    flow = power_flow(one, applied=own)
    in_work = "what is applied in that range, by the chart? Is the part among it?"
    return Choice(
        text=f"The {part} {_FAILS[kind]}. Range {mine} is set, under power. What does"
        " the unit do?",
        options=(AS_BEFORE, *as_range.values(), nothing, tied, SLIPS_UNDER_LOAD),
        answer=answers[seen],
        slips=(
            slip("the failed part forgotten", AS_BEFORE, in_work),
            slip("a path taken for cut", nothing),
            slip("too few taken for too many", tied)
            if kind != RELEASE
            else slip("one more taken for too many", tied,
                      "one more is applied. Does it stop what must turn there?"),
            slip("slipping taken for any fault", SLIPS_UNDER_LOAD,
                 "what slips still holds a little. Does this part?"),
            *(
                slip("a path that is cut", text, _why_not(flow, each, kind))
                for each, text in as_range.items()
            ),
        ),
        hints=(
            "Look up what the chart applies there. Then cross out, or add.",
            "Could a one-way clutch take over? Could two parts fight?",
        ),
        reason="What is applied in truth decides, not what the chart asks for.",
    )  # fmt: skip


def _why_not(flow, range, kind):
    """Why what is applied in truth is not like some range."""
    if kind == SLIP:
        return f"range {range} has other elements. What is a slipping part good for?"
    return not_like(flow, range)


STUCK = ("overdrive brake", "common-sun brake", "low brake", "direct clutch")


@topic("where it ties up", draw=one_of(stuck=STUCK))
def where_it_ties_up(given):
    """The ranges that tie up because a part does not release."""
    one, mine = shipped(), given["stuck"]
    found = {
        part: frozenset(
            each
            for each, seen in changes(one, fault_of(one, RELEASE, part)).items()
            if seen == TIES_UP
        )
        for part in STUCK
    }
    applied = frozenset(each for each in RANGES if mine in one.range(each).applied)
    return Row(
        text=f"The {mine} does not release. In which of these ranges does the unit tie"
        " up, under power?",
        options=RANGES,
        answer=found.pop(mine),
        slips=(
            slip("its own ranges taken", applied,
                 "there it is applied in any case. Where is it one too many?"),
            slip("every other range taken", frozenset(RANGES) - applied,
                 "one more may also give another ratio. Where must its member turn?"),
            *(
                slip("another part stuck", each, f"that is so if the {part} sticks.")
                for part, each in found.items()
            ),
        ),
        hints=(
            "Which member does it hold or join? Where must that turn otherwise?",
            "It fights only where the others leave that member no way.",
        ),
        reason="It ties up where what it holds must turn.",
    )  # fmt: skip


# From what is seen to the part ------------------------------------------------------

TESTS = (("P", "drive"), ("N", "coast"), ("2", "drive"), ("1 low", "coast"))


@topic("which test first", prediction=True)
def which_test_first(given):
    """A prediction: which test tells most before anything is known."""
    one = shipped()
    costs = {key: 1 if key in TESTS else 1000 for key in symptoms(one).sound}
    best = next_test(one, {}, costs=costs)
    return Choice(
        text="A vehicle comes in, and nobody says what is wrong. Which of these tests"
        " tells most?",
        options=tuple(_told(*key) for key in TESTS),
        answer=_told(*best),
        reason="A test tells much where the faults show many different things.",
    )


PARTS = (
    "overdrive brake", "common-sun brake", "low brake",
    "forward clutch", "direct clutch", LOW,
)  # fmt: skip


def needed(one, range):
    """The parts without which a range is another, under power."""
    return frozenset(
        part
        for part in PARTS
        if range in changes(one, fault_of(one, HOLD if part == LOW else APPLY, part))
    )


@topic("who is cleared", draw=one_of(range=("1", "2", "3", "4", "5", "R")))
def who_is_cleared(given):
    """The parts that a range clears, if it drives as it should."""
    one, mine = shipped(), given["range"]
    found = {each: needed(one, each) for each in RANGES}
    beside = frozenset(PARTS) & (set(one.range(mine).applied) | {LOW})
    return Row(
        text=f"Range {mine} drives as it should, also under full load. Which of these"
        " parts are then cleared: they still hold?",
        options=PARTS,
        answer=found.pop(mine),
        slips=(
            slip("a free clutch taken for one that holds", beside,
                 "does the one-way clutch hold there, or turn free?"),
            slip("the rest taken", frozenset(PARTS) - needed(one, mine),
                 "those may all have failed, and nobody would see it there."),
            *(
                slip("another range taken", each, f"that is what range {other} clears.")
                for other, each in found.items()
            ),
        ),
        hints=(
            "A range clears only what it needs.",
            "Take each part away in your mind. Does the range stay as it is?",
        ),
        reason="What a range needs must be sound if the range is.",
    )  # fmt: skip


def draw_next(random, given):
    """A first observation that leaves some faults, and tests that part them."""
    one = shipped()
    rows = symptoms(one).rows
    seen_in = sorted(
        {(each, row[each, "drive"]) for each in RANGES for row in rows.values()}
    )
    for range, seen in random.sample(seen_in, len(seen_in)):
        key = range, "drive"
        left = left_after(one, key, seen)
        tests = random.sample([each for each in rows[STANDING] if each != key], 5)
        sizes = sorted(largest(one, left, each) for each in tests)
        if 3 <= len(left) <= 6 and sizes[0] < sizes[1]:
            return {"seen": [*key, seen], "tests": [list(each) for each in tests]}
    raise ValueError("no test of those parts the faults best")


def left_after(one, key, seen):
    """The candidates that an observation leaves."""
    rows = symptoms(one).rows
    return [each for each in candidates(one) if rows[each][key] == seen]


def largest(one, left, key):
    """How many of the faults that are left can still be left after a test."""
    rows = symptoms(one).rows
    seen = [rows[each][key] for each in left]
    return max(map(seen.count, seen), default=0)


@topic("the next test", draw=draw_next)
def the_next_test(given):
    """The test that parts best what is left."""
    one = shipped()
    range, load, seen = given["seen"]
    left = left_after(one, (range, load), seen)
    sizes = {_told(*each): largest(one, left, tuple(each)) for each in given["tests"]}
    best = min(sizes, key=sizes.get)
    return Choice(
        text=f"Range {range}, {LOAD_WORDS[load]}: {seen}. Left are:"
        f" {'; '.join(_fault(each) for each in left)}. Which test comes next, so that"
        " the fewest are left whatever it shows?",
        options=tuple(sizes),
        answer=best,
        slips=tuple(
            slip("a test that parts less", told,
                 f"{told}: {size} of the {len(left)} may still be left.")
            for told, size in sizes.items()
            if told != best
        ),
        hints=(
            "Say for each part that is left what the test would show.",
            "A test in which all show the same tells nothing.",
        ),
        reason="The best test shows something else for as many as can be.",
    )  # fmt: skip


def _fault(fault):
    """A fault in the middle of a sentence."""
    return f"{fault.clause[:1].lower()}{fault.clause[1:]}".removeprefix("the ")


@lru_cache
def reasonings(one):
    """(range that is wrong, what failed, range that clears the others) of each."""
    return tuple(_reasonings(one))


def _reasonings(one):
    for part in PARTS:
        fault = fault_of(one, HOLD if part == LOW else APPLY, part)
        wrong = changes(one, fault)
        for each in wrong:
            others = needed(one, each) - {part}
            clearing = [
                r for r in RANGES if r not in wrong and others <= needed(one, r)
            ]
            if others and clearing:
                yield each, part, clearing[0]


def draw_steps(random, given):
    """A range that is wrong, the part that failed, and the range that clears others."""
    return {"steps": list(random.choice(reasonings(shipped())))}


@topic("the steps", draw=draw_steps)
def the_steps(given):
    """The reasoning from a range to a part, in order."""
    one = shipped()
    range, part, clearing = given["steps"]
    fault = fault_of(one, HOLD if part == LOW else APPLY, part)
    others = needed(one, range) - {part}
    steps = (
        f"say what is seen: range {range}, {changes(one, fault)[range]}",
        f"list what range {range} needs: {listed(_sorted(others | {part}))}",
        f"range {clearing} is as it should be: {listed(_sorted(others))} cleared",
        f"left is the {part}",
        CONFIRM,
    )
    guess = f"left is the {next(one for one in PARTS if one not in others | {part})}"
    return Order(
        text=f"Range {range} is wrong under power, range {clearing} is as it should be."
        " How do you come from there to the part?",
        options=tuple(sorted((*steps, guess, TOO_SOON))),
        answer=steps,
        order="in the order of the reasoning",
        what="steps",
        slips=(
            slip("the order turned round", steps[::-1]),
            slip("guessed before it was cleared",
                 (*steps[:2], steps[3], steps[2], CONFIRM),
                 "what is cleared must be struck out before one part is left."),
        ),
        hints=(
            "Begin with what anybody can see.",
            "First all that could be it. Then what a sound range strikes out.",
        ),
        reason="See, list, clear, conclude, and confirm before taking apart.",
    )  # fmt: skip


def _sorted(parts):
    return [part for part in PARTS if part in parts]


# The road test ----------------------------------------------------------------------


def draw_fault(random, given):
    """What failed in the student's own unit, and what it is to be found among.

    Numbers of faults in the list of the unit, so that a sheet does not read as a key.
    """
    one = train(given)
    every = list(faults(one))
    among = random.sample(candidates(one), OTHERS + 1)
    return {
        "failed": every.index(among[0]),
        "among": sorted(every.index(each) for each in (*among, STANDING)),
    }


def failed(given):
    """The unit of a road test, and the fault that is in it."""
    one = train(given)
    return one, faults(one)[given["failed"]]


def road_test(given):
    """What each test of a student's unit shows: ``{(range, load): observation}``."""
    one, fault = failed(given)
    return symptoms(one).rows[fault]


def positions(one):
    """``{selector position and range: range}``, in the order of the selector."""
    return {
        f"{position}, range {each}" if position != each else position: each
        for position, names in one.selector.items()
        for each in names
    }


def fewest(given):
    """How many tests name the fault, if the best one is always taken."""
    one, seen = train(given), {}
    while test := next_test(one, seen):
        seen[test] = road_test(given)[test]
    return len(seen)


def find_it(given):
    """The part that failed, by a road test of one's own."""
    one, fault = failed(given)
    rows, every = symptoms(one).rows, faults(one)
    among = [every[at] for at in given["among"]]
    return Choice(
        text="One thing failed in your unit. Make a road test. What failed?",
        options=tuple(each.clause for each in among),
        answer=fault.clause,
        slips=tuple(
            slip("another fault taken", each.clause, _against(rows, fault, each))
            for each in among
            if each != fault
        ),
        hints=(
            "Which range is wrong? Which parts does it need?",
            "Strike out what a sound range needs. Try coasting, too.",
        ),
        reason="It alone gives all that you saw.",
        on_paper=partial(_on_paper, rows[fault]),
    )


def _against(rows, fault, other):
    """Which test contradicts another fault, and what that fault would show there."""
    key = next(key for key in rows[fault] if rows[fault][key] != rows[other][key])
    if other == STANDING:
        return f"then {_told(*key)}, would be as on the chart. Try it."
    short = f"{other.about} {other.kind}"
    return f"test {_told(*key)}. If the {short}, it shows: {rows[other][key]}."


def _on_paper(row, context="screen"):
    from ...draw.charts.roadtest import road_test_table  # marking draws nothing

    return road_test_table(row, context=context)


topic("find the fault", find_it, draw=draw_fault, marks=2)

topic.explain(
    "how you found it",
    "Which tests did you make? Say what each cleared, and why one part is left.",
    "The tests are named, with what each of them showed.",
    "A range that is as it should be clears the parts that it needs.",
    "One part is left that explains all that was seen.",
)

topic("find another", find_it, draw=draw_fault, marks=2)


LAB = Lab(
    name="find-the-fault",
    title="Find the fault",
    level=2,
    core=True,
    minutes=35,
    draw=draw,
    train=train,
    topics=tuple(topic),
    caution=ROAD_CAUTION,
)
