"""One test of many cases that repeat a fact: each that fails is named, none hides."""

from inspect import Parameter, signature


def each(names, cases):
    """Like pytest's ``parametrize``, but one test, not one a case.

    ``names`` are the parameters that a case fills, ``cases`` its values; what else the
    test asks for are fixtures, made once. For facts that leave nothing behind them.
    """
    filled = [name.strip() for name in names.split(",")]
    rows = [case if len(filled) > 1 else (case,) for case in cases]
    assert rows, "a fact about nothing"

    def decorate(check):
        def test(subtests, **fixtures):
            for row in rows:
                values = dict(zip(filled, row, strict=True))
                with subtests.test(**values):
                    check(**values, **{name: fixtures[name] for name in others})

        asked = signature(check).parameters
        assert set(filled) <= set(asked)
        others = [name for name in asked if name not in filled]
        test.__signature__ = signature(check).replace(
            parameters=[
                Parameter(name, Parameter.KEYWORD_ONLY)
                for name in dict.fromkeys(("subtests", *others))
            ]
        )
        test.__name__, test.__doc__ = check.__name__, check.__doc__
        test.__module__ = check.__module__
        return test

    return decorate
