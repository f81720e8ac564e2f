"""What marking notes on a sheet, and when its last answer was given."""

from datetime import datetime

FOREIGN = "numbers are not this student's"
UNKNOWN = "no question of this lab"
UNASKABLE = "cannot be asked as it was"
EARLIER = "asked by an earlier version, so whose numbers these are is not known"


def noted(row, what):
    """The questions of a marked sheet on which something of these is noted."""
    start = f"{what}: "
    return tuple(
        note.removeprefix(start) for note in row.notes if note.startswith(start)
    )


def last_answer(sheet):
    """The local time of the last answer in a sheet, "2031-05-17 10:45", or "".

    It is as the sheet has it: the time of a file changes whenever it is copied.
    """
    latest = max((attempt.when for attempt in sheet.attempts), default="")
    try:
        return datetime.fromisoformat(latest).astimezone().strftime("%Y-%m-%d %H:%M")
    except (ValueError, OverflowError, OSError):  # anybody may have written it
        return ""
