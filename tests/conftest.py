"""How tests are run: on all cores, a file on each; the core path with -m quick."""

import os
from pathlib import Path

import pytest
from hypothesis import settings
from quick import QUICK

TESTS = Path(__file__).resolve().parent
# The same examples everywhere, however slow or busy the machine.
settings.register_profile("everywhere", deadline=None, derandomize=True)
settings.load_profile("everywhere")


def is_quick(config):
    return config.getoption("markexpr", "") == "quick"


def pytest_configure(config):
    """Only the quick files are read where only they are asked for."""
    if is_quick(config) and config.args_source is config.ArgsSource.TESTPATHS:
        config.args = [str(TESTS / f"{name}.py") for name in QUICK]
        config.option.doctestmodules = config.option.nbval = False


def pytest_collection_modifyitems(items):
    for item in items:
        names = QUICK.get(item.path.stem)
        if names is not None and (
            not names or getattr(item, "originalname", "") in names
        ):
            item.add_marker(pytest.mark.quick)


def pytest_xdist_auto_num_workers(config):
    """Three workers on two cores, as tests in a browser mostly wait.

    A single file runs on one core anyway: no worker has to be started for it.
    """
    files = {argument.split("::")[0] for argument in config.args}
    alone = len(files) == 1 and Path(*files).suffix in (".py", ".ipynb")
    return 0 if alone else (os.cpu_count() or 1) * 3 // 2
