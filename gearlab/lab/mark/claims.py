"""Sheets in one name: copies are one sheet, and those that disagree are all shown.

Anybody can write a sheet in anybody's name, and with the numbers of that name. So no
sheet takes another's place, and none adds a try before one that another sheet has.
"""

from dataclasses import dataclass, replace
from itertools import compress
from operator import not_

from ..sheet.answers import AnswerSheet, holds, united

YES, NO, ASK = "yes", "no", "ask"
_MOST_COMPARED = 50  # sheets of one name; a person has a few
_MOST_NAMED = 5


@dataclass(frozen=True, kw_only=True)
class Claim:
    """A sheet, with the names of the files that it came in.

    `counts` is "yes", "no" where its numbers are not those of its students and another
    sheet's are, or "ask" where several may be theirs; `note` says why.
    """

    sheet: AnswerSheet
    files: tuple[str, ...]
    counts: str = YES
    note: str = ""


def settled(handed, fits):
    """What counts of all that was handed in under one name, lab and form.

    Parameters
    ----------
    handed : [(file name, AnswerSheet)], all of the same students, lab and form
    fits : takes a sheet and says whether no number in it is another student's

    Returns
    -------
    (claims, copies, conflicts)
        claims : [Claim], the ones that count first
        copies : [(file name, what it is a copy of)], which need no row of their own
        conflicts : [sentence] for the instructor
    """
    if len(handed) == 1:
        ((name, sheet),) = handed
        return [Claim(sheet=sheet, files=(name,))], [], []
    # First by numbers: a sheet with another's numbers must not hide one that it holds.
    fitting = [fits(sheet) for _, sheet in handed]
    own, copies = _without_copies(compress(handed, fitting))
    others, more = _without_copies(compress(handed, map(not_, fitting)))
    if not own:
        own, others = others, []
    own, conflicts = _agreed(own)
    kept = _listed(name for claim in own for name in claim.files)
    note = "does not count: its numbers are another student's"
    for n, claim in enumerate(others):
        others[n] = replace(claim, counts=NO, note=note)
        conflicts.append(
            f"{_listed(claim.files)} is in the name of {_whose(claim.sheet)}, but its"
            f" numbers are another student's, so it does not count; {kept} does"
        )
    return [*own, *others], copies + more, conflicts


def _without_copies(handed):
    """Every sheet that no other one holds whole, and what the others are copies of."""
    claims, copies = [], []
    for name, sheet in sorted(handed, key=lambda one: (-len(one[1].attempts), one[0])):
        for claim in claims[:_MOST_COMPARED]:
            if holds(claim.sheet, sheet):
                same = len(claim.sheet.attempts) == len(sheet.attempts)
                what = "the same as" if same else "an earlier state of"
                copies.append((name, f"{what} {claim.files[0]}"))
                break
        else:
            claims.append(Claim(sheet=sheet, files=(name,)))
    return claims, copies


def _agreed(claims):
    """The claims as one, where none says otherwise than another, or all of them."""
    if len(claims) == 1:
        return claims, []
    files = tuple(sorted(name for claim in claims for name in claim.files))
    try:
        sheet = united([claim.sheet for claim in claims])
    except ValueError:
        note = f"{len(files)} files in this name disagree; find out which one is theirs"
        sentence = (
            f"{_listed(files)} are all in the name of {_whose(claims[0].sheet)} and"
            " disagree, so each has a row; find out which one is theirs, and take the"
            " others out of the folder"
        )
        return [replace(one, counts=ASK, note=note) for one in claims], [sentence]
    note = f"put together from {_listed(files)}"
    return [Claim(sheet=sheet, files=files, note=note)], []


def _whose(sheet):
    return f"{', '.join(sheet.students)} ({sheet.lab}, form {sheet.form})"


def _listed(names):
    names = list(names)
    more = len(names) - _MOST_NAMED
    end = f" and {more} more" if more > 0 else ""
    return f"{', '.join(names[:_MOST_NAMED])}{end}"
