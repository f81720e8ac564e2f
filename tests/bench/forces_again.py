"""Balance the forces of many random flows with losses apart from the library."""

import sys
from collections import Counter
from pathlib import Path
from time import perf_counter

COUNT = 10_000


def measure(report, count=COUNT):
    """Report crashes, disagreements, and how the flows settled."""
    sys.path.insert(0, str(Path(__file__).parents[1]))
    import forces

    seen, crashes, wrong, slowest = Counter(), [], [], 0.0
    for i, (plain, losses) in enumerate(forces.flows_with_losses(count, "bench")):
        start = perf_counter()
        try:
            seen[forces.check(plain, losses)] += 1
        except AssertionError as error:
            wrong.append(f"{i}: {error}")
        except Exception as error:  # a crash is what is looked for
            crashes.append(f"{i}: {error!r}")
        slowest = max(slowest, perf_counter() - start)
    told = ", ".join(f"{number} {how}" for how, number in seen.most_common())
    report(f"{count} random flows with losses: crashes", "0", len(crashes))
    report("  that disagree with forces balanced apart", "0", len(wrong))
    report("  how they settled", "–", told)
    report("  the slowest, with its check", "–", f"{1e3 * slowest:.0f} ms")
    for one in (*crashes, *wrong)[:5]:
        report("  flow", "–", one)
