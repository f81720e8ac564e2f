"""One test of many cases that repeat a fact: each that fails is named, none hides."""

from functools import wraps
from inspect import Parameter, signature


def each(names, cases, called=None):
    """Like pytest's ``parametrize``, but one test, not one a case.

    Parameters
    ----------
    names : arguments of the test that a case fills, with commas between them
    cases : a value for the one name, or a tuple of values for several
    called : what a case is called where the test fails; its values without it

    What else the test asks for are fixtures, made once: for facts that leave nothing
    behind them.
    """
    filled = [name.strip() for name in names.split(",")]
    rows = [case if len(filled) > 1 else (case,) for case in cases]
    assert rows, "a fact about nothing"

    def decorate(check):
        asked = signature(check).parameters
        assert set(filled) <= set(asked)
        others = [name for name in asked if name not in filled]

        @wraps(check)
        def test(subtests, **fixtures):
            if "subtests" in others:  # loops in a loop
                fixtures["subtests"] = subtests
            for row in rows:
                values = dict(zip(filled, row, strict=True))
                case = row if len(filled) > 1 else row[0]
                told = {"msg": called(case)} if called else values
                with subtests.test(**told):
                    check(**values, **fixtures)

        test.__signature__ = signature(check).replace(
            parameters=[
                Parameter(name, Parameter.KEYWORD_ONLY)
                for name in dict.fromkeys(("subtests", *others))
            ]
        )
        return test

    return decorate
