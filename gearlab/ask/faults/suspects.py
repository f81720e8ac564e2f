"""From what a road test showed to the faults that may be behind it."""

from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import combinations

from ...base import checks
from ...base.brief import Brief
from ...base.frozenmap import FrozenMap
from ...train.train import Train, a_train
from .fault import KINDS, STANDING
from .reasons import reasons
from .said import place, read_observations
from .table import symptoms, thought_of

_TOLD = 8  # faults in a sentence


@dataclass(frozen=True, kw_only=True, repr=False)
class Suspects(Brief):
    """The faults that explain observations, the likeliest first.

    Fewer faults at once are likelier than more, and then the kinds as they stand in
    :data:`KINDS` (common practice, no source); then comes the order of the train. That
    it is not in the gear train explains whatever is seen, so it is always among those
    that explain all: last, or first where all is as the chart has it.

    `ranked` has every fault, those that contradict the fewest observations first, since
    an observation may be wrong; there the standing suspect counts as the sound train.
    """

    train: Train
    observations: FrozenMap  # {(range, load): observation}, as given
    explain_all: tuple
    all_but_one: tuple  # what contradicts just one observation
    ranked: tuple
    contradicted: FrozenMap  # {fault: the (range, load) that it does not explain}
    contradictions: tuple[str, ...]  # observations that do not go together, in words

    @property
    def _brief(self):
        return (
            f"{len(self.explain_all)} explain all, {len(self.all_but_one)} all but one,"
            f" of {len(self.observations)} observations"
        )

    @cached_property
    def why(self):
        """``{fault: how it comes to what was seen, range by range}``, in words."""
        told = (*self.explain_all, *self.all_but_one)
        keys = tuple(self.observations)
        return FrozenMap(
            (fault, reasons(self.train, fault, keys, self.contradicted[fault]))
            for fault in told
        )

    @cached_property
    def ranked_groups(self):
        """The ranked faults as groups that no road test parts, each once."""
        together = 2 if any(fault.parts for fault in self.ranked) else 1
        groups = symptoms(self.train, together=together).groups
        place = {fault: at for at, group in enumerate(groups) for fault in group}
        return tuple(
            groups[at] for at in dict.fromkeys(place[one] for one in self.ranked)
        )

    @property
    def words(self):
        """What explains what, a sentence each; then what does not go together."""
        if not self.observations:
            return "Nothing was seen yet, so each fault explains it."
        said = [_told("What was seen", self.explain_all)]
        if self.all_but_one:
            said.append(_told("All but one of it", self.all_but_one))
        if self.explain_all == (STANDING,):
            said.append(
                "No fault of the gear train that is thought of explains it all; test"
                " again what was seen, or think of two faults at once."
            )
        return "\n".join([*said, *self.contradictions])


def _told(what, found):
    """A sentence with the first faults, and how many more there are."""
    names = "; ".join(fault.clause for fault in found[:_TOLD])
    more = f"; and {len(found) - _TOLD} more" if len(found) > _TOLD else ""
    return f"{what} is explained by: {names}{more}."


def suspects(train, observations, *, together=1):
    """The :class:`Suspects` behind what a road test showed.

    Parameters
    ----------
    train : Train
    observations : ``{(range, load): observation}``; a key that is a range alone is
        under power. An observation is a text ("drives", "no drive", "ties up", "output
        locked", "slips", "engine braking", "no engine braking", "drives like range 3",
        "drives in another ratio", or "fine" for what the chart has), a measured ratio,
        or a pair of one with its error (without it, a fiftieth). A row of
        :func:`symptoms` is one. "drives" means under full load, too. Other tests go by
        their part: ``("low brake", "pressure")`` is "right" or "wrong", and
        ``("low brake", "apart")`` is "sound" or "failed"; a right pressure clears
        nothing.
    together : 1, or 2 to think of two faults at once

    Raises
    ------
    ValueError
        An unknown range, load or observation, or one place that is told twice.

    >>> import gearlab
    >>> train = gearlab.load_train("five-range")
    >>> found = suspects(train, {"R": "fine", "1": "no drive", "1 low": "drives"})
    >>> print(found.explain_all[0])
    The low one-way clutch fails to hold.
    """
    a_train(train)
    checks.whole_number(together, "together", 1, 2)
    said = read_observations(train, observations)
    against = contradicted(train, said, together)
    ranked = sorted(against, key=lambda fault: len(against[fault]))
    explain = [one for one in ranked if not against[one] and one != STANDING]
    # Where all is as the chart has it, most likely nothing in the train is wrong.
    first = bool(said) and not against[STANDING]
    explain.insert(0 if first else len(explain), STANDING)
    return Suspects(
        train=train,
        observations=FrozenMap((key, one.given) for key, one in said.items()),
        explain_all=tuple(explain),
        all_but_one=tuple(
            one for one in ranked if len(against[one]) == 1 and one != STANDING
        ),
        ranked=tuple(ranked),
        contradicted=FrozenMap(against),
        contradictions=tuple(_contradictions(said, against)),
    )


def contradicted(train, said, together):
    """``{fault: the observations that it does not explain}``, the likeliest first."""
    return {
        fault: tuple(
            key for key, one in said.items() if not one.explained(train, fault, key)
        )
        for fault in _likeliest(train, together)
    }


@lru_cache(maxsize=16)
def _likeliest(train, together):
    """The faults in the order of :class:`Suspects`."""

    def rank(fault):
        kinds = [KINDS.index(one.kind) for one in fault.singles]
        return len(kinds), sum(kinds), kinds

    return tuple(sorted(thought_of(train, together), key=rank))


def _contradictions(said, against):
    """Sentences on observations that no fault gives, alone or two of them together."""
    if any(not keys for fault, keys in against.items() if fault != STANDING):
        return
    everywhere = [set(keys) for keys in against.values()]
    impossible = [key for key in said if all(key in keys for keys in everywhere)]
    for key in impossible:
        yield f"What was seen in {place(key)} is given by no fault of this train."
    for pair in combinations([key for key in said if key not in impossible], 2):
        if all(keys & set(pair) for keys in everywhere):
            first, second = map(place, pair)
            yield (
                f"What was seen in {first} and in {second} does not go together: no"
                " fault that is thought of gives both."
            )
