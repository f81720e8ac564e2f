"""How tooth proportions are fitted to counted turns: weighted least squares."""

from dataclasses import dataclass, replace

from .batch import ratios_of

# Ring teeth per sun tooth lie between these [natural logarithm] in any set.
LEAST, MOST = 0.02, 3.0
UNSEEN = 1e-9  # of the largest slope, or of 1: a slope this small is none
MOVES = (0, 1, 0.5, 0.2, 0.05, 0.01)  # the parts of a step that are tried
DAMPING = 1e-6


@dataclass(frozen=True)
class Model:
    """What was counted, and what proportions give; ``knobs`` are (set, sun) pairs.

    A count agrees with a misfit from `least` to `most`.
    """

    train: object
    asked: tuple  # (applied, load) of each count
    counted: tuple  # input turns per output turn
    errors: tuple  # the same unit
    least: tuple  # misfits
    most: tuple  # misfits
    knobs: tuple

    def misfits(self, logs, counts=None):
        """(counted − computed) / error, an array (variants, counts); nan: no drive."""
        import numpy as np

        counts = range(len(self.asked)) if counts is None else counts
        teeth = {
            (name, sun): self.train.set(name).all_teeth["ring"] * np.exp(-logs[:, at])
            for at, (name, sun) in enumerate(self.knobs)
        }
        cases = list(dict.fromkeys(self.asked[i] for i in counts))
        found = dict(
            zip(cases, ratios_of(self.train, cases, teeth, len(logs)), strict=True)
        )
        rows = [
            (self.counted[i] - found[self.asked[i]]) / self.errors[i] for i in counts
        ]
        return np.stack(rows, axis=1) if rows else np.zeros((len(logs), 0))

    def without(self, at):
        """The same with one count less."""
        return self._with(
            *(
                column[:at] + column[at + 1 :]
                for column in (
                    self.asked,
                    self.counted,
                    self.errors,
                    self.least,
                    self.most,
                )
            )
        )

    def merged(self):
        """One count for each case that weighs and allows as much as all counts of it.

        The squares of misfits add up to the same, but for what no teeth can change.
        """
        cases = {case: [] for case in self.asked}
        for at, case in enumerate(self.asked):
            cases[case].append(at)
        rows = []
        for at in cases.values():
            weights = [self.errors[i] ** -2.0 for i in at]
            error = sum(weights) ** -0.5
            mean = sum(self.counted[i] * w for i, w in zip(at, weights, strict=True))
            mean *= error**2
            below = max(self.counted[i] - self.most[i] * self.errors[i] for i in at)
            above = min(self.counted[i] - self.least[i] * self.errors[i] for i in at)
            rows.append((mean, error, (mean - above) / error, (mean - below) / error))
        return self._with(tuple(cases), *zip(*rows, strict=True))

    def extremes(self, off):
        """The counts with the least and the most misfit of each case, in order."""
        found = set()
        for case in set(self.asked):
            at = [i for i, own in enumerate(self.asked) if own == case]
            found |= {min(at, key=off.__getitem__), max(at, key=off.__getitem__)}
        return sorted(found)

    def _with(self, asked, counted, errors, least, most):
        return replace(
            self, asked=asked, counted=counted, errors=errors, least=least, most=most
        )


def misfits_at(model, logs):
    """The misfits of all counts with these proportions, as a list."""
    return model.misfits(logs[None])[0].tolist()


def fitted(model):
    """The logarithms of the proportions that agree best.

    Damped least squares, step by step from the train's own teeth.
    """
    import numpy as np

    teeth = [(model.train.set(name).all_teeth, sun) for name, sun in model.knobs]
    logs = np.log([counts["ring"] / counts[sun] for counts, sun in teeth])
    for _ in range(50):
        jacobian, off = _jacobian(model, logs), model.misfits(logs[None])[0]
        left, stretch, right = np.linalg.svd(jacobian, full_matrices=False)
        move = right.T @ (stretch / (stretch**2 + DAMPING) * (left.T @ off))
        tries = logs - np.outer(MOVES, move)
        tries = np.clip(tries, LEAST, MOST)
        bad = _badness(model, tries)
        best = int(np.argmin(bad))
        logs = tries[best]
        if bad[0] - bad[best] <= 1e-12 * (1 + bad[0]):
            break
    return logs


def _badness(model, logs):
    """The sum of squared misfits of each row; large where it does not drive."""
    import numpy as np

    return np.nan_to_num((model.misfits(logs) ** 2).sum(axis=1), nan=1e300)


def _jacobian(model, logs):
    """The change of the misfits with the logarithms: an array (counts, knobs)."""
    import numpy as np

    step = 1e-5 * np.eye(len(logs))
    up, down = model.misfits(logs + step), model.misfits(logs - step)
    return np.nan_to_num((up - down).T / 2e-5)


def slopes(model, logs):
    """The Jacobian, and for each count the frozenset of sets that it depends on."""
    import numpy as np

    jacobian = _jacobian(model, logs)
    # A slope may be 0 at one place by chance.
    size = abs(jacobian) + abs(_jacobian(model, logs + 0.1))
    size *= np.array(model.errors)[:, None]
    seen = [
        frozenset(model.knobs[at][0] for at in np.flatnonzero(row > 1e-7).tolist())
        for row in size
    ]
    return np.where(size > 1e-7, jacobian, 0.0), seen


def spreads(jacobian):
    """The standard error of each knob [natural logarithm], huge where it is open."""
    import numpy as np

    _, stretch, right = np.linalg.svd(jacobian, full_matrices=True)
    stretch = np.concatenate([stretch, np.zeros(len(right) - len(stretch))])
    # What no count sees has no standard error at all, but for the errors of floats.
    stretch = np.maximum(stretch, UNSEEN * max(stretch.max(), 1.0))
    return np.sqrt(((right / stretch[:, None]) ** 2).sum(axis=0)).tolist()
