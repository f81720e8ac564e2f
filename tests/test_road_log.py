"""Road logs: read in any form, ratios and shifts found, faults named; and made up."""

import pickle
import re
import subprocess
import sys
from functools import cache
from itertools import pairwise
from math import isclose, isnan
from random import Random

import numpy as np
import pytest
from test_public import WRONG, answered_in_one_sentence, shows_itself

import gearlab as gl
from gearlab import draw
from gearlab.ask.log.limits import LIMITS

TRAIN = gl.load_train("five-range")
FAULTS = {fault.words: fault for fault in gl.faults(TRAIN)}
SLIPS = FAULTS["The direct clutch slips above some torque."]
HEAD = "time,input,output"
PLAIN = "\n".join([HEAD, *(f"{i / 10},2833,1000" for i in range(100))])
TWO_FORWARD = [
    name
    for name in gl.train_names()
    if len(gl.shift_table(gl.load_train(name)).ranges) > 1
]


@cache
def there_and_back(name):
    """A drive through all ranges of a train and back."""
    up = gl.shift_table(gl.load_train(name)).ranges
    return [(one, 4) for one in (*up, *up[-2::-1])]


@pytest.fixture
def read(tmp_path):
    """Read a log from text or bytes, or one that is made with some arguments."""

    def reading(given=None, *, train=TRAIN, how=None, **made):
        path = tmp_path / "drive.csv"
        if given is None:
            given = gl.make_log(train, **made).text()
        path.write_bytes(given if isinstance(given, bytes) else given.encode())
        return gl.read_log(path, train, **(how or {}))

    return reading


def refused(read, text, **how):
    """The sentence with which a log is refused."""
    with pytest.raises(ValueError) as caught:
        read(text, how=how)
    words = str(caught.value)
    assert "\n" not in words
    assert len(words) < 500
    assert not words.endswith(".")
    return words.split("cannot be used: ")[-1]


# What is found ------------------------------------------------------------------------


@pytest.mark.parametrize("name", TWO_FORWARD)
def test_ranges_and_shift_times_of_a_noisy_drive(read, name):
    train = gl.load_train(name)
    for seed in (3, 4):
        made = gl.make_log(train, drive=there_and_back(name), seed=seed)
        log = read(made.text(), train=train)
        found = [(one.before, one.after) for one in log.shifts]
        assert found == [(one.before, one.after) for one in made.shifts]
        for one, true in zip(log.shifts, made.shifts, strict=True):
            assert abs(one.start - true.start) <= 0.05
            assert abs(one.end - true.end) <= 0.05
            assert one.kind == "clean"
        steady = [
            place
            for place, row in enumerate(made.rows)
            if not any(one.start <= row[0] <= one.end for one in made.shifts)
        ]
        right = sum(
            train.range_names[log.column("range")[place]] == made.rows[place][3]
            for place in steady
        )
        assert right >= 0.99 * len(steady)
        assert not log.bad


def test_a_moment_is_the_quotient_of_its_row(read):
    log = read("\n".join([HEAD, "0,2800,1000", "0.1,1900,1000", "0.2,2850,1000"]))
    assert log.at(0.1).ratio == 1.9
    assert log.at("0,14") == log.moment(1) == log.at(0.06)
    assert "range 2, 1.889 (17/9)" in str(log.at(0.1))
    with pytest.raises(ValueError, match=r"runs from 0 s to 0\.2 s"):
        log.at(3)


def test_who_slips_is_named_with_how_much(read):
    log = read(fault=SLIPS, slip=0.09)
    assert {(one.range, one.kind) for one in log.bad} == {
        ("4", "possible slip"),
        ("5", "possible slip"),
    }
    slips = [one.slip for one in log.stretches if one.what == "between ranges"]
    assert all(abs(slip - 0.09) < 0.005 for slip in slips)
    assert len(slips) == 2
    assert log.suspects.explain_all[0] == SLIPS
    assert "direct clutch slips" in str(log)


def test_slip_is_seen_where_nobody_says_which_range_was_asked_for(read):
    rows = gl.make_log(TRAIN, fault=SLIPS, slip=0.12).text(fault=False).splitlines()
    rows = [",".join(row.split(",")[:3]) for row in rows if row[0] != "#"]
    log = read("\n".join(rows))
    assert {(one.range, one.kind) for one in log.bad} == {
        ("4", "possible slip"),
        ("5", "possible slip"),
    }
    assert log.suspects.explain_all[0] == SLIPS
    assert [(one.before, one.after) for one in log.shifts] == [*pairwise("12345")]
    assert "Nothing tells which range was asked for" in str(log)


@pytest.mark.parametrize(
    "words",
    [
        "The direct clutch fails to apply.",
        "The low one-way clutch fails to hold.",
        "The overdrive brake fails to release.",
        "The forward clutch fails to apply.",
    ],
)
def test_what_failed_is_among_the_suspects(read, words):
    log = read(fault=FAULTS[words])
    assert log.bad
    assert FAULTS[words] in log.suspects.explain_all
    assert len(log.suspects.explain_all) < len(FAULTS) / 3


@pytest.mark.parametrize("name", ["five-range", "six-range"])
def test_every_fault_that_shows_is_suspected_and_a_sound_train_is_not(read, name):
    """A drive through every range that drives, with each single fault in turn."""
    train = gl.load_train(name)
    table = gl.symptoms(train)
    ratios = {each: gl.power_flow(train, each).ratio for each in train.range_names}
    drive = [(each, 6) for each, ratio in ratios.items() if ratio and ratio > 0]
    drive += [("N", 4), ("R", 8)]
    tried = 0
    for fault in gl.faults(train):
        shows = any(
            table.rows[fault][each, "drive"] != table.sound[each, "drive"]
            for each, _ in drive
        )
        log = read(train=train, drive=drive, fault=fault, slip=0.12, rate=10, seed=3)
        if not shows:
            assert not log.bad, fault
            continue
        assert fault in log.suspects.explain_all, fault
        tried += 1
    assert tried > 15


def test_what_is_seen_last_counts(read):
    """An element that fails on the way: what the range did before is the past."""
    fault = FAULTS["The direct clutch fails to apply."]
    log = read(fault=fault, since=14, drive=[("3", 4), ("4", 4), ("3", 4), ("4", 5)])
    kinds = [one.kind for one in log.findings if one.range == "4"]
    assert kinds == ["as asked", "another range"]
    assert log.observations["4", "drive"] == "drives like range 1"
    assert log.suspects.explain_all[0] == fault


def test_flares_and_tie_ups_are_told_apart(read):
    log = read(flares=[("2", "3", 0.15)], tie_ups=[("3", "4", 0.12)])
    kinds = {(one.before, one.after): one.kind for one in log.shifts}
    assert kinds["2", "3"] == "flare"
    assert kinds["3", "4"] == "tie-up"
    assert list(kinds.values()).count("clean") == 2
    flare = next(one for one in log.shifts if one.kind == "flare")
    assert abs(flare.size - 0.15) < 0.05
    words = {row.word for row in gl.shift_causes(log, flare)}
    assert words == {"flare"}
    assert not gl.shift_causes(log, log.shifts[0])


def test_only_an_input_that_runs_ahead_can_slip(read):
    """9 % toward lower input speed is no slip, and accuses nobody."""
    rows = [f"{i / 10},{1000 * 17 / 6 * 0.91:.1f},1000,1" for i in range(100)]
    log = read("\n".join([f"{HEAD},range", *rows]))
    (one,) = log.findings
    assert (one.kind, one.observation) == ("input too slow", None)
    assert log.suspects is None
    assert "no slip does" in str(log)


def test_coasting_in_a_range_that_freewheels_is_as_the_chart_has_it(read):
    rows = [f"{i / 10},700,1000,1,-20" for i in range(100)]
    log = read("\n".join([f"{HEAD},range,torque", *rows]))
    assert dict(log.observations) == {("1", "coast"): "no engine braking"}
    assert log.suspects.explain_all[0].kind == "not in the gear train"


def test_an_output_that_stands_is_told_where_nobody_says_the_range(read):
    rows = [f"{i / 20},800,0" for i in range(100)]
    rows += [f"{5 + i / 20},1889,1000" for i in range(100)]
    log = read("\n".join([HEAD, *rows]))
    assert [one.what for one in log.stretches] == ["output stands", "in a range"]
    assert log.stretches[0].range == log.stretches[0].commanded == ""
    assert [one.what for one in log.bad] == []


def test_an_output_that_stands_while_the_input_turns(read):
    rows = [f"{i / 10},1500,0,1" for i in range(100)]
    log = read("\n".join([f"{HEAD},range", *rows]))
    assert log.observations["1", "drive"] == "no drive"
    assert log.at(5).ratio is None
    neutral = read("\n".join([f"{HEAD},range", *(row[:-1] + "N" for row in rows)]))
    assert not neutral.findings


def test_reverse_is_known_by_its_sign_where_there_is_one(read):
    drive = [("N", 2), ("R", 6), ("N", 2), ("1", 5)]
    log = read(drive=drive)
    assert log.signed
    assert log.at(5).range == "R"
    assert log.at(5).ratio < 0
    assert [one.range for one in log.findings] == ["R", "1"]


# Gaps, spikes, limits -----------------------------------------------------------------


def test_gaps_spikes_and_empty_cells_are_left_out_and_told(read):
    lines = PLAIN.splitlines()
    lines[30] = "2.9,9000,1000"
    lines[40] = "3.9,,1000"
    del lines[60:80]
    log = read("\n".join(lines))
    assert (log.spikes, log.missing, len(log.gaps)) == (1, 1, 1)
    assert "1 moment without a speed, 1 spike taken out and 1 gap in time" in str(log)
    assert log.moment(29).input is None
    assert isnan(log.column("ratio")[39])
    assert [one.range for one in log.stretches] == ["1", "1"]


def test_limits_are_chosen_and_tell_where_they_come_from(read):
    rows = [f"{i / 10},{1000 * 17 / 6 * 1.06:.1f},1000,1" for i in range(100)]
    text = "\n".join([f"{HEAD},range", *rows])
    assert read(text).bad
    wide = read(text, how={"limits": {"band": "0,08"}})
    assert not wide.bad
    told = str(wide.limits)
    assert "0.08" in told and "given" in told
    assert told.count("common practice, no source") == 2
    assert len(wide.limits.values) == len(LIMITS)
    slow = read(text, how={"limits": {"least output": 1200}})
    assert not slow.findings


def test_a_known_error_is_taken_for_the_scatter(read):
    log = read(PLAIN, how={"error": 0.01})
    assert isclose(log.moment(5).error, 2 * 2**0.5 * 0.01 * 2.833)
    assert read(PLAIN).moment(5).error == 0


# Files in any form --------------------------------------------------------------------


def test_the_same_drive_in_every_form_is_the_same(read):
    plain = read(PLAIN)
    semicolons = PLAIN.replace(",", ";").replace(".", ",")
    forms = [
        semicolons,
        semicolons.replace(";", "\t"),
        f"\ufeff{PLAIN}",
        PLAIN.encode("utf-16"),
        PLAIN.replace("time", "Time [s]").encode("cp1252"),
        f"# a note\n\n{PLAIN}\n\n# an end\n",
        PLAIN.replace("\n", "\r\n"),
        PLAIN.replace(HEAD, f"{HEAD}\ns,rpm,1/min"),
    ]
    for form in forms:
        assert read(form).track == plain.track, form[:40]


def test_units_and_names_are_mapped_and_shown(read, tmp_path):
    rows = [f"{100 * i};{60 * i};{2 * i};9" for i in range(1, 60)]
    text = "\n".join(["Zeit (ms);n_in [1/s];drum deg/s;oil", *rows])
    path = tmp_path / "log.csv"
    path.write_text(text, encoding="utf-8")
    how = {"columns": {"time": "Zeit (ms)", "output": 3}}
    log = gl.read_log(path, TRAIN, **how)
    assert list(log.column("time")[:2]) == pytest.approx([0.1, 0.2])
    assert log.column("input")[0] == pytest.approx(3600)
    assert log.column("output")[0] == pytest.approx(1 / 3)
    preview = gl.preview_log(path, **how)
    assert preview == log.preview
    page = shows_itself(preview)
    assert "3: drum deg/s" in page.texts
    assert preview.left == ("oil",)
    assert preview.of("input").first == ("60", "120", "180")
    assert preview.of("range") is None


def test_clock_times_are_counted_from_the_first(read):
    rows = [f"12:00:{i:02}.5,2833,1000" for i in range(60)]
    log = read("\n".join(["clock,n in,n out", *rows]))
    assert (log.start, log.end) == (0, 59)
    assert len(log.stretches) == 1


BAD = {
    "": "it is empty",
    "time,input\n0,1\n1,2": "no column for the output speed",
    "a,b\n0,1\n1,2": "no column for the time, the input speed and the output speed",
    "0,1,2\n1,2,3": "must name the columns",
    f"{HEAD}\n0,1,2": "1 row below its names",
    f"{PLAIN}\n10,x,3": 'line 102, column "input": "x" is no number',
    f"{PLAIN}\n10,25 Hz,3": "line 102.*brings a unit",
    f"{PLAIN}\n3,1,2": "runs backward in line 102, from 9.9 s to 3 s",
    PLAIN.replace(".", ","): "put semicolons between",
    f'{PLAIN}\n10,"3,4': "quotation mark",
    "time,input [rad/s],output\n0,1,2\n1,2,3": "in rad/s, but the output speed tells",
    "time,input [mph],output\n0,1,2\n1,2,3": "no unit of speed that is known",
    f"{HEAD},gear\n0,1,2,X\n1,2,3,1": 'commanded range is "X"',
    f"{HEAD}\n" + "5,1,2\n" * 3: "stands still",
    b"\x89PNG\x00\x01" * 99: "is no text",
    b"PK\x03\x04" * 9: "workbook",
}


@pytest.mark.parametrize("text", BAD, ids=lambda text: text[:24])
def test_a_file_that_cannot_be_used_is_told_in_one_sentence(read, text):
    words = refused(read, text)
    assert re.search(BAD[text], words), words


def test_a_file_too_large_is_refused_before_it_is_read(tmp_path):
    path = tmp_path / "huge.csv"
    with path.open("wb") as file:
        file.truncate(3 * 10**9)
    with pytest.raises(ValueError, match=r"3,000,000,000 bytes.*every tenth row"):
        gl.read_log(path, TRAIN)


def test_wrong_options_are_told_in_one_sentence(tmp_path):
    path = tmp_path / "log.csv"
    path.write_text(PLAIN, encoding="utf-8")
    for wrong in WRONG:
        answered_in_one_sentence(gl.read_log, (path, TRAIN), wrong)
        answered_in_one_sentence(gl.preview_log, (path,), wrong)
        log = gl.read_log(path, TRAIN)
        answered_in_one_sentence(gl.shift_causes, (log, None), wrong)
        answered_in_one_sentence(log.column, ("time",), wrong)
        answered_in_one_sentence(log.at, (1,), wrong)


@pytest.mark.filterwarnings("error")
def test_any_log_is_read_and_shown_without_a_warning(read):
    """Random drives of random trains, with holes, jumps and columns left out."""
    random = Random(8)
    trains = [gl.load_train(name) for name in gl.train_names()]
    for _ in range(30):
        train = random.choice(trains)
        drive = [(random.choice(train.range_names), random.choice([1, 3, 6]))]
        drive += [(random.choice(train.range_names), random.choice([1, 3, 6]))]
        made = gl.make_log(
            train,
            drive=drive,
            fault=random.choice([None, random.choice(gl.faults(train))]),
            since=random.choice([0, 3]),
            rate=random.choice([2, 10, 50]),
            noise=random.choice([0, 0.01, 0.05]),
            seed=random.randint(0, 999),
        )
        head, *rows = made.text(fault=False).split("time [s]")[1].splitlines()
        for place in random.sample(range(len(rows)), min(len(rows), 6)):
            cells = rows[place].split(",")
            cells[random.choice([1, 2])] = random.choice(["", "0", "99999", "-5"])
            rows[place] = ",".join(cells)
        if random.random() < 0.3:
            head, *rows = (",".join(row.split(",")[:3]) for row in (head, *rows))
        log = read("\n".join([f"time [s]{head}", *rows]), train=train)
        for part in (log, *log.shifts, *log.findings, *log.stretches, log.moment(1)):
            assert str(part)
        draw.to_svg(draw.draw_log(log))


# The result, and what is made up ------------------------------------------------------


def test_a_log_is_frozen_and_shows_itself(read):
    log = read(fault=SLIPS)
    assert pickle.loads(pickle.dumps(log)) == log
    assert hash(log) == hash(log)
    assert log.suspects.explain_all[0] == SLIPS
    with pytest.raises(TypeError):
        log.column("ratio")[0] = 3.0
    assert np.asarray(log.column("ratio")).shape == (len(log),)
    parts = [log.at(3), *log.stretches, *log.shifts, *log.findings, *log.preview.taken]
    for part in (log, log.stretches, log.shifts, log.findings, log.limits, *parts):
        shows_itself(part)
    for part in parts[:-5]:
        for value in vars(part).values():
            assert not isinstance(value, (np.generic, np.ndarray)), (part, value)


def test_a_log_that_was_read_is_looked_at_without_numpy(read, tmp_path):
    """So a panel shows it where nothing is at hand but Python."""
    kept = tmp_path / "log.pickle"
    kept.write_bytes(pickle.dumps(read(fault=SLIPS)))
    code = (
        "import sys, pickle, pathlib; sys.modules['numpy'] = None\n"
        "log = pickle.loads(pathlib.Path(sys.argv[1]).read_bytes())\n"
        "import gearlab.draw as draw\n"
        "print(log.at(17), draw.to_svg(draw.draw_log(log, at=17))[:4], log.suspects)"
    )
    run = subprocess.run(
        [sys.executable, "-c", code, str(kept)],
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert "Nearest is range 4" in run.stdout, run.stderr
    assert "<svg" in run.stdout and "direct clutch slips" in run.stdout


def test_names_from_a_file_are_escaped(tmp_path):
    path = tmp_path / "<b>.csv"
    path.write_text(PLAIN.replace(HEAD, "time,input,output,<i>"), encoding="utf-8")
    log = gl.read_log(path, TRAIN)
    for result in (log, log.preview):
        page = result._repr_mimebundle_()["text/html"]
        assert "<b>" not in page and "<i>" not in page


def test_a_made_log_says_so_and_is_the_same_again():
    made = gl.make_log(TRAIN, fault=SLIPS, since=6, noise=0.02, seed=5)
    assert made == gl.make_log(TRAIN, fault=SLIPS, since=6, noise=0.02, seed=5)
    assert made.rows != gl.make_log(TRAIN, noise=0.02, seed=6).rows
    head = made.text().split("time [s]")[0]
    assert "Invented" in head and "Noise of a speed: 2 %" in head
    assert "From 6 s on: The direct clutch slips" in head
    assert "direct clutch" not in made.text(fault=False)
    ratios = [row[1] / row[2] for row in made.rows if 1 < row[0] < 5]
    assert np.std(ratios) / np.mean(ratios) == pytest.approx(0.02 * 2**0.5, rel=0.15)


def test_a_made_log_stays_as_it_was_made():
    """A student's log is kept by its seed: the same rows in every version."""
    rows = gl.make_log(TRAIN, drive=[("1", 2), ("2", 2)], rate=10).rows
    told = [tuple(f"{value:.3f}" for value in row[:3]) for row in (rows[0], rows[-1])]
    assert told == KEPT


KEPT = [("0.000", "875.113", "315.237"), ("3.900", "2413.072", "1285.305")]
