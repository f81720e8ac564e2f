"""Who answers: student ids as people type them, made one and the same."""

import re
from hashlib import sha256
from unicodedata import normalize

LONGEST = 60
MOST = 6  # students of one group


def read_students(text):
    """The ids in a text, separated by commas or semicolons, normalised and sorted.

    Raises ValueError, in one sentence, for ids that are too long, too many, or none.

    >>> read_students("  Ana  Lima; B-17 ")
    ('ana lima', 'b-17')
    """
    ids = {plain_id(part) for part in re.split("[,;]", text) if part.strip()}
    if not ids:
        raise ValueError("no student id is given; write yours, or several with commas")
    if len(ids) > MOST:
        raise ValueError(f"{len(ids)} ids are given, but a group has {MOST} at most")
    return tuple(sorted(ids))


def plain_id(text):
    """One id: composed letters, small, single spaces; ValueError if it is unusable."""
    plain = " ".join(normalize("NFC", text).split()).casefold()
    plain = normalize("NFC", plain)
    if not plain or not plain.isprintable():
        raise ValueError("an id is empty or has signs that cannot be printed")
    if len(plain) > LONGEST:
        raise ValueError(
            f"an id of {len(plain)} letters is given, but {LONGEST} are the most"
        )
    return plain


def file_stem(students, lab, form):
    """A file name that every system takes, and that no two papers share.

    >>> file_stem(("ana lima",), "turn-one-set", "A")
    'turn-one-set_A_ana-lima_a17ec54b'
    """
    words = "-".join(re.sub("[^a-z0-9]+", "-", one).strip("-") for one in students)
    digest = sha256(repr((students, lab, form)).encode("utf-8")).hexdigest()[:8]
    return "_".join(filter(None, (lab, form, words[:40].strip("-"), digest)))
