"""How long the parts in service have left, in a sentence for each kind."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from meltbook.method.arithmetic import Maybe, nearest
from meltbook.method.wear import KindOfPart, Ledger, LedgerPart

COUNTED_IN = {"Hot days": "hot days", "Heat-ups": "heat-ups"}


@dataclass(slots=True)
class KindLeft:
    """What the newest part of a kind in service has gone through, and what there is to say of it."""

    kind_of_part_again: str | None
    kind_of_part_word: str | None
    kind_of_part_speaking: int = 0
    kind_of_part_since: int | None = None
    kind_of_part_next_cost: Maybe = None
    kind_of_part_through: Maybe = None
    kind_of_part_of: Maybe = None
    kind_of_part_to_go: Maybe = None
    kind_of_part_left_words: str | None = None
    kind_of_part_past_words: str | None = None
    kind_of_part_so_far_words: str | None = None
    kind_of_part_says: str | None = None


@dataclass(slots=True)
class PartPlace:
    """Where a part stands among those of its kind in service."""

    part_later_serving: int
    part_below_serving: int
    part_speaks: int


def parts_left(ledger: Ledger) -> tuple[list[KindLeft], list[PartPlace]]:
    """The kinds with their sentences, and the parts with their places."""
    serving: list[list[LedgerPart]] = [[] for _ in range(len(ledger.kinds) + 1)]
    for part in ledger.used:
        if part.part_serving:
            serving[part.part_kind_row].append(part)
    speakers = [max(parts, key=lambda part: (part.part_from, part.part_order), default=None) for parts in serving]
    kinds = [_kind(kind, speaker) for kind, speaker in zip(ledger.kinds, speakers[1:], strict=True)]
    return kinds, list(_places(ledger.parts, serving, speakers))


def _places(
    parts: Sequence[LedgerPart], serving: Sequence[Sequence[LedgerPart]], speakers: Sequence[LedgerPart | None]
) -> Iterator[PartPlace]:
    for part in parts:
        rivals = serving[part.part_kind_row]
        same_day = [rival for rival in rivals if rival.part_from == part.part_from]
        yield PartPlace(
            part_later_serving=sum(rival.part_from > part.part_from for rival in rivals),
            part_below_serving=sum(rival.part_order > part.part_order for rival in same_day),
            part_speaks=part.part_kind_row if part is speakers[part.part_kind_row] else 0,
        )


def _kind(kind: KindOfPart, part: LedgerPart | None) -> KindLeft:
    unit = COUNTED_IN.get(kind.typed.basis or "", "charges")
    left = KindLeft(kind.typed.name or None, unit if kind.typed.name else None)
    if part is None or part.part_uses is None:
        return left
    left.kind_of_part_speaking, left.kind_of_part_through = 1, part.part_uses
    left.kind_of_part_since, left.kind_of_part_next_cost = part.part_from, kind.kind_of_part_cost_used
    so_far = f"Used so far, in {unit}: {nearest(part.part_uses)}. Type the life that you expect."
    left.kind_of_part_so_far_words = left.kind_of_part_says = so_far
    if part.part_expected is None:
        return left
    to_go = part.part_expected - part.part_uses
    left.kind_of_part_of, left.kind_of_part_to_go = part.part_expected, to_go
    whole = f"{nearest(part.part_expected)} {unit}"
    left.kind_of_part_left_words = f"About {nearest(max(0.0, to_go))} of {whole} left."
    left.kind_of_part_past_words = f"Past its {whole} by {nearest(max(0.0, -to_go))}: have the next one ready."
    past = nearest(max(0.0, -to_go)) > 0
    left.kind_of_part_says = left.kind_of_part_past_words if past else left.kind_of_part_left_words
    return left
