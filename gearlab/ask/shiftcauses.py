"""Who was early or late in a shift that a road log shows."""

from ..base import checks
from ..base.brief import Several
from .log.changes import BELOW, FLARE, TIE_UP, LogShift
from .log.roadlog import RoadLog
from .shifts import early_late, shift

# What a shift in a log is like, in the words of MidShift.
_SEEN_AS = {
    FLARE: ("flare",),
    TIE_UP: ("tie-up", "output locked"),
    BELOW: ("higher range",),
}


def shift_causes(log, log_shift):
    """Which elements were early or late in a shift of a log that was not clean.

    Parameters
    ----------
    log : RoadLog
    log_shift : one of ``log.shifts``

    Returns
    -------
    Several :class:`~gearlab.ask.shifts.MidShift`: the orders of the elements that come
    to what the log shows. There are none for a clean shift, nor where no order does.

    Raises
    ------
    ValueError
        Something else than a log and one of its shifts.
    """
    checks.given(log, RoadLog, "a road log", "write gl.read_log(path, train)")
    checks.given(log_shift, LogShift, "a shift of a log", "take one of log.shifts")
    words = _SEEN_AS.get(log_shift.kind, ())
    if not words:
        return Several()
    made = shift(log.train, log_shift.before, log_shift.after)
    return Several(one for one in early_late(made) if one.word in words)
