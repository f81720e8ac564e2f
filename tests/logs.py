"""Road logs of the five-range unit for tests: sound, and each thing that goes wrong."""

from functools import lru_cache
from pathlib import Path
from tempfile import TemporaryDirectory

import gearlab as gl

TRAIN = gl.load_train("five-range")
FAULTS = {fault.words: fault for fault in gl.faults(TRAIN)}
SLIPS = FAULTS["The direct clutch slips above some torque."]
FAILS = FAULTS["The direct clutch fails to apply."]
OPEN = FAULTS["The forward clutch fails to apply."]
TIED = FAULTS["The overdrive brake fails to release."]
FLARES, TIE_UPS = [("2", "3", 0.15)], [("3", "4", 0.12)]
WRONG = {
    "flares": {"flares": FLARES, "tie_ups": TIE_UPS},
    "slips": {"fault": SLIPS},
    "fails": {"fault": FAILS},
    "open": {"fault": OPEN, "drive": [("1", 5)]},
    "tied": {"fault": TIED, "since": 4, "drive": [("2", 4), ("3", 6)]},
}
_ROWS = "time,input,output,range,torque"


def steady(ahead, out, asked, torque):
    """The text of ten seconds in which nothing changes."""
    rows = (f"{i / 5},{ahead},{out},{asked},{torque}" for i in range(50))
    return "\n".join([_ROWS, *rows])


def dipping():
    """The text of a shift in which the ratio falls below both ranges."""
    ratios = [1.889] * 20 + [1.7, 1.5, 1.2, 1.1, 1.2, 1.3] + [1.407] * 24
    rows = (f"{i / 20},{1000 * one},1000,,9" for i, one in enumerate(ratios))
    return "\n".join([_ROWS, *rows])


@lru_cache(maxsize=1)
def road_logs():
    """``{what is wrong: RoadLog}``; the files have a number for a name."""
    texts = {
        name: gl.make_log(TRAIN, **how, rate=20).text() for name, how in WRONG.items()
    }
    texts["slow"] = steady(2550, 1000, "1", 20)
    texts["coasts"] = steady(800, 1000, "3", -20)
    texts["dips"] = dipping()
    logs = {}
    with TemporaryDirectory() as folder:
        for number, (name, text) in enumerate(texts.items()):
            path = Path(folder) / str(number)
            path.write_text(text, encoding="utf-8")
            logs[name] = gl.read_log(path, TRAIN)
    return logs


def drawn_logs():
    """The road logs, and one as it is made."""
    return road_logs() | {"made": gl.make_log(TRAIN, rate=5)}
