"""Which tooth counts that can be assembled agree with counted turns.

A ratio depends on the proportions of sun and ring in each set only, so the search is
over reduced proportions, set by set; a count is compared as soon as all the sets that
it depends on are chosen.
"""

from dataclasses import dataclass
from math import gcd, log

from ...base.frozenmap import FrozenMap
from ...train.kinds.rules import tip_gap

# Most combinations that are estimated, and that are computed, when a set is added.
_ESTIMATED, _COMPUTED = 5_000_000, 300_000


@dataclass(frozen=True)
class Options:
    """The proportions that a set can have: ``logs`` of ring teeth per sun tooth.

    `choices` holds for each proportion the rows of `gears` that have it.
    """

    logs: object  # array or list of rows (proportions, suns)
    choices: tuple
    gears: FrozenMap  # {gear: array or list of tooth counts}

    def teeth(self, proportion):
        """The tooth counts of a proportion, small ones first, as the file has them."""
        return tuple(
            FrozenMap({gear: int(row[at]) for gear, row in self.gears.items()})
            for at in self.choices[proportion]
        )


def free_suns(one):
    """The suns of a set whose proportion to the ring a search varies; () if none."""
    free = one.record.free_teeth
    return free.suns if free else ()


def options(one, low, high):
    """The :class:`Options` of a set with from `low` to `high` teeth on every gear.

    Coaxial without profile shift, planets equally spaced, and clear of each other.
    Gears that the ratio does not tell, or not alone, are as the kind's ``FreeTeeth``
    has them: the smallest that reach, or those of the file.

    >>> from gearlab import load_train
    >>> found = options(load_train("five-range").set("rear"), 15, 120)
    >>> len(found.logs), found.teeth(0)[0]
    (389, FrozenMap({'sun': 30, 'ring': 60}))
    """
    import numpy as np

    kind, counts, places = one.record, np.arange(low, high + 1), one.planets or 1
    free = kind.free_teeth
    own = {gear: one.all_teeth[gear] for gear in free.as_filed}
    *more, last = free.suns
    gears = _pairs(np, counts, last, free.even)
    for sun in more:
        size = len(gears["ring"])
        gears = {gear: np.repeat(row, len(counts)) for gear, row in gears.items()}
        gears[sun] = np.tile(counts, size)
    following, fits = free.others(np, low, gears | own)
    gears |= following
    for whole in kind.spacing(gears | own) if kind.spacing else ():
        fits &= whole % places == 0
    for row in gears.values():
        fits &= (row >= low) & (row <= high)
    for sun, planet in kind.neighbours if places > 1 else ():
        fits &= tip_gap(gears[sun], (gears | own)[planet], 1 / places) > 0
    gears |= {gear: np.full_like(fits, count, int) for gear, count in own.items()}
    gears = FrozenMap({gear: gears[gear][fits] for gear in one.teeth})
    reduced = {}
    columns = [gears[key].tolist() for key in (*free.suns, "ring")]
    for at, row in enumerate(zip(*columns, strict=True)):
        factor = gcd(*row)
        reduced.setdefault(tuple(count // factor for count in row), []).append(
            (factor, at)
        )
    keys = sorted(reduced)
    return Options(
        logs=np.array(
            [[log(key[-1] / count) for count in key[:-1]] for key in keys]
        ).reshape(len(keys), len(free.suns)),
        choices=tuple(tuple(at for _, at in sorted(reduced[key])) for key in keys),
        gears=gears,
    )


def _pairs(np, counts, sun, even):
    """All counts of a sun and a larger ring, as flat arrays."""
    small, ring = (axis.ravel() for axis in np.meshgrid(counts, counts))
    pairs = ring > small
    if even:
        pairs &= (ring - small) % 2 == 0
    return {sun: small[pairs], "ring": ring[pairs]}


@dataclass(frozen=True)
class Found:
    """Combinations that agree, best first, and whether none was left out."""

    sets: tuple
    places: object  # array or list (combinations, sets): which proportion of each
    complete: bool


def search(model, fitted, jacobian, seen, choices, say):
    """The :class:`Found` combinations of proportions with which each count agrees.

    Parameters
    ----------
    model : gearlab.ask.teeth.fit.Model
    fitted : array of the logs of the fitted proportions
    jacobian : array (counts, knobs): change of the misfits, for estimates
    seen : for each count the frozenset of the sets that it depends on
    choices : {set: Options}
    say : called with a line of progress
    """
    import numpy as np

    order = in_order(seen, choices)
    least, most = np.array(model.least), np.array(model.most)
    residual = model.misfits(fitted[None])[0]
    places = np.zeros((1, 0), dtype=np.int64)
    settled, misfit, complete = set(), np.zeros(1), True
    for stage, name in enumerate(order):
        chosen = order[: stage + 1]
        size = len(choices[name].logs)
        now = [i for i, on in enumerate(seen) if on <= set(chosen)]
        fresh = [i for i in now if i not in settled]
        settled.update(now)
        # What the counts still to come can make good at best, by the linear model.
        ahead = [i for i, on in enumerate(seen) if i not in now and on]
        known = [i for i, (one, _) in enumerate(model.knobs) if one in chosen]
        rest = [i for i in range(len(model.knobs)) if i not in known]
        free = jacobian[np.ix_(ahead, rest)]
        keep = np.eye(len(ahead)) - free @ np.linalg.pinv(free)
        slopes = np.concatenate(
            [keep @ jacobian[np.ix_(ahead, known)], jacobian[np.ix_(fresh, known)]]
        )
        base = np.concatenate([keep @ residual[ahead], residual[fresh]])
        own = [at for at, i in enumerate(known) if model.knobs[i][0] == name]
        old = [at for at in range(len(known)) if at not in own]

        before = _logs(model, fitted, choices, order[:stage], places)[:, known]
        part = base + (before - fitted[known])[:, old] @ slopes[:, old].T
        new = (choices[name].logs - fitted[known][own]) @ slopes[:, own].T
        guess = np.repeat(misfit[:, None], size, axis=1)
        lookahead = np.zeros_like(guess)
        for column in range(len(base)):
            term = (part[:, column, None] + new[None, :, column]) ** 2
            guess += term
            if column < len(ahead):
                lookahead += term
        guess, lookahead = guess.ravel(), lookahead.ravel()
        picked = np.arange(guess.size)
        if guess.size > _COMPUTED:
            picked = np.argpartition(guess, _COMPUTED)[:_COMPUTED]
            complete = False
        row, column = np.divmod(np.sort(picked), size)
        lookahead = lookahead[row * size + column]
        places = np.concatenate([places[row], column[:, None]], axis=1)
        off = model.misfits(_logs(model, fitted, choices, chosen, places), fresh)
        agree = (off >= least[fresh] - 1e-9).all(axis=1)
        agree &= (off <= most[fresh] + 1e-9).all(axis=1)
        misfit = (misfit[row] + (off**2).sum(axis=1))[agree]
        places, lookahead = places[agree], lookahead[agree]
        following = order[stage + 1 : stage + 2]
        room = _ESTIMATED // max((len(choices[n].logs) for n in following), default=1)
        if following and len(places) > room:
            kept = np.sort(np.argpartition(misfit + lookahead, room)[:room])
            places, misfit, complete = places[kept], misfit[kept], False
        say(
            f"set {stage + 1} of {len(order)}, {name}: {size} proportions,"
            f" {len(places)} combinations left"
        )
    best = np.argsort(np.round(misfit, 9), kind="stable")
    return Found(sets=tuple(order), places=places[best], complete=complete)


def in_order(seen, choices):
    """The sets that the counts depend on, so that counts are settled early."""
    order, left = [], [name for name in choices if any(name in on for on in seen)]
    while left:
        name = max(
            left,
            key=lambda name: (
                sum(on <= {*order, name} for on in seen),
                sum(name in on for on in seen),
                len(choices[name].logs),
            ),
        )
        order.append(name)
        left.remove(name)
    return order


def _logs(model, fitted, choices, names, places):
    """The logs of all proportions: those chosen, and else the fitted ones."""
    import numpy as np

    logs = np.repeat(fitted[None], len(places), axis=0)
    for at, name in enumerate(names):
        own = [i for i, (one, _) in enumerate(model.knobs) if one == name]
        logs[:, own] = choices[name].logs[places[:, at]]
    return logs
