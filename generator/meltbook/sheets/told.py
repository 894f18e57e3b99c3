"""Every text of a sheet told anew: with the unit of a source, or with the sheets of a furnace in place of a mark."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TypeVar

from meltbook.sheets.kernel import Block, Fields, Grid, Picture, Rows, Sheet, Words, is_name

Telling = Callable[[str], str]


def told_sheet(sheet: Sheet, told: Telling) -> Sheet:
    """A sheet with its purpose and all its blocks told anew."""
    return replace(sheet, purpose=told(sheet.purpose), blocks=tuple(told_block(block, told) for block in sheet.blocks))


def told_block(block: Block, told: Telling) -> Block:
    """A block with its texts told anew; names of fields stay."""
    if isinstance(block, Grid):
        rows = tuple(tuple(text if is_name(text) else told(text) for text in row) for row in block.rows)
        return replace(_headed(block, told), rows=rows)
    if isinstance(block, Fields):
        return _headed(block, told)
    if isinstance(block, Rows):
        return _headed(block, told)
    if isinstance(block, Words):
        lines = tuple(line if is_name(line) else told(line) for line in block.lines)
        return replace(block, heading=told(block.heading), lines=lines, caution=told(block.caution))
    if isinstance(block, Picture):
        return replace(
            block,
            title=told(block.title),
            heading=told(block.heading),
            axis=told(block.axis),
            alt=told(block.alt),
            sentence=block.sentence if is_name(block.sentence) else told(block.sentence),
            series=tuple(replace(series, label=told(series.label)) for series in block.series),
        )
    return block


Headed = TypeVar("Headed", Fields, Rows, Grid)


def _headed(block: Headed, told: Telling) -> Headed:
    return replace(block, heading=told(block.heading), intro=told(block.intro), caution=told(block.caution))
