"""The last campaigns by what their glass cost, and the last pots by how long they lived: for two pictures."""

from __future__ import annotations

from dataclasses import dataclass

from meltbook.method.arithmetic import calendar, in_words, opt
from meltbook.method.melt import CAMPAIGN, Melt
from meltbook.method.pot_life import Lives
from meltbook.method.results import Results
from meltbook.method.wear import LedgerPart

CAMPAIGNS, LIVES = 8, 10


@dataclass(slots=True)
class RecentCampaign:
    """One bar: what a weight of its glass cost, cause by cause."""

    recent_campaign: int = 0
    recent_label: str | None = None
    recent_melt: float = 0.0
    recent_waiting: float = 0.0
    recent_standing: float = 0.0
    recent_wear: float = 0.0
    recent_glass: float = 0.0
    recent_own: float = 0.0
    recent_total: float = 0.0


@dataclass(slots=True)
class LifeBar:
    """One bar: a life, by how it ended. ``life_at`` counts the rows of the ledger's column from its seed row."""

    life_at: int = 0
    life_from: int | None = None
    life_label: str | None = None
    life_broke: float = 0.0
    life_planned: float = 0.0
    life_serving: float = 0.0


def publish_looking_back(
    results: Results, melt: Melt, campaigns: int, lives: Lives, parts: list[LedgerPart], unit: str
) -> None:
    """Hand over the rows of both pictures and their sentences."""
    drawn = [period for period in melt.periods if period.code == CAMPAIGN][:campaigns][-CAMPAIGNS:]
    rows = []
    for period in drawn:
        row = RecentCampaign(period.number, f"Campaign {period.number}", opt(period.step_melt))
        row.recent_waiting = opt(period.step_hot) - row.recent_melt
        row.recent_standing, row.recent_wear = opt(period.step_standing), opt(period.step_wear)
        row.recent_glass, row.recent_own = opt(period.step_glass), opt(period.step_own)
        row.recent_total = (
            opt(period.step_hot) + row.recent_standing + row.recent_wear + row.recent_glass + row.recent_own
        )
        rows.append(row)
    rows += [RecentCampaign() for _ in range(CAMPAIGNS - len(rows))]
    results.table(rows)
    dearest = max(rows, key=lambda row: row.recent_total)
    prepared = sum(period.code == CAMPAIGN for period in melt.periods)
    results.put(
        recent_last=min(campaigns, prepared),
        recent_dearest=dearest.recent_total,
        recent_words=in_words(dearest.recent_total),
        recent_sentence=(
            f"Campaign {dearest.recent_campaign} was the dearest: {in_words(dearest.recent_total)} for each {unit}."
            if dearest.recent_total
            else None
        ),
    )
    _lives(results, lives, parts)


def _lives(results: Results, lives: Lives, parts: list[LedgerPart]) -> None:
    counted = [place for place, life in enumerate(lives.rows) if life.life_counts][-LIVES:]
    bars = []
    for place in counted:
        life, part = lives.rows[place], parts[place]
        bar = LifeBar(place + 2, part.part_from, calendar(part.part_from).isoformat())
        if life.life_failed:
            bar.life_broke = life.life_uses
        elif part.part_is_retired:
            bar.life_planned = life.life_uses
        else:
            bar.life_serving = life.life_uses
        bars.append(bar)
    results.table(bars + [LifeBar() for _ in range(LIVES - len(bars))])
    count = lives.lives_counted
    results.put(
        lives_sentence=(
            f"{count} {'life' if count == 1 else 'lives'} in the ledger, {lives.lives_failed} ended by failing."
            if count
            else None
        )
    )
