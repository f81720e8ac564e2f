"""What to do about a finding in an apply chart, in a sentence."""

from ..ask.chartcheck import CORRECT, OTHER_ELEMENTS, ChartFinding
from ..base import checks
from ..solve.equilibrium import DRIVES, NEUTRAL, OUTPUT_LOCKED, TIED_UP

_REMEDIES = {
    CORRECT: "Leave it as it is.",
    "unknown name": "Write the name as it stands in the train file.",
    "one-way applied": "Take it out of the applied elements, and mark it as one-way.",
    "not released": "Compare the row with the one before, and name what goes off.",
    TIED_UP: "Take one of those out of the row; if all are applied on the real unit,"
    " look for a wrong member in their lines.",
    NEUTRAL: "Look for an element that is missing in the row, or for a one-way clutch"
    " the wrong way round: swap its member and what it is against.",
    OUTPUT_LOCKED: "Look for an element too many, or for one that holds another member"
    " in the unit than in the file.",
    DRIVES: "Take out an element, or give the row another name if it is a range.",
    "no sign": "Write a minus before the ratio.",
    "another ratio": "Count this range on the unit; if the row is right, count the"
    " teeth again, and follow the shafts of the sets at work.",
    "another coast": "Apply what is applied on the unit, or take out what is not.",
    OTHER_ELEMENTS: "See on the unit which of the two is applied, and write that.",
    "overruns": "Take the mark away, unless the unit was turned with a free output.",
    "carries nothing": "Take the mark away.",
    "not marked": "Mark it as one-way: it holds by itself.",
    "does nothing": "Leave it if it is ready for another range or backs something up;"
    " else take it out, or look whether it holds another member.",
}


def remedy(finding):
    """What to do about a :class:`~gearlab.ask.chartcheck.ChartFinding`, in a sentence.

    Raises ValueError for something that is no finding.

    >>> import gearlab
    >>> train = gearlab.load_train("three-range")
    >>> for found in gearlab.check_chart(train, {"R": ["low brakes"]}):
    ...     print(found.kind, "→", remedy(found))
    unknown name → Write the name as it stands in the train file.
    """
    way_out = "take one from gl.check_chart(train, chart)"
    return _REMEDIES[checks.given(finding, ChartFinding, "a finding", way_out).kind]
