"""What goes wrong with a count at the paint mark, as questions of a lab.

A count is read to an eighth of a turn; what is asked leaves no doubt within that.
"""

from dataclasses import replace
from fractions import Fraction

from ...base.numerals import number, rounded, turn_count, turns
from ...solve.speeds import solve_speeds
from ...train.train import Brake
from ..question.question import Choice
from ..question.slips import slip
from .common import flow_in, ratios_of, way_of
from .unit import COUNTED, train

READ = Fraction(1, 8)  # to what part of a turn a mark is read
FIVE = 5
LARGER, SMALLER, SAME = "more input turns", "fewer input turns", "just as many"
OTHER_RANGE = "another range was set up"


def read_off(count):
    """A count as it is read at the mark, to the nearest eighth of a turn."""
    return rounded(count / READ) * READ


def spared(given, ranges):
    """The ranges without the student's own, whose count no text gives away."""
    return [each for each in ranges if each != given["mine"]]


def _slipped(ratios, range):
    """``{what happened: the counts that it gives}`` for one output turn."""
    ratio = ratios[range]
    return {
        "the start mark was counted as one": [ratio + (1 if ratio > 0 else -1)],
        "the output was turned, not the input": [1 / ratio],
        "it was seen from the other end": [-ratio],
        "five output turns were counted": [FIVE * ratio],
        OTHER_RANGE: [other for each, other in ratios.items() if each != range],
    }


def one_too_many(given):
    """A prediction: what is behind a count that is one turn too high."""
    ratios = ratios_of(train(given), COUNTED)
    slipped = _slipped(ratios, given["mine"])
    suspects = [w for w in slipped if _near(ratios[given["mine"]] + 1, slipped[w])]
    return Choice(
        text=f"Range {given['mine']} came out one whole turn too high, for one output"
        " turn. What do you suspect first?",
        options=tuple(slipped),
        answer=suspects[0],
        reason="The mark at the top is nought, so one whole turn is too many.",
    )


def draw_wrong(random, given):
    """What went wrong in which range, where the count leaves no doubt of it."""
    ratios = ratios_of(train(given), COUNTED)
    found = []
    for each in spared(given, ("1", "2", "3", "5", "R")):
        slipped = _slipped(ratios, each)
        for what, counts in slipped.items():
            for count in map(read_off, counts):
                fits = [w for w in slipped if _near(count, slipped[w])]
                if fits == [what] and not _near(count, [ratios[each]]):
                    eighths = int(count / READ)
                    found.append({"range": each, "what": what, "eighths": eighths})
    return random.choice(found)


def _near(count, counts):
    return any(abs(count - each) <= 2 * READ for each in counts)


def what_went_wrong(given):
    """From a count that does not agree with the chart to what happened."""
    ratios = ratios_of(train(given), COUNTED)
    slipped, count = _slipped(ratios, given["range"]), given["eighths"] * READ
    slips = [
        slip("another mishap taken", what, f"that would give {turn_count(counts[0])}.")
        for what, counts in slipped.items()
        if what != OTHER_RANGE
    ]
    other = slip(
        "another mishap taken", OTHER_RANGE, "no other range gives that count."
    )
    return Choice(
        text=f"By the chart range {given['range']} is"
        f" {number(ratios[given['range']])}. The count for one output turn was"
        f" {turns(abs(count))}. The output went {way_of(count)}. What happened?",
        options=tuple(slipped),
        answer=given["what"],
        slips=tuple(one for one in (*slips, other) if one.answer != given["what"]),
        hints=(
            "Work out what each mishap would have given.",
            "Compare each with the count. An eighth of a turn may be lost.",
        ),
        reason="Only this mishap gives that count.",
    )


def creeping(one, range):
    """The ratio where the held member creeps a little, the way that it is pushed."""
    flow = flow_in(one, range)
    (brake,) = (
        one.by_name[name]
        for name in flow.applied
        if isinstance(one.by_name[name], Brake)
    )
    # The brake pushes the member one way, so the train pushes it the other.
    speed = Fraction(-1 if flow.torques[brake.name] > 0 else 1, 20)
    given = {one.input: 1, brake.member: speed}
    speeds = solve_speeds(one, given, applied=flow.applied - {brake.name})
    return brake, 1 / speeds[one.output]


def held_part_creeps(given):
    """What a brake that slips a little does to the count."""
    one = train(given)
    brake, crept = creeping(one, given["range"])
    more = abs(crept) - abs(flow_in(one, given["range"]).ratio)
    return Choice(
        text=f"Range {given['range']}. The strap on the {brake.member} lets it creep"
        " the way that it is pushed. What happens to the count for one output turn?",
        options=(LARGER, SMALLER, SAME),
        answer=LARGER if more > 0 else SMALLER if more < 0 else SAME,
        slips=(
            slip("the creep turned round", SMALLER if more > 0 else LARGER),
            slip("the creep taken to cost nothing", SAME,
                 "the held part turns now. Whose turns are those?"),
        ),
        hints=(
            "Which way is the held member pushed? Let it go that way.",
            "What if it ran quite free? Would the output still turn?",
        ),
        reason="What creeps takes turns that the output does not get.",
    )  # fmt: skip


def creep_first(given):
    """A prediction: what the creep does to the count."""
    return replace(held_part_creeps(given), slips=(), hints=())
