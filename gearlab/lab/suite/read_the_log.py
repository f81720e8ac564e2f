"""Lab 16, read the log: two shaft speeds over time, and what they tell of a unit.

The log is made up from the student's own numbers: one shift of it flares or ties up,
and one element slips. What is asked of it is what the model was given, or what the
library says of the speeds that are told.
"""

from fractions import Fraction
from functools import lru_cache, partial
from itertools import pairwise

from ...ask.faults.fault import SLIP, faults
from ...ask.faults.seen import SLIPS, seen_row
from ...ask.faults.suspects import suspects
from ...ask.log.changes import CLEAN, FLARE, TIE_UP
from ...ask.log.findings import SLIPPING, TOO_SLOW, findings_of
from ...ask.log.limits import chosen_limits
from ...ask.log.makelog import make_log
from ...ask.log.stretches import BETWEEN, Stretch
from ...ask.shifts import early_late, shift
from ...base.numerals import decimals, listed, number
from ...solve.powerflow import LOAD_WORDS
from ..question.papers import Lab, Topics
from ..question.question import Choice, Number, Row
from ..question.slips import reciprocal, slip
from .common import ROAD_CAUTION, by_sign, one_of, ratios_of
from .five_range import FORWARDS, shipped, train
from .five_range import draw as draw_teeth

RATE, NOISE = 10, 0.004  # rows a second of a student's log, and its noise
APART = Fraction(7, 100)  # how far a ratio that slips is from any range's
SLIPPERS = ("direct clutch", "common-sun brake", "overdrive brake")
ELEMENTS = (
    "overdrive brake",
    "common-sun brake",
    "low brake",
    "front lock clutch",
    "forward clutch",
    "direct clutch",
)
HOW = {CLEAN: "neither", FLARE: "a flare", TIE_UP: "a tie-up"}
MAY_SLIP = "an element may slip"
NO_SLIP = "no slip does that: doubt the readings first"
RUNS_FREE = "the input runs free: no engine braking"
FALLS, RISES, STAYS = "it falls", "it rises", "it stays as it was"
SLOWED, SPED, UNTOUCHED = "it is slowed down", "it speeds up", "nothing happens to it"


def slips_in(part):
    """The forward ranges in which an element that slips is felt, under power."""
    fault = next(
        one for one in faults(shipped()) if (one.kind, one.about) == (SLIP, part)
    )
    row = seen_row(shipped(), fault)
    return tuple(each for each in FORWARDS if row[each, "drive"].word == SLIPS)


def draw(random):
    """Teeth, a drive up through all ranges, a shift that goes wrong, and who slips.

    Raises ValueError where what slips looks like another range, so that others are
    drawn.
    """
    part, slip = random.choice(SLIPPERS), random.randint(8, 15)
    slipping, teeth = slips_in(part), draw_teeth(random)
    ratios = ratios_of(train(teeth), FORWARDS)
    for each in slipping:
        runs = ratios[each] * (100 + slip) / 100
        if any(abs(runs / ratio - 1) < APART for ratio in ratios.values()):
            raise ValueError(f"range {each} slips as far as another range")
    pairs = [pair for pair in pairwise(FORWARDS) if not {*pair} & {*slipping}]
    return teeth | {
        "seconds": [random.randint(4, 7) for _ in FORWARDS],
        "slips": part,
        "slip": slip,  # [%]
        "odd": [*random.choice(pairs), random.choice([FLARE, TIE_UP])],
        "size": random.randint(15, 22),  # [%]
        "takes": random.randint(5, 8),  # [tenths of a second]
        "seed": random.randint(1, 10**6),
    }


def log_of(given):
    """The road log of a student's unit, as it is made up."""
    keys = ("slips", "slip", "size", "takes", "seed")
    drawn = tuple(given[key] for key in keys)
    return _log(train(given), tuple(given["seconds"]), tuple(given["odd"]), *drawn)


@lru_cache(maxsize=64)
def _log(one, seconds, odd, part, slip, size, takes, seed):
    fault = next(f for f in faults(one) if (f.kind, f.about) == (SLIP, part))
    before, after, kind = odd
    wrong = [(before, after, size / 100)]
    return make_log(
        one,
        drive=list(zip(FORWARDS, seconds, strict=True)),
        fault=fault,
        slip=slip / 100,
        flares=wrong if kind == FLARE else (),
        tie_ups=wrong if kind == TIE_UP else (),
        takes=takes / 10,
        rate=RATE,
        noise=NOISE,
        seed=seed,
    )


def moment_of(given, range):
    """(time, input speed, output speed) late in a range, as the log has it."""
    log, place = log_of(given), FORWARDS.index(range)
    end = sum(given["seconds"][: place + 1])
    time, ahead, out, *_ = log.rows[round((end - 0.8) * RATE)]
    return time, round(ahead), round(out)


def speeds_told(time, ahead, out):
    """A row of the log in a sentence."""
    return (
        f"At {decimals(time, 1)} s the input turns at {ahead} rev/min, the output at"
        f" {out} rev/min."
    )


def ratios_told(given):
    """The ratios of the student's unit, in a sentence."""
    ratios = ratios_of(train(given), FORWARDS)
    told = listed([f"{number(ratio)} ({each})" for each, ratio in ratios.items()], "")
    return f"The ratios of your unit's ranges: {told}."


def picture(given, since=None, until=None):
    """What draws the speeds of the log, and no more."""
    return partial(_drawn, given, since, until)


def _drawn(given, since, until, context="screen"):
    from ...draw import draw_log  # marking draws nothing, so it need not wait for it

    ends = {"since": since, "until": until}
    return draw_log(log_of(given), plain=True, context=context, **ends)


topic = Topics()


@topic("input in an upshift", prediction=True)
def input_in_an_upshift(given):
    """A prediction: what the input does in an upshift on the move."""
    change = shift(train(given), "2", "3").input_change
    return by_sign(
        "A vehicle shifts from 2 to 3 on the move. What does the input speed do?",
        {1: RISES, -1: FALLS, 0: STAYS},
        change - 1,
        "The output goes on as it was. The smaller ratio asks for less input speed.",
    )


def draw_sound(random, given):
    """What a topic draws that needs a range in which nothing slips, and no 1 to 1."""
    sound = set(FORWARDS) - set(slips_in(given["slips"])) - {"4"}
    return {"range": random.choice(sorted(sound))}


@topic("ratio at a moment", draw=draw_sound)
def ratio_at_a_moment(given):
    """The ratio of a row."""
    time, ahead, out = moment_of(given, given["range"])
    ratio = Fraction(ahead, out)
    return Number(
        text=f"The picture has a log of your unit. {speeds_told(time, ahead, out)} What"
        " is the ratio at that moment?",
        answer=ratio,
        within=Fraction(1, 50),
        slips=(
            reciprocal(ratio),
            slip(
                "the speeds subtracted",
                Fraction(ahead - out),
                "that is how much faster. How many times as fast?",
            ),
        ),
        hints=(
            "The ratio is input turns for one output turn.",
            "Both speeds are turns in the same minute. Divide them.",
        ),
        reason="In one minute both shafts make their turns, so the speeds do as well.",
        picture=picture(given),
    )


def draw_any_sound(random, given):
    """What a topic draws that needs a range in which nothing slips."""
    sound = set(FORWARDS) - set(slips_in(given["slips"]))
    return {"range": random.choice(sorted(sound))}


@topic("range at a moment", draw=draw_any_sound)
def range_at_a_moment(given):
    """The range of a row, by the nearest ratio."""
    mine = given["range"]
    time, ahead, out = moment_of(given, mine)
    ratios = ratios_of(train(given), FORWARDS)
    near = min(ratios, key=lambda each: abs(ratios[each] - Fraction(ahead, out)))
    if near != mine:
        raise ValueError(f"the log is not in range {mine} at {time} s")
    return Choice(
        text=f"{ratios_told(given)} {speeds_told(time, ahead, out)} Which range is the"
        " unit in?",
        options=FORWARDS,
        answer=mine,
        slips=tuple(
            slip(
                "the ratio of another range",
                each,
                f"in range {each} the input would turn at {round(ratio * out)}"
                " rev/min.",
            )
            for each, ratio in ratios.items()
        ),
        hints=(
            "Divide input by output speed, and look for the nearest ratio.",
            "A log is never quite exact. A few percent off is still that range.",
        ),
        reason="The nearest ratio tells the range, within the band of a few percent.",
    )


def draw_shift(random, given):
    """A shift of the log between two ranges in which nothing slips."""
    slipping = set(slips_in(given["slips"]))
    pairs = [pair for pair in pairwise(FORWARDS) if not slipping & set(pair)]
    return {"shift": list(random.choice(pairs)), "way": random.choice(["up", "down"])}


@topic("which shift", draw=draw_shift)
def which_shift(given):
    """The shift between two rows, from and to, upward or downward."""
    ratios = ratios_of(train(given), FORWARDS)
    ends = given["shift"] if given["way"] == "up" else given["shift"][::-1]
    _, _, out = moment_of(given, given["shift"][0])
    speeds = [round(ratios[each] * out) for each in ends]
    options = {
        f"from {a} to {b}": (a, b)
        for pair in pairwise(FORWARDS)
        for a, b in (pair, pair[::-1])
    }
    return Choice(
        text=f"{ratios_told(given)} The output turns at {out} rev/min. In half a second"
        f" the input goes from {speeds[0]} to {speeds[1]} rev/min, and stays. Which"
        " shift was that?",
        options=tuple(options),
        answer=f"from {ends[0]} to {ends[1]}",
        slips=tuple(
            slip(
                "another shift",
                told,
                f"that would go from {round(ratios[a] * out)} to"
                f" {round(ratios[b] * out)} rev/min.",
            )
            for told, (a, b) in options.items()
        ),
        hints=(
            "Work out the ratio before and the ratio after.",
            "The output speed hardly changes in a shift. So each ratio is a range.",
        ),
        reason="One output speed, two ratios: before and after tell the two ranges.",
    )


@topic("output in a tie-up", prediction=True)
def output_in_a_tie_up(given):
    """A prediction: what a tie-up does to the output."""
    made = shift(shipped(), "1", "2")
    words = {row.word for row in early_late(made)}
    options = (SLOWED, SPED, UNTOUCHED)
    return Choice(
        text="In a shift on the move, one element comes on before another is off: both"
        " hold, and they fight. What happens to the output?",
        options=options,
        answer=SLOWED if TIE_UP in words else UNTOUCHED,
        reason="What fights holds the whole unit back, and the vehicle with it.",
    )


def draw_any_shift(random, given):
    """The shift that goes wrong, or one that does not; and another one for the time."""
    return {"wrong": random.random() < 0.7} | draw_shift(random, given)


def _shown(given):
    """The shift that is looked at closely."""
    odd = list(given["odd"][:2])
    pair = odd if given["wrong"] else given["shift"]
    log = log_of(given)
    return next(one for one in log.shifts if [one.before, one.after] == list(pair))


def _rows_told(log, since, until):
    """Some rows of a log, a line each."""
    rows = [row for row in log.rows if since - 1e-6 <= row[0] <= until + 1e-6]
    return "; ".join(
        f"{decimals(row[0], 1)} s: {round(row[1])} and {round(row[2])}" for row in rows
    )


@topic("flare or tie-up", draw=draw_any_shift)
def flare_or_tie_up(given):
    """What kind of shift some rows show."""
    one, log = _shown(given), log_of(given)
    rows = _rows_told(log, one.start - 0.2, one.end + 0.2)
    drop = "does the output drop and come back? It does not hold back for nothing."
    return Choice(
        text=f"A shift from {one.before} to {one.after} of your log, input and output"
        f" speed in rev/min. {rows}. Is it a flare, a tie-up, or neither?",
        options=tuple(HOW.values()),
        answer=HOW[one.kind],
        slips=(
            slip("a clean shift suspected", HOW[FLARE],
                 "does the input go up before it goes down?"),
            slip("a clean shift suspected", HOW[TIE_UP], drop),
            slip("a bad shift passed over", HOW[CLEAN],
                 "go through both columns, row by row. Which one jumps?"),
        ),
        hints=(
            "In a flare nothing holds for a moment: the input races up.",
            "In a tie-up too much holds: the output is pulled down, and comes back.",
        ),
        reason="The input tells of too little held, the output of too much.",
        picture=picture(given, one.start - 1.5, one.end + 1.5),
    )  # fmt: skip


@topic("how long it takes", draw=draw_shift)
def how_long_it_takes(given):
    """The time that a shift takes, from rows."""
    log = log_of(given)
    one = next(s for s in log.shifts if [s.before, s.after] == given["shift"])
    rows = _rows_told(log, one.start - 0.3, one.end + 0.3)
    takes = Fraction(given["takes"], 10)
    return Number(
        text=f"A shift from {one.before} to {one.after} of your log, input and output"
        f" speed in rev/min. {rows}. How many seconds does it take?",
        answer=takes,
        within=Fraction(3, 20),
        slips=(
            slip("all of it taken", takes + Fraction(3, 5),
                 "those are all rows. In some of them nothing has begun yet."),
            slip("one step taken", Fraction(1, 10),
                 "that is from one row to the next. When is it done?"),
        ),
        hints=(
            "Where does the input leave the old range, and reach the new one?",
            "Take the time of the second row less the time of the first.",
        ),
        reason="A shift lasts from the first row off the old ratio to the new ratio.",
        picture=picture(given, one.start - 1.5, one.end + 1.5),
    )  # fmt: skip


def draw_slipping(random, given):
    """A range in which the element slips."""
    return {"range": random.choice(slips_in(given["slips"]))}


@topic("slip in percent", draw=draw_slipping)
def slip_in_percent(given):
    """How far the input runs ahead of what its range asks for."""
    mine = given["range"]
    ratio = ratios_of(train(given), FORWARDS)[mine]
    time, ahead, out = moment_of(given, mine)
    asked = ratio * out
    return Number(
        text=f"Range {mine} is commanded, under power. Its ratio is {number(ratio)}."
        f" {speeds_told(time, ahead, out)} By how many percent does the input run ahead"
        " of what the range asks for?",
        answer=100 * (ahead / asked - 1),
        within=Fraction(1),
        unit="percent",
        slips=(
            slip("the shafts compared", 100 * (Fraction(ahead, out) - 1),
                 "that compares the two shafts. Compare with what the range asks for."),
            slip("the speed difference", ahead - asked,
                 "that is in rev/min. What part of the speed that is asked for?"),
            slip("the one not taken off", 100 * ahead / asked,
                 "a hundred of it is no slip. Take that off."),
        ),
        hints=(
            "Output speed times ratio: that is what the range asks of the input.",
            "How much more does it turn? Take that as a part of what is asked for.",
        ),
        reason="Slip is what the input runs ahead, as a part of what is asked for.",
        picture=picture(given),
    )  # fmt: skip


CASES = (["above", "drive"], ["below", "drive"], ["below", "coast"])


@topic("above or below", draw=one_of(case=CASES, range=("1", "2", "3"), off=(8, 9, 10)))
def above_or_below(given):
    """What an input that is too fast, or too slow, can mean."""
    side, load = given["case"]
    way = 1 if side == "above" else -1
    ratio = float(ratios_of(train(given), FORWARDS)[given["range"]])
    kind = _finding(given, ratio * (1 + way * given["off"] / 100), load).kind
    said = {SLIPPING: MAY_SLIP, TOO_SLOW: NO_SLIP}.get(kind, RUNS_FREE)
    speed = "faster" if side == "above" else "slower"
    push = "which shaft drives here? Which one is left behind, if something slips?"
    return Choice(
        text=f"Range {given['range']} is commanded, {LOAD_WORDS[load]}. For six seconds"
        f" the input turns {given['off']} % {speed} than the range asks for. What does"
        " that tell?",
        options=(MAY_SLIP, NO_SLIP, RUNS_FREE),
        answer=said,
        slips=(
            slip("any difference taken for slip", MAY_SLIP, push),
            slip("a true sign doubted", NO_SLIP,
                 "could that speed come about by itself? Say who drives whom."),
            slip("coasting taken for drive", RUNS_FREE,
                 "engine braking is asked for where the output drives. Does it here?"),
        ),
        hints=(
            "Under power the input drives. What slips lets it run ahead.",
            "Coasting, the output drives. An input that is let go falls back.",
        ),
        reason="What slips lets the driving shaft run ahead, and never falls behind.",
    )  # fmt: skip


def _finding(given, ratio, load):
    """What the library finds in six seconds at one ratio between ranges."""
    stretch = Stretch(
        what=BETWEEN, start=0.0, end=6.0, range=given["range"],
        commanded=given["range"], load=load, ratio=ratio, error=0.005, slip=None,
        input=ratio * 800, output=800.0,
    )  # fmt: skip
    (found,) = findings_of(train(given), [stretch], chosen_limits(), False)
    return found


@topic("who could slip")
def who_could_slip(given):
    """The elements that could slip, so that a log looks like that."""
    one, wrong = shipped(), slips_in(given["slips"])
    found = {part: slips_in(part) for part in ELEMENTS}
    seen = {each: SLIPS if each in wrong else "drives" for each in FORWARDS}
    could = frozenset(
        fault.about for fault in suspects(one, seen).explain_all if fault.kind == SLIP
    )
    felt = frozenset(part for part in could if found[part])
    applied = frozenset(
        part for part in ELEMENTS if any(part in one.range(r).applied for r in wrong)
    )
    right = [each for each in FORWARDS if each not in wrong]
    return Row(
        text=f"Under power, your log's input runs ahead in {_listed(wrong)}, for"
        f" seconds. In {_listed(right)} all is well, also under full load. Which"
        " element slips?",
        options=ELEMENTS,
        answer=felt,
        slips=(
            slip("all that is applied", applied,
                 "some of these also work in ranges that do not slip."),
            *(
                slip("another element", frozenset({part}), _cleared(part, ranges))
                for part, ranges in found.items()
            ),
        ),
        hints=(
            "Which elements are applied in every range that slips?",
            "Cross out those that carry load in a range that does not.",
        ),
        reason="Who slips must be needed where it slips, and nowhere else.",
    )  # fmt: skip


def _listed(ranges):
    return f"range{'s' if len(ranges) > 1 else ''} {listed(ranges, '')}"


def _cleared(part, ranges):
    if not ranges:
        return f"the {part} would slip in none of these ranges."
    return f"the {part} would slip in {_listed(ranges)}."


topic.explain(
    "what a log cannot tell",
    "The log says which element slips. What does it not tell you? What do you do before"
    " anything is taken apart?",
    "A log shows what happens, not why: wear, pressure or controls look alike.",
    "Readings may be wrong: speed sensors, their teeth, the log's time.",
    "Go on by the maker's procedure: fluid, codes, pressures; a qualified person.",
)


LAB = Lab(
    name="read-the-log",
    title="Read the log",
    level=3,
    core=False,
    minutes=45,
    draw=draw,
    train=train,
    topics=tuple(topic),
    caution=ROAD_CAUTION,
)
