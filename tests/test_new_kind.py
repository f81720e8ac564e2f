"""A kind of gear set is one record: every part of the house takes a new one as it is.

The kind that is made up here has stepped planets between a sun and two rings. Its
closed form with the first ring held, i = (1 + Zr1/Zs) / (1 − Zr1·Zp2 / (Zp1·Zr2)), is
the general one of such sets (H. W. Müller, Epicyclic Drive Trains, 1982, from memory,
to be checked against a copy); it is derived again by the mesh law here.
"""

from fractions import Fraction

import pytest
from scene_checks import cut_words, outside, overlaps

import gearlab as gl
from gearlab import draw
from gearlab.ask.assembly import assembly_verdicts
from gearlab.base.numerals import exactly
from gearlab.panels import Bench
from gearlab.train.kinds import KINDS
from gearlab.train.kinds.kind import (  # fmt: skip
    LEFT,
    PLANET,
    RIGHT,
    STEP,
    Gear,
    HalfSection,
    Hub,
    Kind,
    Pin,
    Planet,
    Port,
    ring_port,
    sun_port,
)
from gearlab.train.trainfile import read_train, write_train

PINS = (0, PLANET), (1, PLANET)
TWO_RINGS = Kind(
    teeth=("sun", "first-planet", "second-planet", "first-ring", "second-ring"),
    members=(
        "sun", "first planet", "second planet", "first ring", "second ring", "carrier",
    ),
    one_piece=(("first planet", "second planet"),),
    meshes=(
        ("external", "sun", "first planet"),
        ("internal", "first planet", "first ring"),
        ("internal", "second planet", "second ring"),
    ),
    section=HalfSection(
        width=2,
        ports=(
            sun_port(),
            ring_port("first ring"),
            ring_port("second ring", 1),
            Port(
                short="carrier",
                cells=PINS,
                exits=((PINS[0], LEFT), (PINS[1], RIGHT)),
            ),
        ),
        pieces=(
            Hub(columns=(0, 1)),
            Planet(columns=(0, 0)),
            Planet(columns=(1, 1), half=STEP),
            Pin(columns=(0, 1)),
            Gear(short="sun", columns=(0,)),
            Gear(short="first ring", columns=(0,), outside=True),
            Gear(short="second ring", columns=(1,), half=STEP, outside=True),
        ),
    ),
)  # fmt: skip
# The least that a record can say: teeth, members and meshes.
BARE = Kind(
    teeth=TWO_RINGS.teeth,
    members=TWO_RINGS.members,
    one_piece=TWO_RINGS.one_piece,
    meshes=TWO_RINGS.meshes,
)
TEETH = {
    "simple": "sun = 30\nring = 72\nplanets = 3",
    "meshed-planet": "sun = 30\ninner-planet = 16\nouter-planet = 18\nring = 82",
    "two-sun": "small-sun = 27\nlarge-sun = 33\nshort-planet = 28\nring = 99",
    "stepped-planet": "sun = 20\nsun-planet = 40\nring-planet = 20\nring = 80",
    "differential": "side = 20",
    "meshes": (
        'meshes = [\n  { gears = ["pinion", "wheel"], teeth = [20, 60],'
        ' mesh = "external", carrier = "case" },\n]'
    ),
    "two-ring": (
        "sun = 12\nfirst-planet = 24\nsecond-planet = 22\n"
        "first-ring = 60\nsecond-ring = 58"
    ),
}
TEETH["bare"] = TEETH["two-ring"]
ENDS = {
    "differential": ("left", "carrier", "right"),
    "meshes": ("pinion", "wheel", None),
    "two-sun": ("small sun", "ring", "carrier"),
    "two-ring": ("sun", "second ring", "first ring"),
    "bare": ("sun", "second ring", "first ring"),
}
CASES = (*KINDS, "two-ring", "bare")


@pytest.fixture(autouse=True)
def made_up(monkeypatch):
    """The made-up kinds are known while a test runs."""
    monkeypatch.setitem(KINDS, "two-ring", TWO_RINGS)
    monkeypatch.setitem(KINDS, "bare", BARE)


def unit(kind):
    """A train of one set of a kind, read from the text of a train file."""
    first, last, held = ENDS.get(kind, ("sun", "carrier", "ring"))
    brakes = f'[brakes]\n"brake" = "one {held}"\n' if held else ""
    applied = '["brake"]' if held else "[]"
    return read_train(
        f'name = "One set"\ninput = "one {first}"\noutput = "one {last}"\n'
        f'[sets.one]\nkind = "{kind}"\n{TEETH[kind]}\n{brakes}'
        f"[ranges]\n1 = {applied}\n"
    )


def test_every_kind_has_teeth_here():
    assert set(TEETH) == {*KINDS}


def test_the_new_kind_has_its_closed_form():
    sun, first, second, ring_1, ring_2 = 12, 24, 22, 60, 58
    top = 1 + Fraction(ring_1, sun)
    ratio = top / (1 - Fraction(ring_1 * second, first * ring_2))
    assert ratio == 116
    assert gl.power_flow(unit("two-ring"), "1").ratio == ratio


@pytest.mark.parametrize("kind", CASES)
def test_a_train_file_of_the_kind_is_written_and_read(kind):
    train = unit(kind)
    assert read_train(write_train(train)) == train


@pytest.mark.parametrize("kind", CASES)
def test_words_are_found_for_the_kind(kind):
    train = unit(kind)
    flow = gl.power_flow(train, "1")
    assert f"ratio {exactly(flow.ratio)}" in gl.describe(flow)
    found = gl.explain_count(train, "1", flow.ratio)
    assert found.agrees
    assert all(verdict.words for verdict in assembly_verdicts(train.set("one")))
    assert gl.set_up_card(train, "1")
    chart = {"1": {"applied": list(flow.applied)}}
    assert [row.level for row in gl.check_chart(train, chart)] == ["correct"]


@pytest.mark.parametrize("kind", CASES)
def test_a_sweep_and_a_search_take_the_kind(kind):
    train = unit(kind)
    ratio = gl.power_flow(train, "1").ratio
    key = next(iter(train.set("one").all_teeth))
    count = train.set("one").all_teeth[key]
    swept = gl.sweep(train, {"one": {key: [count, count]}})["1"]
    assert swept == pytest.approx([float(ratio)] * 2)
    counts = [gl.Count(range="1", count=ratio, error=Fraction(1, 8))]
    try:
        found = gl.identify(train, counts)
    except ValueError as error:
        # Of a kind without free teeth every count is the same whatever the teeth.
        assert KINDS[kind].free_teeth is None, error
    else:
        assert found.candidates


@pytest.mark.parametrize("context", ["screen", "projector", "print"])
@pytest.mark.parametrize("kind", CASES)
def test_every_drawing_takes_the_kind(kind, context):
    train = unit(kind)
    flow = gl.power_flow(train, "1")
    scenes = [
        draw.draw_stick(flow, context=context),
        draw.draw_end_view(flow, "one", context=context),
        draw.draw_end_view(flow, "one", context=context, big=True),
        draw.draw_lever(flow, "one", context=context),
        draw.draw_levers(flow, context=context),
        draw.draw_lever_ranges(train, context=context),
        draw.draw_apply_chart(train, context=context),
        draw.draw_speed_chart(train, context=context),
        draw.draw_bench(flow, context=context),
    ]
    for scene in scenes:
        assert draw.to_svg(scene)
        assert scene.alt
        assert not list(overlaps(scene))
        assert not list(outside(scene))
        assert not list(cut_words(scene))


@pytest.mark.parametrize("kind", CASES)
def test_the_panel_takes_the_kind(kind):
    panel = Bench(unit(kind), "1")
    panel.turn_output_once()
    panel.set_look(alone="one set")
    assert not panel.status
