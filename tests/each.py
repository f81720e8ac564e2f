"""Many rows of one fact as one case of a test, with a failure that names its row."""

from functools import wraps
from inspect import signature


def each(names, rows, called=str):
    """Run a test for each row, as ``pytest.mark.parametrize`` does, but as one case.

    Parameters
    ----------
    names : arguments of the test, with commas between them
    rows : a value for the one name, or a tuple of values for several
    called : what a row is called where the test fails
    """
    names = [name.strip() for name in names.split(",")]

    def looped(test):
        @wraps(test)
        def run(**given):
            assert rows
            for row in rows:
                values = row if len(names) > 1 else (row,)
                try:
                    test(**given, **dict(zip(names, values, strict=True)))
                except BaseException as error:
                    error.add_note(f"{', '.join(names)}: {called(row)}")
                    raise

        whole = signature(test)
        left = [one for name, one in whole.parameters.items() if name not in names]
        run.__signature__ = whole.replace(parameters=left)
        return run

    return looped
