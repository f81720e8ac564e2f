"""How tooth proportions are fitted to counted turns: weighted least squares."""

from dataclasses import dataclass, replace

from .batch import ratios_of

# Ring teeth per sun tooth lie between these [natural logarithm] in any set.
_LEAST, _MOST = 0.02, 3.0


@dataclass(frozen=True)
class Model:
    """What was counted, and what proportions give; ``knobs`` are (set, sun) pairs."""

    train: object
    asked: tuple  # (applied, load) of each count
    counted: object  # array: input turns per output turn
    errors: object  # array: the same unit
    knobs: tuple

    def misfits(self, logs, counts=None):
        """(counted − computed) / error, an array (variants, counts); nan: no drive."""
        import numpy as np

        counts = range(len(self.asked)) if counts is None else counts
        teeth = {
            (name, sun): self.train.set(name).all_teeth["ring"] * np.exp(-logs[:, at])
            for at, (name, sun) in enumerate(self.knobs)
        }
        found = ratios_of(self.train, [self.asked[i] for i in counts], teeth, len(logs))
        rows = [
            (self.counted[i] - ratio) / self.errors[i]
            for i, ratio in zip(counts, found, strict=True)
        ]
        return np.stack(rows, axis=1) if rows else np.zeros((len(logs), 0))

    def without(self, at):
        """The same with one count less."""
        import numpy as np

        return replace(
            self,
            asked=self.asked[:at] + self.asked[at + 1 :],
            counted=np.delete(self.counted, at),
            errors=np.delete(self.errors, at),
        )


def fitted(model):
    """The logarithms of the proportions that agree best.

    Damped Gauss–Newton from the train's own teeth.
    """
    import numpy as np

    teeth = [(model.train.set(name).all_teeth, sun) for name, sun in model.knobs]
    logs = np.log([counts["ring"] / counts[sun] for counts, sun in teeth])
    for _ in range(50):
        jacobian, off = _jacobian(model, logs), model.misfits(logs[None])[0]
        left, stretch, right = np.linalg.svd(jacobian, full_matrices=False)
        move = right.T @ (stretch / (stretch**2 + 1e-6) * (left.T @ off))
        tries = logs - np.outer([0, 1, 0.5, 0.2, 0.05, 0.01], move)
        tries = np.clip(tries, _LEAST, _MOST)
        bad = badness(model, tries)
        best = int(np.argmin(bad))
        logs = tries[best]
        if bad[0] - bad[best] <= 1e-12 * (1 + bad[0]):
            break
    return logs


def badness(model, logs):
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
    size *= model.errors[:, None]
    seen = [
        frozenset(model.knobs[at][0] for at in np.flatnonzero(row > 1e-7).tolist())
        for row in size
    ]
    return np.where(size > 1e-7, jacobian, 0.0), seen
