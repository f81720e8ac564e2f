"""Rows in one case of a test: every one is run, and a failure names its row."""

import pytest
from each import each


def test_every_row_is_run_and_the_one_that_fails_is_named():
    seen = []

    @each("b", (1, 2))
    @each("a, c", [("x", 0), ("y", 1)], lambda row: f"<{row[0]}>")
    def rows(a, b, c, more):
        seen.append((a, b, c, more))
        assert (a, b) != ("y", 2)

    with pytest.raises(AssertionError) as found:
        rows(more=7)
    assert seen == [("x", 1, 0, 7), ("y", 1, 1, 7), ("x", 2, 0, 7), ("y", 2, 1, 7)]
    assert found.value.__notes__ == ["a, c: <y>", "b: 2"]


def test_no_rows_are_no_test():
    with pytest.raises(AssertionError):
        each("a", [])(lambda a: None)()


@each("number", (1, 2))
@pytest.mark.parametrize("other", ["one"])
def test_pytest_sees_what_is_left(number, other):
    assert number and other == "one"
