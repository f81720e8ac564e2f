"""Cases in one test: every one is run, and those that fail are named."""

import pytest
from loops import each

pytest_plugins = ["pytester"]


def test_every_case_is_run_and_those_that_fail_are_named(pytester):
    pytester.makepyfile(
        """
        from loops import each

        @each("b", (1, 2))
        @each("a, c", [("x", 0), ("y", 1)], lambda row: f"<{row[0]}>")
        def test_cases(a, b, c, tmp_path):
            assert a == "x"
        """
    )
    result = pytester.runpytest("-p", "no:cacheprovider", "-n0")
    result.stdout.fnmatch_lines(["*<y>*"])
    assert result.ret == 1
    assert str(result.stdout).count("AssertionError: assert 'y' == 'x'") >= 2


def test_no_cases_are_no_test():
    with pytest.raises(AssertionError, match="about nothing"):
        each("a", [])


@each("number", (1, 2))
@pytest.mark.parametrize("other", ["one"])
def test_pytest_sees_what_is_left(number, other):
    assert number and other == "one"
