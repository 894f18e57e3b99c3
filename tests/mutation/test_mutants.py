"""Change an operator, a reference or a range end in any formula, and some test fails: proved by doing it."""

from __future__ import annotations

from pathlib import Path

import pytest

from meltbook.fields.kernel import Figure, Fixed, Input, Shape, Table, Vocabulary
from tests.engines.runners import Formualizer
from tests.mutation.bench import Stage, all_mutants, formulas_as_they_are, run
from tests.mutation.equivalent import equivalent
from tests.mutation.kinds import KINDS, ONE_FURNACE, Kind
from tests.mutation.mutants import goes_round, mutants
from tests.mutation.report import totals

MOST = 0.02
"""The part of the mutants that may survive, each of them shown to be equivalent."""

SAMPLE = 150
"""A quick run tries about so many mutants of a book of one furnace; those of other kinds wait for a whole run."""

each_kind = pytest.mark.parametrize("kind", KINDS, ids=str)


@pytest.mark.exhaustive
@each_kind
def test_every_mutant_is_killed_or_equivalent(
    kind: Kind, formualizer: Formualizer, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    verdict = run(kind, tmp_path)
    with capsys.disabled():
        print(f"\n{totals(kind, verdict)}")
    alive = {str(mutant) for mutant in verdict.alive}
    listed = equivalent(kind).keys()
    assert not alive - listed, "survived; a studio is missing, or a part of the formula is superfluous"
    assert not listed - alive, "listed as equivalent, but killed or no longer made"
    assert len(alive) <= MOST * len(verdict.tried)


def test_some_mutants_are_killed(formualizer: Formualizer, tmp_path: Path) -> None:
    every = max(1, len(all_mutants(ONE_FURNACE)) // SAMPLE)
    verdict = run(ONE_FURNACE, tmp_path, every=every, spare=equivalent(ONE_FURNACE).keys(), proved=False)
    assert not [str(mutant) for mutant in verdict.alive]


@each_kind
def test_the_checks_speak_when_the_names_are_gone(kind: Kind, formualizer: Formualizer, tmp_path: Path) -> None:
    [scene] = [scene for scene in kind.scenes() if scene.nameless]
    found = Stage(kind, scene, tmp_path).killed(formulas_as_they_are(kind), ())
    assert not found


@each_kind
def test_every_formula_is_mutated(kind: Kind) -> None:
    right = {(right.figure.name, right.row) for right in kind.own(kind.vocabulary())}
    wrong = {(cells.mutant.figure.name, cells.mutant.row) for cells in all_mutants(kind)}
    assert right == wrong


@each_kind
def test_listed_mutants_are_made(kind: Kind) -> None:
    assert equivalent(kind).keys() <= {str(cells.mutant) for cells in all_mutants(kind)}


# ------------------------------------------------------------------------------------- how mutants are made


def _vocabulary(*figures: Figure) -> Vocabulary:
    typed = (
        Input("log_weight", "Weight", Shape.WEIGHT),
        Input("log_extra", "Extra", Shape.WEIGHT),
        Input("log_note", "Note", Shape.TEXT),
    )
    log = Table("log", "Log", (*typed, *figures), rows=3, seeded=True, grows=True)
    return Vocabulary.of([Fixed("far_date", "Far", Shape.DATE, values=(9,))], [log])


def _texts(formula: str, **guards: tuple[str, ...]) -> dict[str, list[str]]:
    figure = Figure("row_sum", "Sum", Shape.MONEY, formula=formula, seed=0, end=0, **guards)  # type: ignore[arg-type]
    found: dict[str, list[str]] = {}
    for mutant in mutants(_vocabulary(figure)):
        found.setdefault(mutant.kind, []).append(mutant.text)
    return found


def test_operators_references_and_rows() -> None:
    found = _texts("row_sum.prev+log_weight")
    assert found["operator"] == ["row_sum.prev-log_weight"]
    assert "row_sum.prev+log_extra" in found["reference"]
    assert set(found["row"]) == {
        "row_sum+log_weight",
        "row_sum.next+log_weight",
        "row_sum.prev+log_weight.prev",
        "row_sum.prev+log_weight.next",
    }


def test_a_border_is_moved_and_turned() -> None:
    assert _texts("IF(log_weight<1,0,1)")["operator"] == ["IF(log_weight<=1,0,1)", "IF(log_weight>=1,0,1)"]
    assert "IF(log_weight<1,1,0)" in _texts("IF(log_weight<1,0,1)")["arguments"]


def test_range_ends_and_criteria() -> None:
    found = _texts('SUMIFS(log_weight.all,log_extra.all,">="&far_date)')
    assert 'SUMIFS(log_weight.2:log_weight.end,log_extra.all,">="&far_date)' in found["range"]
    assert 'SUMIFS(log_weight.seed:log_weight.2,log_extra.seed:log_extra.2,">="&far_date)' in found["range"]
    assert found["criterion"] == [
        'SUMIFS(log_weight.all,log_extra.all,">"&far_date)',
        'SUMIFS(log_weight.all,log_extra.all,"<"&far_date)',
    ]


def test_each_guard_is_dropped_in_turn() -> None:
    found = _texts("log_weight/log_extra", needs=("log_weight", "log_extra"), nonzero=("log_extra",))
    assert found["guard"] == [
        "log_weight/log_extra; needs log_extra; nonzero log_extra",
        "log_weight/log_extra; needs log_weight; nonzero log_extra",
        "log_weight/log_extra; needs log_weight, log_extra",
    ]


def test_a_minus_before_a_number_is_dropped() -> None:
    assert "IF(log_weight>1,2,0)" in _texts("IF(log_weight>-1,2,0)")["operator"]


def test_a_cell_that_needs_itself_goes_round() -> None:
    figure = Figure("row_sum", "Sum", Shape.MONEY, formula="row_sum.prev+log_weight", seed=0, end=0)
    vocabulary = _vocabulary(figure)
    round_ones = {mutant.text for mutant in mutants(vocabulary) if goes_round(vocabulary, mutant)}
    assert "row_sum+log_weight" in round_ones
    assert "row_sum.next+log_weight" not in round_ones
