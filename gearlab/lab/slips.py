"""The usual slips of learners, each with a name and what helps.

Which mistakes are usual is common practice, no source. A sentence says what was done
and where to look, never the right answer.
"""

from fractions import Fraction

from .question import Slip

WORDS = {
    "the reciprocal": "that is output turns for one input turn. Turn it over.",
    "the lost sign": "the size is right. Which way does it turn?",
    "the tooth ratio without the one": "that is ring over sun alone. The carrier turns"
    " too; what must be added?",
    "ring and sun swapped": "ring and sun have changed places. Which one is held?",
    "the ratio of another range": "that belongs to another range. Which elements are"
    " applied here?",
    "the front set forgotten": "that is the rear section alone. What does the front"
    " set do?",
    "the rear sets multiplied": "the rear sets do not follow each other. They share"
    " two shafts.",
    "the planet from the ground": "that is the planet seen from the bench. How does it"
    " turn on its carrier?",
    "the planet from its carrier": "that is the planet seen from its carrier. How does"
    " it turn for you at the bench?",
    "direction from the size": "a large ratio says nothing about the way it turns."
    " Look at what is held.",
    "a one-way clutch applied": "nobody applies a one-way clutch. It holds by itself.",
    "a clutch taken for a held member": "a clutch joins two parts. It holds nothing to"
    " the case.",
    "a step for a ratio": "that compares two ranges. One range alone is asked.",
    "a ratio for a step": "that is one range alone. Compare two ranges.",
    "coasting taken for drive": "that is true on coast. The engine drives here.",
    "drive taken for coasting": "that is true under power. Here the vehicle drives.",
}


def slip(name, answer, words=None):
    """A slip of that name; `words` says more than the usual sentence.

    Raises KeyError for a name that is not in the table and brings no words.
    """
    return Slip(name=name, answer=answer, words=words or WORDS[name])


def reciprocal(ratio):
    """Output turns per input turn in place of the ratio."""
    return slip("the reciprocal", 1 / Fraction(ratio))


def lost_sign(ratio):
    """The size without the direction, or the wrong direction."""
    return slip("the lost sign", -Fraction(ratio))


def without_the_one(ratio):
    """Ring over sun in place of 1 + ring over sun."""
    return slip("the tooth ratio without the one", Fraction(ratio) - 1)


def another_range(ratios):
    """The ratios of the other ranges, a slip each; `ratios` is {range: ratio}."""
    name = "the ratio of another range"
    return tuple(
        slip(name, ratio, f"that is range {other}. Which elements are applied here?")
        for other, ratio in ratios.items()
    )
