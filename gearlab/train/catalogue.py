"""The shipped trains, and loading a train by its name or its file."""

from os import PathLike
from pathlib import Path

from ..base import checks
from .motion import free_motions
from .trainfile import read_train_file

_FOLDER = Path(__file__).with_name("shipped")


def train_names():
    """The names of the shipped trains, the five-range unit first.

    >>> train_names()[0]
    'five-range'
    """
    names = [path.stem for path in _FOLDER.glob("*.toml")]
    return sorted(names, key=lambda name: (name != "five-range", name))


def load_train(name):
    """The train of a shipped name, or of the path of a ``.toml`` file.

    Parameters
    ----------
    name : a name of :func:`train_names`, or the path of a file

    Returns
    -------
    Train

    Raises
    ------
    ValueError
        No such name, or a file that cannot be read or is no train: the file, the key
        and the rule are named.
    """
    if isinstance(name, PathLike) or str(name).endswith(".toml"):
        path = Path(name)
    else:
        path = _FOLDER / f"{checks.known(name, train_names(), 'shipped train')}.toml"
    train = read_train_file(path)
    try:
        free_motions(train)
    except ValueError as error:
        raise ValueError(f"{path.name}: {error}") from None
    return train
