"""Measure the questions about many flows, and the full mesh equations in sympy."""

import sys
from fractions import Fraction
from itertools import count
from pathlib import Path

import gearlab as gl
from gearlab.train.motion import free_motions

COUNTED = {"1": 5, "2": 5, "3": 5, "4": 5, "5": 5, "R": 5}  # output turns counted


def measure(report, seconds):
    """Report every figure; `seconds` is the time of one call."""
    six, five = gl.load_train("six-range"), gl.load_train("five-range")
    took = 1e3 * seconds(lambda: _rows(six), 1)
    rows = len(gl.survey(six).rows)
    report(f"six-range: {rows} combinations × 2 loads", "50 ms", f"{took:.0f} ms")
    times = {
        name: 1e6 * seconds(lambda n=name: gl.member_loads(gl.power_flow(six, n)), 20)
        for name in six.range_names
    }
    worst = max(times, key=times.get)
    report(
        "six-range: a range with all torques of all members",
        "600 µs",
        f"worst {times[worst]:.0f} µs (range {worst})",
    )
    _beside_sympy(report, seconds, six)
    _large_survey(report, seconds)
    _sweep(report, seconds, five)
    _identify(report, five)


def _rows(train):
    return [(row.drive, row.coast) for row in gl.survey(train).rows]


def _beside_sympy(report, seconds, train):
    name = "4"

    def ours():
        flow = gl.power_flow(train, name)
        return flow.speeds, gl.member_loads(flow).torques

    speeds, torques = ours()
    other_speeds, other_torques = _by_sympy(train, name)
    same = all(speeds[m] == s for m, s in other_speeds.items())
    same &= all(torques[m] == t for m, t in other_torques.items())
    fast = seconds(ours, 20)
    slow = seconds(lambda: _by_sympy(train, name), 1)
    report(
        f"sympy.solve on the full mesh equations, range {name}",
        "100 ×",
        f"{slow / fast:.0f} × ({1e3 * slow:.0f} ms), the same answer: {same}",
    )


def _by_sympy(train, name):
    """Speeds and member torques of a range from every mesh equation at once."""
    import sympy

    laws = free_motions(train).laws
    bodies = sorted(set(train.body_of.values()))
    w = {body: sympy.Symbol(f"w{i}") for i, body in enumerate(bodies)}
    lam = [sympy.Symbol(f"m{i}") for i in range(len(laws))]
    equations = [w["case"], w[train.body_of[train.input]] - 1]
    for law in laws:
        equations.append(sum(c * w[train.body_of[m]] for m, c in law.parts))
    balance = dict.fromkeys(bodies, sympy.Integer(0))
    symbols = (sympy.Symbol(f"t{i}") for i in count())
    for element in train.range(name).applied:
        first, second = (train.body_of[m] for m in train.by_name[element].sides)
        equations.append(w[first] - w[second])
        torque = next(symbols)
        balance[first] += torque
        balance[second] -= torque
    balance[train.body_of[train.input]] += 1
    balance[train.body_of[train.output]] += next(symbols)
    balance["case"] += next(symbols)
    for law, torque in zip(laws, lam, strict=True):
        for member, c in law.parts:
            balance[train.body_of[member]] += c * torque
    found = sympy.solve([*equations, *balance.values()], dict=True)[0]
    on_members = {}
    for law, torque in zip(laws, lam, strict=True):
        for member, c in law.parts:
            on_members[member] = on_members.get(member, 0) - c * found[torque]
    return (
        {m: _fraction(found[w[train.body_of[m]]]) for m in on_members},
        {m: _fraction(t) for m, t in on_members.items()},
    )


def _fraction(value):
    return Fraction(int(value.p), int(value.q))


def _large_survey(report, seconds):
    sys.path.insert(0, str(Path(__file__).parents[1]))
    from trains import make_train, simple

    sets = [simple(f"s{i}", 30 + 2 * i, 72 + 2 * i) for i in range(5)]
    brakes = {f"brake {i}": f"s{i} sun" for i in range(5)}
    brakes |= {f"ring brake {i}": f"s{i} ring" for i in range(1, 5)}
    clutches = {f"lock {i}": (f"s{i} sun", f"s{i} ring") for i in range(5)}
    clutches |= {f"link {i}": (f"s{i} carrier", f"s{i + 1} ring") for i in range(4)}
    clutches |= {f"far {i}": (f"s{i} sun", f"s{i + 2} carrier") for i in range(2)}
    train = make_train(
        *sets, input="s0 ring", output="s4 carrier", brakes=brakes, clutches=clutches
    )
    found = gl.survey(train)
    took = seconds(lambda: gl.survey(train), 1)
    report(
        f"a train of {len(train.elements)} elements: its survey",
        "bounded",
        f"{1e3 * took:.0f} ms, {len(found.rows)} rows; {found.left_out}",
    )


def _sweep(report, seconds, train):
    import numpy as np

    draw = np.random.default_rng(7)
    size = 100_000
    sun = draw.integers(12, 30, size) * 2
    teeth = {"rear": {"sun": sun, "ring": sun + 2 * draw.integers(12, 22, size)}}
    took = seconds(lambda: gl.sweep(train, teeth), 1)
    ratios = gl.sweep(train, teeth)
    places = draw.integers(0, size, 50)
    exact = all(
        abs(
            ratios[name][i]
            - float(
                gl.power_flow(
                    train.with_teeth(
                        {"rear": {k: int(v[i]) for k, v in teeth["rear"].items()}}
                    ),
                    name,
                ).ratio
            )
        )
        < 1e-9 * abs(ratios[name][i])
        for i in places
        for name in ("1", "3", "R")
    )
    report(
        f"sweep of {size} tooth-count variants, {len(ratios)} ranges",
        "1 s",
        f"{took:.2f} s, as exact as checked: {exact}",
    )


def _identify(report, train):
    from time import perf_counter

    counts = [
        gl.Count(
            range=name,
            count=round(8 * over * gl.power_flow(train, name).ratio) / 8,
            error=Fraction(1, 8),
            over=over,
        )
        for name, over in COUNTED.items()
    ]
    start = perf_counter()
    found = gl.identify(train, counts)
    took = perf_counter() - start
    own = {one.name: one.all_teeth["sun"] for one in train.sets}
    place = next(
        (
            i
            for i, one in enumerate(found.candidates, start=1)
            if all(
                any(teeth["sun"] == own[name] for teeth in choices)
                for name, choices in one.choices.items()
            )
        ),
        None,
    )
    report(
        "identify over all assemblable teeth 15 to 120, three sets",
        "5 s",
        f"{took:.1f} s; the true teeth are candidate {place}",
    )
