"""The numbers of the worked examples follow from the teeth of the shipped trains."""

from fractions import Fraction

import pytest
from notebook_text import LABS, cells

import gearlab as gl
from gearlab.base.numerals import number, turn_count

LONE, THREE, FIVE = map(gl.load_train, ("lone-set", "three-range", "five-range"))
EIGHTH = Fraction(1, 8)


def ratio(row, train=FIVE):
    """Input turns for one output turn in a range."""
    return gl.power_flow(train, row).ratio


def teeth(name, train=FIVE):
    """(sun, ring) of a simple set."""
    counts = train.set(name).all_teeth
    return counts["sun"], counts["ring"]


def read_off(row, turns):
    """A count over some output turns, as the mark is read."""
    return round(turns * abs(ratio(row)) / EIGHTH) * EIGHTH


def one_set():
    sun, ring = teeth("single", LONE)
    planet = LONE.set("single").all_teeth["planet"]
    assert Fraction(sun, planet) == Fraction(3, 2)  # written 1½
    yield f"The set has sun {sun}, ring {ring} and planets of {planet}"
    yield f"1 + {ring}/{sun} = {ratio('sun to carrier', LONE)} sun turns"
    yield f"{sun}/{planet} = 1½ turns"


def first_range():
    (sun, ring), (rear_sun, rear_ring) = teeth("middle"), teeth("rear")
    past = (1 + Fraction(rear_ring, rear_sun)) * Fraction(sun, ring)
    assert Fraction(rear_ring, rear_sun) == Fraction(7, 2)  # written 3½
    assert past + 1 == ratio("1")
    yield f"(sun {rear_sun}, ring {rear_ring})"
    yield f"{rear_ring}/{rear_sun} = 3½ turns, backward"
    yield f"4½ · {sun}/{ring} = {past} turns"
    yield f"{past} + 1 = {ratio('1')}"
    yield turn_count(ratio("1")).split(" (")[0]


def third_and_reverse():
    (sun, ring), (rear_sun, rear_ring) = teeth("middle"), teeth("rear")
    third = number(ratio("3"))
    yield f"1 + {sun}/{ring} = {ratio('3')}, so {third}"
    yield f"{rear_ring} against {rear_sun}, a ratio of −{-ratio('R')}"
    torque = gl.power_flow(FIVE, "3").torques
    assert torque["common-sun brake"] > 0
    yield f"{third} × 100 = {float(-100 * torque['output']):.1f} N·m"
    yield f"the brake gives {float(100 * torque['common-sun brake']):.1f} N·m, forward"


def on_top():
    sun, ring = teeth("front")
    step = gl.shift(FIVE, "1", "3").step
    yield f"1 + {sun}/{ring} = {1 + Fraction(sun, ring)}"
    yield f"{ratio('5')} · {ratio('1')} = {ratio('2')}, so {number(ratio('2'))}"
    yield f"{ratio('1')} over {ratio('3')}, so {number(step)}"


def counted():
    count = read_off("1", 5)
    creeping = gl.solve_speeds(
        FIVE,
        {"input shaft": 1, "common-sun shaft": Fraction(-1, 20)},
        applied=["front lock clutch", "forward clutch"],
    )
    yield f"five output turns were read as {turn_count(count).split(' (')[0]}"
    yield f"{number(count)} / 5 = {number(count / 5)}"
    yield f"The chart says {number(ratio('1'))}"
    crept = number(1 / creeping["output shaft"])
    yield f"{crept} input turns, where the chart has {number(ratio('3'))}"


def on_a_lever():
    (sun, ring), (rear_sun, rear_ring) = teeth("front", THREE), teeth("rear", THREE)
    whole, rear_whole = sun + ring, rear_sun + rear_ring
    node = Fraction(rear_ring * ring, rear_whole)
    scale = Fraction(200, whole)
    first = gl.power_flow(THREE, "1").speeds
    yield f"{sun} + {ring} = {whole}"
    yield f"{ring}/{whole} of that: {round(ring * scale)} mm"
    second = gl.power_flow(THREE, "2").speeds["output shaft"]
    yield f"you read {round(100 * second)} mm"
    yield f"100/{round(100 * second)} = {100 / round(100 * second):.2f}"
    yield f"{rear_sun}/{rear_ring} as far: ratio −{-ratio('R', THREE)}"
    yield f"output (its carrier) at {ring}, ring at {whole}"
    yield f"carrier at {rear_ring}, output (its ring) at {rear_whole}"
    yield f"{rear_ring} × {ring}/{rear_whole} = {number(node)}"
    yield f"nought at {round(node * scale)} mm"
    yield f"{round(100 * first['output shaft'])} mm at the output"
    yield f"ratio {float(ratio('1', THREE)):.2f}"
    yield f"{round(-100 * first['common-sun shaft'])} mm to the left"


def torque_and_power():
    sun, ring = teeth("middle")
    whole, first = sun + ring, ratio("1")
    yield f"Range 1 has the ratio {number(first)}"
    yield f"The output gets {float(100 * first):.1f} N·m"
    yield f"The case gives the rest: {float(100 * (first - 1)):.1f} N·m"
    yield f"ring {ring}/{whole} = {round(100 * ring / whole)} %"
    yield f"sun {sun}/{whole} = {round(100 * sun / whole)} %"
    carrier = Fraction(whole, ring) / first
    yield f"{whole}/{ring} = {number(Fraction(whole, ring))}"
    yield f"1/{number(first)} = {number(1 / first)}"
    yield f"So {float(100 * carrier):.1f} % goes straight out"
    yield f"the rear set: {float(100 * (1 - carrier)):.1f} %"
    losses = {"external": 0.985, "internal": 0.99}
    lossy = -gl.power_flow(FIVE, "R", losses=losses).torque_ratio
    yield f"{number(-ratio('R'))} × 0.975 = {float(lossy):.3f}"


def proportions():
    reverse, third = read_off("R", 10), read_off("3", 10)
    over = third / 10 - 1
    yield f"Reverse was counted as {reverse} turns"
    yield f"{reverse} / 10 = {number(reverse / 10)}"
    yield f"{number(third)} / 10 = {float(third / 10)}"
    yield f"sun over ring is {float(over)}"
    yield f"1 / {float(over)} = {number(1 / over)}"
    yield f'count="{turn_count(read_off("5", 20)).split(" (")[0].replace(" +", "")}"'


def design():
    table = gl.shift_table(FIVE)
    ring = teeth("rear")[1]
    assert (20 + ring) % 3 == (26 + ring) % 3 == 0 == (ring - 26) % 2
    yield f"{ring} / 2.8 = 25"
    yield f"{ring}/26 = {number(Fraction(ring, 26))}"
    yield f"{table.spread} = {number(table.spread)} in four shifts"
    equal = float(table.spread) ** 0.25
    yield f"the fourth root of {number(table.spread)}: {equal:.3f}"
    yield f"2 to 3 is {number(table.steps[1])}, and 3 to 4 is {number(table.steps[2])}"


EXAMPLES = {
    "turn-one-set": one_set,
    "know-the-unit": first_range,
    "hold-and-reverse": third_and_reverse,
    "add-the-front-set": on_top,
    "count-and-compare": counted,
    "read-the-lever": on_a_lever,
    "follow-the-power": torque_and_power,
    "recover-the-teeth": proportions,
    "design-a-train": design,
}


@pytest.mark.parametrize("lab", EXAMPLES)
def test_the_worked_example_has_the_numbers_of_the_train(lab):
    text = "\n".join(source for _, source in cells(LABS[lab]))
    for said in EXAMPLES[lab]():
        assert said in text
