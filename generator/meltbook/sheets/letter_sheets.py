"""New tariff in a book with several furnaces, and New tariff 2, for a letter of the second source.

What a letter comes to in a month and a year is that of all furnaces on its source together. The pieces, their tags and
the machines on Equipment stand once, on New tariff, under the letters of both sources.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from meltbook.sheets.kernel import Block, Fields, Grid, Sheet, Words
from meltbook.studio.furnaces import name_ends

_SUMS = {
    "effect_energy": "letter_effect_energy",
    "effect_standing": "letter_effect_standing",
    "effect_year": "letter_effect_year",
    "effect_energy_month": "letter_month_energy",
    "effect_standing_month": "letter_month_standing",
    "effect_month": "letter_month_year",
}
"""What stands in place of the first furnace's own figures."""


_RESTS = Words(heading="", lines=("effect_note",))
"""The line of a book with one furnace."""


@dataclass(frozen=True, slots=True)
class Letters:
    """The sheets of a book whose furnaces run on these sources; ``two`` if it has a second source at all."""

    sources: Sequence[str]
    two: bool

    def sums(self, sheet: Sheet) -> Sheet:
        """The sheet with what its source's furnaces come to together."""
        return replace(sheet, blocks=tuple(_summed(block) for block in sheet.blocks))

    def first(self, sheet: Sheet) -> Sheet:
        """New tariff."""
        blocks = (self._rests(block, "First") for block in self.sums(sheet).blocks)
        return replace(sheet, blocks=tuple(_told_of_both(block) if self.two else block for block in blocks))

    def second(self, sheet: Sheet) -> Sheet:
        """New tariff 2. ``sheet`` has the fields of the second source."""
        blocks = (*sheet.blocks, self._rests(_RESTS, "Second"))
        return replace(
            sheet,
            purpose="Type the letter about this source. Its pieces, its tags and Equipment stand on New tariff.",
            blocks=tuple(block for block in blocks if not isinstance(block, Words) or block.lines),
        )

    def _rests(self, block: Block, source: str) -> Block:
        """On how much of each log the effect rests, in place of the line about the first furnace's."""
        if block != _RESTS:
            return block
        ends = [end for end, theirs in zip(name_ends(len(self.sources)), self.sources, strict=True) if theirs == source]
        return replace(_RESTS, lines=tuple(f"effect_told{end}" for end in ends))


def _summed(block: Block) -> Block:
    if not isinstance(block, Grid):
        return block
    rows = tuple(tuple(_SUMS.get(cell, cell) for cell in row) for row in block.rows)
    return replace(block, rows=tuple(_of_first_furnace(row) for row in rows))


def _of_first_furnace(row: tuple[str, ...]) -> tuple[str, ...]:
    if row[1] != "hot_before":
        return row
    return (*row[:5], "Of the first furnace, as on Cost of glass; the others stand on All furnaces.")


def _told_of_both(block: Block) -> Block:
    """Where the letter of the second source is counted as well."""
    if isinstance(block, Words) and "letter_state" in block.lines:
        at = block.lines.index("letter_state")
        return replace(block, lines=(*block.lines[:at], "letter_besides", *block.lines[at:]))
    if isinstance(block, Grid):
        besides = "Besides: the machines typed on Equipment, under the letters of both sources."
        rows = tuple((*row[:5], besides) if row[0] == "Equipment" else row for row in block.rows)
        return replace(block, rows=rows)
    if isinstance(block, Fields) and "retag_count" in block.names:
        return replace(block, intro="Tags under the letters of both sources; rows of the log of the first furnace.")
    return block
