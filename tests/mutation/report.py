"""Which mutants of the book's formulas are killed, and which survive: ``python -m tests.mutation.report``."""

from __future__ import annotations

import argparse
import tempfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from tests.mutation.bench import Verdict, all_mutants, run
from tests.mutation.equivalent import equivalent
from tests.mutation.kinds import KINDS, Kind


def lines(kind: Kind, verdict: Verdict, *, by_scene: bool = False) -> Iterator[str]:
    """The report on a run."""
    listed = equivalent(kind)
    alive = {str(mutant): mutant for mutant in verdict.alive}
    unexplained = [name for name in alive if name not in listed]
    yield totals(kind, verdict)
    tried = Counter(mutant.kind for mutant in verdict.tried)
    left = Counter(mutant.kind for mutant in verdict.alive)
    for change, count in tried.most_common():
        yield f"  {change:<12}{count:>7,} tried {left[change]:>5} left"
    if by_scene:
        yield "Killed by each scene, in this order:"
        yield from (f"  {count:>7,}  {scene}" for scene, count in verdict.killed.items())
    for why in dict.fromkeys(listed.values()):
        same = [name for name in alive if listed.get(name) == why]
        if same:
            yield f"Equivalent. {why}"
            yield from (f"  {name}" for name in same)
    if unexplained:
        yield "Survived, and nobody has said why:"
        yield from (f"  {name}" for name in unexplained)
    made = {str(cells.mutant) for cells in all_mutants(kind)}
    killed = {str(mutant) for mutant in verdict.tried} - alive.keys()
    for word, names in (("killed after all", listed.keys() & killed), ("no longer made", listed.keys() - made)):
        yield from (f"Listed as equivalent, but {word}: {name}" for name in sorted(names))


def totals(kind: Kind, verdict: Verdict) -> str:
    """How many were killed, survived, and are listed as equivalent, in one line."""
    listed = equivalent(kind)
    alike = sum(str(mutant) in listed for mutant in verdict.alive)
    count, left = len(verdict.tried), len(verdict.alive)
    return (
        f"{kind}: {count:,} mutants, {count - left:,} killed, {left} survived ({left / count:.2%}), "
        f"{alike} of these shown to be equivalent"
    )


def main() -> None:
    """Run and print."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutation.report", description=__doc__)
    parser.add_argument("--every", type=int, default=1, metavar="N", help="try only every N-th mutant")
    parser.add_argument("--scenes", action="store_true", help="how many mutants each scene killed")
    parser.add_argument("--kind", type=int, choices=range(len(KINDS)), help="only this kind of book, counted from 0")
    options = parser.parse_args()
    for kind in KINDS if options.kind is None else KINDS[options.kind :][:1]:
        with tempfile.TemporaryDirectory() as folder:
            verdict = run(kind, Path(folder), every=options.every, proved=options.every == 1)
        print("\n".join(lines(kind, verdict, by_scene=options.scenes)))


if __name__ == "__main__":
    main()
