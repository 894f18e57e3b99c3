"""The studios of two furnaces in whose books mutants are tried."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from meltbook.studio.furnaces import MoreFurnace, SecondSource
from meltbook.studio.letter import Letter
from meltbook.studio.model import Studio
from meltbook.studio.starts import load_start
from tests.mutation.invented_furnaces import replaced, two_furnaces
from tests.mutation.suite import ROOM, Scene, any_studio
from tests.mutation.suite import cut as cut_to_room
from tests.mutation.suite import scenes as scenes_of_one
from tests.strategies.furnaces import furnace_studio
from tests.strategies.machines import machines_on_two_sources

ROOM_OF_TWO = replace(ROOM, more=(replace(ROOM, log=20, ledger=5, part_kinds=3),), second=5)
"""The second furnace's tables are shorter, so that a range of the wrong furnace is seen."""


SOME_BLANK = (20, 21, 22, 24)
ODD = (63, 65)
"""Throws of the dice that killed a mutant which none before did, of those that were tried."""

LIKE_THE_FIRST = ("invented", "generated", "machines")
"""How scenes of one furnace begin that there are others like of two."""


def blank(*, second: bool) -> Studio:
    """Two furnaces, and nothing typed about either."""
    further = MoreFurnace(source="Second" if second else "First")
    source = SecondSource() if second else None
    return replaced(cut_to_room(any_studio()), more_furnaces=(further,), second_source=source)


def cut(studio: Studio) -> Studio:
    """As much of a studio of two furnaces as the room takes."""
    [further] = ROOM_OF_TWO.more
    tables = ("log", "part_kinds", "ledger")
    more = tuple(
        replaced(each, **{table: getattr(each, table)[: getattr(further, table)] for table in tables})
        for each in studio.more_furnaces
    )
    source = studio.second_source
    if source is not None:
        source = replaced(source, tariffs=source.tariffs[: ROOM_OF_TWO.second])
    return replaced(cut_to_room(studio), more_furnaces=more, second_source=source)


def on_two_sources() -> list[Scene]:
    """All studios whose furnaces have a source each, those first that kill the most."""
    return [*_scenes(second=True), *_only_on_two_sources()]


def on_one_source() -> list[Scene]:
    """All studios whose furnaces share a source."""
    return list(_scenes(second=False))


def _scenes(*, second: bool) -> Iterator[Scene]:
    def full(seed: int, filled: float = 1.0, odd: float = 0.0) -> Studio:
        return two_furnaces(seed, ROOM_OF_TWO, second=second, filled=filled, odd=odd)

    for seed in range(8):
        yield Scene(f"invented {seed}", full(seed))
    yield Scene("typed over", full(13), twisted=True)
    yield Scene("names gone", full(13), nameless=True)
    yield Scene("nothing typed", blank(second=second))
    yield from _without(30, full(30), blank(second=second))
    for seed in (200, 201):
        yield Scene(f"texts for numbers, {seed}", full(seed, 0.5, 0.05), texts=True)
    for seed in SOME_BLANK:
        yield Scene(f"invented {seed}, some blank", full(seed, 0.85, 0.04))
    for seed in ODD:
        yield Scene(f"invented {seed}, odd", full(seed, 0.95, 0.15))
    yield Scene("invented 42, half blank", full(42, 0.5, 0.1))
    for scene in scenes_of_one():
        if not (scene.twisted or scene.nameless or scene.texts or scene.name.startswith(LIKE_THE_FIRST)):
            yield Scene(f"{scene.name}, and another furnace", _with_another(cut_to_room(scene.studio), full(40)))
    for seed in range(8):
        studio = furnace_studio(seed, 2, second=second)
        if studio.more_furnaces[0].source == ("Second" if second else "First"):
            yield Scene(f"generated {seed}", cut(studio))
    yield from _without(31, full(31), blank(second=second))


def _without(seed: int, studio: Studio, nothing: Studio) -> Iterator[Scene]:
    """A full studio that lacks something of one furnace, or of both."""
    by_minutes = replaced(studio.shop, furnace_by="Bench minutes")
    unnamed = tuple(replaced(piece, furnace=None) for piece in studio.pieces)
    source = studio.second_source
    silent = source and replaced(source, letter=Letter())
    for what, there in (
        ("the second furnace blank", replaced(studio, more_furnaces=nothing.more_furnaces)),
        ("the first furnace logged nothing", replaced(studio, log=())),
        ("neither logged anything", _further(replaced(studio, log=()), log=())),
        ("no letter for the first source", replaced(studio, letter=Letter())),
        ("no letter for the second source", replaced(studio, second_source=silent)),
        ("no letter", replaced(studio, letter=Letter(), second_source=silent)),
        ("no piece names its furnace", replaced(studio, pieces=unnamed)),
        ("by bench minutes", replaced(studio, shop=by_minutes)),
        (
            "by bench minutes, the second furnace blank",
            replaced(studio, shop=by_minutes, more_furnaces=nothing.more_furnaces),
        ),
    ):
        yield Scene(f"{what}, {seed}", there)


def _only_on_two_sources() -> Iterator[Scene]:
    for name, studio in machines_on_two_sources().items():
        if studio.second_source is not None:
            yield Scene(f"machines: {name}", cut(studio))
    yield Scene("foundry-two-kg", cut(load_start("foundry-two-kg").studio))


def _with_another(studio: Studio, two: Studio) -> Studio:
    """A studio of one furnace that gets the second one of another studio, and its source."""
    return replaced(studio, more_furnaces=two.more_furnaces, second_source=two.second_source)


def _further(studio: Studio, **cells: Any) -> Studio:
    """The studio with something else typed about its second furnace."""
    return replaced(studio, more_furnaces=tuple(replaced(each, **cells) for each in studio.more_furnaces))
