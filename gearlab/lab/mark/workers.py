"""Long work shared out to several processes, in the order of what is given."""

from collections.abc import Callable
from itertools import islice

FEW = 200  # things, for which it takes longer to start processes than to do them
_BATCH = 25  # things that a process is given at a time
_AHEAD = 4  # batches for each process that wait, so that memory stays bounded


def done_in_order(work: Callable, things, processes, progress=None):
    """What a function gives of each thing, as a list in their order.

    Parameters
    ----------
    work : a function of a module, which takes one thing; it must not raise
    things : a list; all of it, and what the work gives, can be sent to a process
    processes : how many to use; one works here. Where no process can be started, or
        one is lost, what is left is done here
    progress : called as ``progress(done, total)`` after each thing or each batch
    """
    done = []
    if processes > 1 and len(things) >= FEW:
        _done_by_processes(work, things, processes, progress, done)
    for thing in things[len(done) :]:
        done.append(work(thing))
        if progress:
            progress(len(done), len(things))
    return done


def _done_by_processes(work, things, processes, progress, done):
    """Add to `done` what processes give, as far as the system lets them."""
    try:
        # A browser has no processes, and not even what these are made of.
        from concurrent.futures import ProcessPoolExecutor
        from concurrent.futures.process import BrokenProcessPool
    except ImportError:
        return
    batches = (things[at : at + _BATCH] for at in range(0, len(things), _BATCH))
    try:
        with ProcessPoolExecutor(processes) as pool:
            for part in _in_order(pool, work, batches, _AHEAD * processes):
                done += part
                if progress:
                    progress(len(done), len(things))
    except (BrokenProcessPool, OSError, ImportError):
        pass  # the system may allow no process, or may have ended one


def _in_order(pool, work, batches, most):
    """The results of the batches in order; only so many are sent at a time."""
    batches = iter(batches)
    waiting = [pool.submit(_batch, work, batch) for batch in islice(batches, most)]
    while waiting:
        yield waiting.pop(0).result()
        waiting += [pool.submit(_batch, work, one) for one in islice(batches, 1)]


def _batch(work, things):
    return [work(thing) for thing in things]
