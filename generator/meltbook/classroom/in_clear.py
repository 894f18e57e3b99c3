"""Whether a student's workbook holds an answer in clear: a look at the finished file, part by part.

Numbers are compared at four significant digits. A number that stands in the workbook of every student of the
exercise (a scale, a count, a number in the exercise's own words) tells nothing about an answer and is left out.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator
from typing import TYPE_CHECKING

from meltbook.classroom import names
from meltbook.classroom.answers import answers
from meltbook.classroom.vocabulary import PERCENT, scale_of

if TYPE_CHECKING:
    from meltbook.classroom.exercise import Exercise
    from meltbook.classroom.handout import Handout

_NUMBER = re.compile(r"(?<![\w.$#&])(?:\d{1,3}(?:,\d{3})+|\d+)(?:\.\d+)?(?:[eE][+-]?\d+)?(?![\w.])")
_TEXTS = re.compile(
    r"<(?:\w+:)?(?:v|f|t|definedName|formula|formula1|formula2|title|subject|creator|keywords|description|category|lastModifiedBy)"
    r"(?:\s[^>]*)?>([^<]*)<"
)
_PROMPTS = re.compile(r'\b(?:prompt|promptTitle|error|errorTitle|descr|tooltip|text)="([^"]*)"')
_STRING_CELL = re.compile(r'<c\b[^>]*\bt="s"[^>]*><v>\d+</v></c>')


def significant(number: float) -> str:
    """A number at four significant digits, without its sign."""
    return f"{abs(number):.3e}"


def in_clear(data: bytes, handout: Handout) -> list[str]:
    """Each answer that can be read in the workbook: the stage, the step, and the part of the file."""
    sought: dict[str, str] = {}
    for stage in names.ASKING:
        found = answers(handout.exercise, handout.stages[stage])
        for step in names.checked_steps(handout.exercise, stage):
            value = found[step.name]
            if isinstance(value, int | float):
                sought[significant(value)] = f"{stage}_{step.name}"
    told = everywhere(handout.exercise)
    seen = {
        f"{sought[key]} in {part}"
        for part, number in numbers_in(data)
        if (key := significant(number)) in sought
        if key not in told
    }
    return sorted(seen)


def numbers_in(data: bytes) -> Iterator[tuple[str, float]]:
    """Every number that a person could read in a workbook, with the part of the file that it stands in."""
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        for part in package.namelist():
            text = package.read(part).decode("utf-8", "replace")
            # A text's number in the list of texts is no number of the workbook.
            text = _STRING_CELL.sub("", text)
            for pattern in (_TEXTS, _PROMPTS):
                for match in pattern.finditer(text):
                    for number in _NUMBER.findall(match[1]):
                        yield part, float(number.replace(",", ""))


def everywhere(exercise: Exercise) -> frozenset[str]:
    """The numbers that stand in the workbook of every student of an exercise, at four significant digits."""
    found: set[float] = {0, 1, 2, names.MODULUS, names.FACTOR, names.DIGITS, names.LIMIT, 0.5, 25, 0.25}
    texts = [exercise.title, exercise.name, exercise.caution or "", *exercise.about]
    for given in exercise.given:
        texts += [given.label, given.unit or "", given.note or ""]
    for table in exercise.tables:
        texts.append(table.label)
        for column in table.columns:
            texts += [column.label, column.unit or "", *(column.words or ())]
    for step in exercise.steps:
        texts += [step.label, step.unit or "", step.formula or "", *step.hints, *(step.choices or ())]
        scale = scale_of(step)
        found |= {scale, names.LIMIT / scale, 1 / scale, 100 / scale if step.unit == PERCENT else 1 / scale}
    for text in texts:
        found |= {float(number.replace(",", "")) for number in _NUMBER.findall(text)}
    # Counts: steps, rows of a table, the numbers in the list of what to do.
    longest = max([len(exercise.steps), *(table.rows for table in exercise.tables)])
    found |= set(range(longest + 1))
    return frozenset(significant(number) for number in found)
