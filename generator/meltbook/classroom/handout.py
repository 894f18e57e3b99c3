"""A student's handout: the numbers of its three stages, and what every formula cell of its workbook must show.

Numbers are drawn again until no answer can be read off from something else in the workbook, no usual slip comes
out right, and every answer is one that can be told to its nearest. :func:`handout_results` is the second
calculation of the workbook: it works from the exercise and never sees the workbook's formulas.
"""

from __future__ import annotations

import hashlib
import json
import math
import re
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from meltbook.classroom import names
from meltbook.classroom.answers import answers, known_values
from meltbook.classroom.codes import CHOICE_NEAREST, codes, countable, is_right, mix, scale_of, units_of
from meltbook.classroom.draw import Numbers, draw, stream
from meltbook.classroom.exercise import Exercise, Step
from meltbook.classroom.expression import Expression
from meltbook.classroom.names import Stage
from meltbook.classroom.roster import Student
from meltbook.errors import Problem, StudioError
from meltbook.method.results import Results, Value

TRIES = 500
LEAST_UNITS = 3
"""An answer is at least so many of what it is told to the nearest of: one more or less is right too."""
_TAG_LETTERS = "ABCDEFGHJKMNPQRSTUVWXYZ"
_TAG_SIGNS = f"{_TAG_LETTERS}23456789"
"""Without signs that are easily mistaken for one another."""
_NUMBER = re.compile(r"\d+(?:\.\d+)?")

Typed = Mapping[str, float | str]
"""What is typed, by the names of input cells."""
Answers = dict[str, float | str | None]


@dataclass(frozen=True, slots=True)
class Handout:
    """One student's exercise. ``salts`` are kept by stage and step, for each step that is checked."""

    exercise: Exercise
    student: Student
    seed: int
    weight_unit: str
    currency: str
    tag: str
    stages: dict[Stage, Numbers]
    salts: dict[Stage, dict[str, int]]

    def words(self, text: str) -> str:
        """A text of the exercise in this class's units."""
        return text.replace("{weight}", self.weight_unit).replace("{currency}", self.currency)


def make_handout(exercise: Exercise, student: Student, *, seed: int, weight_unit: str, currency: str) -> Handout:
    """Draw a student's numbers, the same every time.

    Raises:
        StudioError: no numbers were found that fit; its problem names the step and says why.
    """
    taken = _Taken(exercise, student)
    stages = {stage: _fitting(exercise, student, stage, taken, seed, weight_unit) for stage in names.STAGES}
    salts = _salts(exercise, student, stages, seed)
    tag = _tag(exercise, student, seed, weight_unit, currency)
    return Handout(exercise, student, seed, weight_unit, currency, tag, stages, salts)


# ------------------------------------------------------------------------------------------------------- the tag


def _tag(exercise: Exercise, student: Student, seed: int, weight_unit: str, currency: str) -> str:
    """Eight letters and digits by which a file is known when it comes back. The first is a letter."""
    # What a file leaves out isn't written, so that a key that a later version adds changes no tag.
    plain = json.dumps(exercise.model_dump(mode="json", by_alias=True, exclude_defaults=True), sort_keys=True)
    source = f"{seed}|{plain}|{student.stem}|{weight_unit}|{currency}"
    number = int.from_bytes(hashlib.sha256(source.encode()).digest()[:16], "big")
    number, first = divmod(number, len(_TAG_LETTERS))
    signs = [_TAG_LETTERS[first]]
    for _ in range(7):
        number, place = divmod(number, len(_TAG_SIGNS))
        signs.append(_TAG_SIGNS[place])
    return "".join(signs)


# --------------------------------------------------------------------------------------------- numbers that fit


def four_digits(number: float) -> str:
    """A number as it would be recognised: four significant digits, without its sign."""
    return f"{abs(number):.3e}"


class _Taken:
    """What can be read in the workbook, and the answers so far; each at four digits, with what it is."""

    def __init__(self, exercise: Exercise, student: Student) -> None:
        fixed = {float(names.MODULUS), float(names.FACTOR), float(names.LIMIT)}
        for step in exercise.steps:
            fixed |= {scale_of(step.nearest), names.LIMIT / scale_of(step.nearest)}
        self.shown = {four_digits(number): "a number of the self-checks" for number in fixed}
        for found in _NUMBER.findall(student.name):
            self.shown[four_digits(float(found))] = "a number in the student's name"
        self.answers: dict[str, str] = {}

    def fault(self, exercise: Exercise, numbers: Numbers, found: Answers) -> tuple[str, str] | None:
        """The first step that can be read off somewhere, and where; ``None`` if all can stand beside what is taken."""
        given = {four_digits(value): name for name, value in _named(numbers)}
        for key, name in given.items():
            if key in self.answers:
                return self.answers[key], f"its answer is the same as {name}, which is given on another sheet"
        own: dict[str, str] = {}
        for step in exercise.steps:
            value = found.get(step.name)
            if not isinstance(value, int | float):
                continue
            key = four_digits(value)
            if key in given or key in self.shown:
                return step.name, f"its answer is the same as {given.get(key) or self.shown[key]}"
            if key in own or key in self.answers:
                return step.name, f"its answer is the same as that of {own.get(key) or self.answers[key]}"
            own[key] = step.name
        return None

    def take(self, numbers: Numbers, found: Answers) -> None:
        """Note a stage's numbers and answers."""
        self.shown |= {four_digits(value): name for name, value in _named(numbers)}
        self.answers |= {four_digits(value): name for name, value in found.items() if isinstance(value, int | float)}


def _named(numbers: Numbers) -> Iterator[tuple[str, float]]:
    yield from numbers.values.items()
    for name, cells in numbers.columns.items():
        yield from ((f"a number in {name}", cell) for cell in cells if isinstance(cell, int | float))


def _fitting(exercise: Exercise, student: Student, stage: Stage, taken: _Taken, seed: int, weight_unit: str) -> Numbers:
    places = {step.name: number for number, step in enumerate(exercise.steps, 1)}
    reasons: Counter[tuple[str, str]] = Counter()
    for attempt in range(TRIES):
        numbers = draw(exercise, seed=seed, student=student, stage=stage, attempt=attempt, weight_unit=weight_unit)
        found = answers(exercise, numbers)
        faults = [_unfit(exercise, numbers, found), taken.fault(exercise, numbers, found)]
        first = min(filter(None, faults), key=lambda fault: places[fault[0]], default=None)
        if first is None:
            taken.take(numbers, found)
            return numbers
        reasons[first] += 1
    (name, why), _ = reasons.most_common(1)[0]
    raise StudioError(
        f"No numbers for {exercise.name} were found that fit, in {TRIES} tries for {student.name}.",
        [
            Problem(
                exercise.name,
                None,
                f"[[steps]] {places[name]}, {name}",
                f"in most tries that {why}",
                "an answer that can be asked",
                "Give the numbers that it is made of other or wider ranges, or look at its formula.",
            )
        ],
    )


def _unfit(exercise: Exercise, numbers: Numbers, found: Answers) -> tuple[str, str] | None:
    """The first step whose answer can't be asked, and why."""
    values = known_values(numbers)
    for step in exercise.steps:
        if not names.has_formula(step):
            continue
        value = found[step.name]
        why = _why_not(step, value if isinstance(value, int | float) else None)
        if why:
            return step.name, why
        assert isinstance(value, int | float)
        for number, slip in enumerate(step.slips, 1):
            other = Expression.parse(slip.formula).evaluate(values)
            if other is not None and is_right(other, value, step.nearest):
                return step.name, f"slip {number} comes out right"
        values[step.name] = value
    return None


def _why_not(step: Step, value: float | None) -> str:
    if value is None:
        return "its answer can't be worked out, as when something is divided by 0"
    if step.low is not None and value < step.low:
        return f"its answer is below low = {step.low:g}"
    if step.high is not None and value > step.high:
        return f"its answer is above high = {step.high:g}"
    if abs(value) < LEAST_UNITS * step.nearest:
        return f"its answer is less than {LEAST_UNITS} times nearest = {step.nearest:g}"
    if not countable(abs(value) + step.nearest, step.nearest):
        return f"its answer is too large to be told to the nearest {step.nearest:g}"
    return ""


# --------------------------------------------------------------------------------------------------------- salts


def _salts(
    exercise: Exercise, student: Student, stages: Mapping[Stage, Numbers], seed: int
) -> dict[Stage, dict[str, int]]:
    """Salts with which no number on Workings can be taken for an answer, and no wrong choice for the right one."""
    found = {stage: answers(exercise, stages[stage]) for stage in names.ASKING}
    secret = {
        four_digits(value) for values in found.values() for value in values.values() if isinstance(value, int | float)
    }
    salts: dict[Stage, dict[str, int]] = {}
    for stage in names.ASKING:
        salts[stage] = {}
        for step in names.checked_steps(exercise, stage):
            for attempt in range(TRIES):
                use = f"{stage}|{step.name}|salt"
                chance = stream(exercise, seed=seed, student=student, stage=use, attempt=attempt)
                salt = 1 + chance.below(names.MODULUS - 1)
                if _salt_fits(step, found[stage][step.name], salt, secret):
                    break
            salts[stage][step.name] = salt
    return salts


def _salt_fits(step: Step, answer: float | str | None, salt: int, secret: set[str]) -> bool:
    # An empty cell has a code too: what it is made of stands in the workbook as long as nothing is typed.
    nothing = mix(0, salt)
    shown = {salt, nothing.mixed, nothing.blend, nothing.code}
    if step.by == "choice":
        every = [mix(place, salt).code for place in range(len(step.choices) + 1)]
        if len(set(every)) < len(every):
            return False
        shown |= set(every)
    else:
        assert isinstance(answer, int | float)
        right = codes(answer, step.nearest, salt)
        if len(set(right)) < len(right):
            return False
        shown |= set(right)
    return not any(four_digits(number) in secret for number in shown)


# ------------------------------------------------------------------------------------------------------- results


def handout_results(handout: Handout, typed: Typed | None = None) -> Results:
    """What every formula cell of a student's workbook shows when its input cells hold ``typed``.

    ``None`` in the results is a cell that shows nothing.
    """
    results = Results()
    entered = {name: value for name, value in (typed or {}).items() if value != ""}
    done: dict[Stage, int] = {}
    for stage in names.STAGES:
        _filled(handout, stage, entered, results)
    for stage in names.ASKING:
        done[stage] = _asked(handout, stage, entered, results)
    asked = sum(len(names.checked_steps(handout.exercise, stage)) for stage in names.ASKING)
    results.put(
        first_done=done["first"],
        own_done=done["own"],
        done_sentence=f"{sum(done.values())} of {asked} steps are right.",
    )
    return results


def _filled(handout: Handout, stage: Stage, entered: Typed, results: Results) -> None:
    """The steps that work themselves out, from the typed ones before them."""
    exercise = handout.exercise
    values = known_values(handout.stages[stage])
    for step in names.blank_steps(exercise, stage):
        value = entered.get(names.cell_name(stage, step.name))
        if names.has_formula(step) and isinstance(value, int | float):
            values[step.name] = float(value)
    for step in names.filled_steps(exercise, stage):
        expression = Expression.parse(step.formula)
        found = expression.evaluate(values) if expression.names <= values.keys() else None
        results.put(**{names.cell_name(stage, step.name): found})
        if found is not None:
            values[step.name] = found


@dataclass(slots=True)
class _Check:
    """One row of Workings; the attributes are its columns that hold formulas."""

    reach: float
    value: float
    numeric: int
    units: int
    doubled: int
    part: int
    rest: int
    mixed: int
    blend: int
    code: int
    match: int = field(default=0)


def _asked(handout: Handout, stage: Stage, entered: Typed, results: Results) -> int:
    """The feedback, hints and checks of a stage's blank steps; how many of them are right."""
    checks: list[_Check] = []
    for step in names.blank_steps(handout.exercise, stage):
        value = entered.get(names.cell_name(stage, step.name))
        if step.by == "guess":
            said = names.GUESSED if isinstance(value, int | float) else names.TYPE_A_GUESS
        else:
            check = _check(handout, stage, step, value)
            checks.append(check)
            said = _said(step, value, check)
        results.put(**{names.said_name(stage, step.name): said})
        if step.hints:
            wanted = names.ask_name(stage, step.name) in entered
            hint: Value = handout.words(names.hint_text(step)) if wanted else None
            results.put(**{names.hint_name(stage, step.name): hint})
    if checks:
        for column in _Check.__dataclass_fields__:
            results.column(names.check_name(stage, column), [getattr(check, column) for check in checks])
    return sum(check.match for check in checks)


def _said(step: Step, value: float | str | None, check: _Check) -> str:
    if step.by == "choice" and value is None:
        return names.CHOOSE_ONE
    if step.by != "choice" and not isinstance(value, int | float):
        return names.TYPE_A_NUMBER
    return names.RIGHT if check.match else names.NOT_YET


def _check(handout: Handout, stage: Stage, step: Step, value: float | str | None) -> _Check:
    nearest = CHOICE_NEAREST if step.by == "choice" else step.nearest
    reach = names.LIMIT / scale_of(nearest)
    if step.by == "choice":
        number: float | None = _place(handout, step, value)
    else:
        number = float(value) if isinstance(value, int | float) else None
    held = min(max(number or 0.0, -reach), reach)
    salt = handout.salts[stage][step.name]
    units = units_of(held, nearest)
    mixing = mix(units, salt)
    check = _Check(
        reach,
        held,
        0 if number is None else 1,
        abs(units),
        mixing.doubled,
        mixing.part,
        mixing.rest,
        mixing.mixed,
        mixing.blend,
        mixing.code,
    )
    if number is not None and mixing.doubled <= names.LIMIT and mixing.code in _right_codes(handout, stage, step, salt):
        check.match = 1
    return check


def _place(handout: Handout, step: Step, value: float | str | None) -> float | None:
    """The place of a chosen word in the list, from 1; ``None`` for another word. Capitals count for nothing."""
    words = [handout.words(word).casefold() for word in step.choices]
    found = value.casefold() if isinstance(value, str) else None
    return float(words.index(found) + 1) if found in words else None


def _right_codes(handout: Handout, stage: Stage, step: Step, salt: int) -> tuple[int, ...]:
    if step.by == "choice":
        return (mix(step.choices.index(step.right) + 1, salt).code,)
    answer = answers(handout.exercise, handout.stages[stage])[step.name]
    assert isinstance(answer, int | float) and math.isfinite(answer)
    return codes(answer, step.nearest, salt)
