"""Figures of the drawings: how long one takes, and how random trains come out."""

import random
import sys
from pathlib import Path
from statistics import median
from time import perf_counter

import gearlab as gl
from gearlab.draw import draw_apply_chart, draw_levers, draw_stick, to_svg
from gearlab.draw.kit.shapes import text_boxes
from gearlab.draw.stick.layout import stick_layout

RANDOM_TRAINS = 200


def measure(report, seconds):
    """Report the figures of the drawings."""
    six = gl.load_train("six-range")
    start = perf_counter()
    draw_stick(gl.power_flow(six, "4"))
    took = 1e3 * (perf_counter() - start)
    report("six-range stick diagram, laid out the first time", "–", f"{took:.0f} ms")
    flows = [gl.power_flow(six, name) for name in six.range_names]

    def stick():
        for flow in flows:
            to_svg(draw_stick(flow))

    took = 1e3 * seconds(stick, 5) / len(flows)
    report("  with power path, built and painted to SVG", "15 ms", f"{took:.1f} ms")
    five = gl.load_train("five-range")
    flow = gl.power_flow(five, "2")
    for what, draw in (
        ("five-range levers with torques", lambda: draw_levers(flow, torques=True)),
        ("five-range apply chart", lambda: draw_apply_chart(five, current="2")),
    ):
        took = 1e3 * seconds(lambda draw=draw: to_svg(draw()), 5)
        report(f"{what}, built and painted", "–", f"{took:.1f} ms")
    _random_trains(report)


def _random_trains(report):
    sys.path.insert(0, str(Path(__file__).parents[1]))
    import trains

    rng = random.Random(41)
    crossings, times, overlaps = [], [], 0
    for _ in range(RANDOM_TRAINS):
        train = trains.random_drawn_train(rng)
        start = perf_counter()
        scene = draw_stick(gl.power_flow(train, applied=train.element_names[:2]))
        to_svg(scene)
        times.append(perf_counter() - start)
        crossings.append(stick_layout(train).crossings)
        overlaps += _overlapping(text_boxes(scene))
    none = crossings.count(0)
    report(
        f"crossings of {RANDOM_TRAINS} random trains",
        "–",
        f"median {median(crossings):g}, worst {max(crossings)}, none in {none};"
        f" {overlaps} texts overlap",
    )
    report(
        "  laid out, drawn and painted the first time",
        "–",
        f"median {1e3 * median(times):.0f} ms, worst {1e3 * max(times):.0f} ms",
    )


def _overlapping(boxes):
    """How many pairs of texts share some of the picture."""
    found = 0
    for i, (_, a) in enumerate(boxes):
        for _, b in boxes[:i]:
            wide = min(a[2], b[2]) - max(a[0], b[0])
            high = min(a[3], b[3]) - max(a[1], b[1])
            found += wide > 0 and high > 0
    return found
