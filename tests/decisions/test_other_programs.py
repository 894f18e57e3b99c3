"""Every cell of the decisions in other programs, for ledgers and answers of all kinds."""

from __future__ import annotations

from pathlib import Path

import pytest

from meltbook.studio.model import Studio
from tests.decisions.pots import LEDGERS, lives, pot_studio
from tests.engines.books import assert_all_agree, poisoned_all
from tests.engines.runners import Engine


def _studios(count: int, seed: int) -> dict[str, Studio]:
    found = {}
    for number, (failed, others) in enumerate(lives(count, seed)):
        serving = (None, 0.0, 33.0)[number % 3]
        known = ({}, {"gap_days": 12.0, "cooling_days": 2.0}, {"shape_typed": 0.8, "repair_cost": 9000.0})[number % 3]
        found[f"ledger {number}"] = pot_studio(failed, others, serving, **known)
    return found


def test_ledgers_of_pots(quick_engine: Engine, tmp_path: Path) -> None:
    assert_all_agree(quick_engine, poisoned_all(_studios(6, seed=21), LEDGERS, tmp_path), tmp_path)


@pytest.mark.exhaustive
def test_many_ledgers_of_pots(quick_engine: Engine, tmp_path: Path) -> None:
    assert_all_agree(quick_engine, poisoned_all(_studios(40, seed=22), LEDGERS, tmp_path), tmp_path)
