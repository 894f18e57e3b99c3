"""The last campaigns by what their glass cost, and the last pots by how long they lived: for two pictures."""

from __future__ import annotations

from dataclasses import dataclass

from meltbook.method.arithmetic import calendar, in_words, opt
from meltbook.method.melt import CAMPAIGN, Melt, Period
from meltbook.method.pot_life import Lives
from meltbook.method.results import Results
from meltbook.method.wear import LedgerPart

CAMPAIGNS, LIVES = 8, 10


@dataclass(slots=True)
class RecentCampaign:
    """One bar: what a weight of its glass cost, cause by cause."""

    recent_campaign: int = 0
    recent_row: int = 0
    recent_label: str | None = None
    recent_melt: float | None = None
    recent_waiting: float | None = None
    recent_standing: float | None = None
    recent_wear: float | None = None
    recent_glass: float | None = None
    recent_own: float | None = None
    recent_total: float | None = None


@dataclass(slots=True)
class LifeBar:
    """One bar: a life, by how it ended. ``life_at`` counts the rows of the ledger's column from its seed row."""

    life_at: int = 0
    life_from: int | None = None
    life_label: str | None = None
    life_broke: float | None = None
    life_planned: float | None = None
    life_serving: float | None = None


def publish_looking_back(
    results: Results, melt: Melt, campaigns: int, lives: Lives, parts: list[LedgerPart], unit: str
) -> None:
    """Hand over the rows of both pictures and their sentences."""
    drawn = [(row, period) for row, period in enumerate(melt.periods, 1) if period.code == CAMPAIGN]
    rows = [_recent(row, period) for row, period in drawn[:campaigns][-CAMPAIGNS:]]
    rows += [RecentCampaign() for _ in range(CAMPAIGNS - len(rows))]
    results.table(rows)
    dearest = max(rows, key=lambda row: opt(row.recent_total))
    cost = opt(dearest.recent_total)
    prepared = sum(period.code == CAMPAIGN for period in melt.periods)
    name = f"Campaign {dearest.recent_campaign}" if cost else None
    alone = sum(row.recent_total is not None for row in rows) == 1
    results.put(
        recent_last=min(campaigns, prepared),
        recent_dearest=cost,
        recent_words=in_words(cost),
        recent_name=name,
        recent_sentence=(
            f"{name} {'cost' if alone else 'was the dearest:'} {in_words(cost)} for each {unit}." if cost else None
        ),
    )
    _lives(results, lives, parts)


def _recent(row: int, period: Period) -> RecentCampaign:
    """The bar of a campaign, which stands in that row of the periods: what isn't known of it stays blank."""
    bar = RecentCampaign(period.number, row, f"Campaign {period.number}", period.step_melt)
    bar.recent_standing, bar.recent_wear = period.step_standing, period.step_wear
    bar.recent_glass, bar.recent_own = period.step_glass, period.step_own
    if period.step_hot is not None and period.step_melt is not None:
        bar.recent_waiting = period.step_hot - period.step_melt
        others = (period.step_standing, period.step_wear, period.step_glass, period.step_own)
        bar.recent_total = period.step_hot + sum(amount for amount in others if amount is not None)
    return bar


def _lives(results: Results, lives: Lives, parts: list[LedgerPart]) -> None:
    counted = [place for place, life in enumerate(lives.rows) if life.life_counts][-LIVES:]
    bars = []
    for place in counted:
        life, part = lives.rows[place], parts[place]
        bar = LifeBar(place + 2, part.part_from, calendar(part.part_from).isoformat(), 0.0, 0.0, 0.0)
        if life.life_failed:
            bar.life_broke = life.life_uses
        elif part.part_is_retired:
            bar.life_planned = life.life_uses
        else:
            bar.life_serving = life.life_uses
        bars.append(bar)
    results.table(bars + [LifeBar() for _ in range(LIVES - len(bars))])
    count, failed = lives.lives_counted, lives.lives_failed or "none"
    results.put(
        lives_sentence=(
            f"{count} {'life' if count == 1 else 'lives'} in the ledger, {failed} ended by failing." if count else None
        )
    )
