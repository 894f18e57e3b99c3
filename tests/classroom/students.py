"""A program that behaves as students do: what it types into a workbook, and the mark that it ought to get.

What a student does at a step is a :class:`Deed`. The figures that follow, and the marks, are worked out here with
the test's own arithmetic from the meaning of marks: they know nothing of how marking is done.
"""

from __future__ import annotations

import random
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from meltbook.classroom import names
from meltbook.classroom.exercise import Step
from meltbook.classroom.handout import Handout
from meltbook.classroom.vocabulary import in_units
from tests.classroom.marking.arithmetic import near, work_out

WORD = re.compile(r'"[^"]*"|[a-z]+(?:_[a-z]+)*')
CAUGHT_OUT = ("Right", "Right method")

Content = float | str | None


@dataclass(frozen=True, slots=True)
class Deed:
    """What a student does at a step, and what comes of it.

    ``kind`` is one of ``KINDS``. ``content`` is what is typed (a formula in names of cells, without the stage's
    name before them, begins with ``=``), ``figure`` the number that stands there then, if any.
    """

    step: Step
    kind: str
    content: Content
    figure: float | None
    state: str
    points: float


KINDS = (
    "right",
    "slip",
    "hundredfold",
    "typed right",
    "typed own",
    "typed wrong",
    "typed nought",
    "constant",
    "text",
    "unreadable",
    "blank",
)


@dataclass(slots=True)
class AtWork:
    """A student at the steps of one sheet, one after the other."""

    handout: Handout
    stage: Any
    right: dict[str, float] = field(default_factory=dict)
    own: dict[str, Any] = field(default_factory=dict)
    deeds: list[Deed] = field(default_factory=list)

    def __post_init__(self) -> None:
        for step in self.handout.exercise.steps:
            if names.has_formula(step):
                answer = work_out(step.formula or "", self.cells(self.right))
                assert answer is not None, step.name
                self.right[step.name] = answer

    def cells(self, figures: Mapping[str, Any]) -> dict[str, Any]:
        numbers = self.handout.stages[self.stage]
        return {**numbers.values, **{name: list(column) for name, column in numbers.columns.items()}, **figures}

    # --------------------------------------------------------------------------------- what the cells hold

    @property
    def on_sheet(self) -> dict[str, Any]:
        """Figures as formulas see them: nothing where nothing is typed, a word where there is no number."""
        return {name: self.own.get(name) for name in self.right}

    @property
    def missing(self) -> set[str]:
        """Earlier steps without a figure."""
        return {
            deed.step.name for deed in self.deeds if names.has_formula(deed.step) and self.figure(deed.step) is None
        }

    def figure(self, step: Step) -> float | None:
        value = self.own.get(step.name)
        return value if isinstance(value, float) else None

    def follows(self, step: Step) -> float | None:
        """What the right method gives: from own figures, and the right ones where there are none."""
        figures = {
            name: self.own[name] if isinstance(self.own.get(name), float) else right
            for name, right in self.right.items()
        }
        return work_out(step.formula or "", self.cells(figures))

    # -------------------------------------------------------------------------------------------- one step

    def do(self, step: Step, kind: str, rnd: random.Random) -> None:
        """Do something at the next step."""
        if step.by == "guess":
            self._guess(step, rnd)
        elif step.by == "choice":
            self._choose(step, kind)
        else:
            self._calculate(step, kind, rnd)

    def _guess(self, step: Step, rnd: random.Random) -> None:
        self.deeds.append(Deed(step, "guess", float(rnd.randint(1, 9)), None, "Guess", 0.0))

    def _choose(self, step: Step, kind: str) -> None:
        right = in_units(self.handout, step.right)
        wrong = next(in_units(self.handout, word) for word in step.choices if word != step.right)
        if kind == "blank":
            self.deeds.append(Deed(step, kind, None, None, "Blank", 0.0))
        elif kind in ("slip", "typed wrong", "hundredfold"):
            self.deeds.append(Deed(step, kind, wrong, None, "Wrong", 0.0))
        elif kind == "unreadable":
            self.deeds.append(Deed(step, kind, "all of them", None, "Wrong", 0.0))
        else:
            self.deeds.append(Deed(step, kind, f" {right.upper()} ", None, "Right", float(step.points)))

    def _calculate(self, step: Step, kind: str, rnd: random.Random) -> None:
        if kind == "slip" and not step.slips:
            kind = "hundredfold"
        content, figure = self._typed(step, kind, rnd)
        state = self._state(step, kind, content, figure)
        share = {"Right": 1.0, "Right method": 1.0, "Typed, not calculated": self.handout.exercise.typed_share}
        deed = Deed(step, kind, content, figure, state, step.points * share.get(state, 0.0))
        self.own[step.name] = content if kind == "unreadable" else figure
        if figure is None and isinstance(content, str) and content.startswith("="):
            self.own[step.name] = "#an error"
        self.deeds.append(deed)

    def _typed(self, step: Step, kind: str, rnd: random.Random) -> tuple[Content, float | None]:
        answer, nearest = self.right[step.name], step.nearest
        told = round(answer / nearest) * nearest
        if kind == "blank":
            return None, None
        if kind in ("right", "slip", "hundredfold"):
            formula = rnd.choice(step.slips).formula if kind == "slip" else step.formula or ""
            formula = f"({formula})*100" if kind == "hundredfold" else formula
            return f"={formula}", work_out(formula, self.cells(self.on_sheet))
        if kind == "typed right":
            return told, told
        if kind == "typed own":
            follows = self.follows(step)
            figure = told if follows is None else round(follows / nearest) * nearest
            return figure, figure
        if kind == "typed nought":
            return 0.0, 0.0
        if kind == "constant":
            return f"={told!r}*2/2", told
        if kind == "text":
            return written(told, step, self.handout, rnd), told
        if kind == "unreadable":
            return rnd.choice(["about that much", "?", "see my notes", "12 to 15"]), None
        wrong = answer * rnd.uniform(1.2, 3) + 7 * nearest
        return wrong, wrong

    # --------------------------------------------------------------------------------------------- marks

    def _state(self, step: Step, kind: str, content: Content, figure: float | None) -> str:
        if kind == "blank":
            return "Blank"
        calculated = isinstance(content, str) and content.startswith("=") and kind != "constant"
        earned = self._fits(step, figure) or (calculated and self._right_elsewhere(step, content))
        if kind == "slip" and earned == "Right method" and not self._right_on_right_figures(step, content):
            earned = ""  # own figures that hide a slip, as a tax of 0 hides that it was left out
        if kind == "right":
            earned = earned or "Right method"
        if earned and step.by == "formula" and not calculated:
            return "Typed, not calculated"
        return earned or "Wrong"

    def _right_on_right_figures(self, step: Step, content: Content) -> bool:
        return near(work_out(str(content)[1:], self.cells(self.right)), self.right[step.name], step.nearest)

    def _fits(self, step: Step, figure: float | None) -> str:
        """Right, Right method or nothing, by the figure alone."""
        if near(figure, self.right[step.name], step.nearest):
            return "Right"
        follows = self.follows(step)
        if follows is None or abs(follows) < 3 * step.nearest or not near(figure, follows, step.nearest):
            return ""
        return "Right" if self._only_rounded(step) else "Right method"

    def _only_rounded(self, step: Step) -> bool:
        by_name = {one.name: one for one in self.handout.exercise.steps}
        used = {name for name in WORD.findall(step.formula or "") if name in self.right}
        for name in used:
            figure = self.own.get(name)
            if isinstance(figure, float):
                if not near(figure, self.right[name], by_name[name].nearest):
                    return False
            elif not self._only_rounded(by_name[name]):
                return False
        return True

    def _right_elsewhere(self, step: Step, content: Content) -> str:
        """A formula that can't be told by its figure: right once figures that tell something stand in."""
        follows = self.follows(step)
        tells = follows is not None and abs(follows) >= 3 * step.nearest
        formula = str(content)[1:]
        if not tells:
            figure = work_out(formula, self.cells(self.on_sheet))
            if follows is not None and not near(figure, follows, step.nearest) and not self.missing:
                return ""
            return "Right method" if self._right_on_right_figures(step, content) else ""
        if not self.missing:
            return ""
        filled = {**self.on_sheet, **{name: self.right[name] for name in self.right if name in self.missing}}
        return "Right method" if near(work_out(formula, self.cells(filled)), follows, step.nearest) else ""


def written(value: float, step: Step, handout: Handout, rnd: random.Random) -> str:
    """A number as a text that can be read in one way only."""
    unit = in_units(handout, step.unit)
    if unit == "%":
        return rnd.choice(
            [f"{value * 100:.4f} %", f"{value * 100:.4f}%", f"{value * 100:.4f} percent".replace(".", ",")]
        )
    places = 2 if step.nearest >= 0.01 else 5
    plain = f"{value:.{places}f}"
    forms = [plain, plain.replace(".", ","), f"{plain} {unit}".strip(), f" {plain} "]
    if abs(value) >= 1000:
        forms += [f"{value:,.{places}f}", f"{value:,.{places}f}".translate(str.maketrans(",.", ".,"))]
    if handout.currency in unit:
        forms += [f"${plain}", f"{plain} {handout.currency}", f"€ {plain}"]
    return rnd.choice(forms)


def at_work(handout: Handout, plan: Mapping[str, str] | str, seed: int) -> Iterator[AtWork]:
    """A student on both sheets. ``plan`` says what is done at which step, or the kind of all; the rest is right."""
    rnd = random.Random(f"student {seed}")
    for stage in names.ASKING:
        work = AtWork(handout, stage)
        for step in names.blank_steps(handout.exercise, stage):
            kind = plan if isinstance(plan, str) else plan.get(f"{stage}_{step.name}", plan.get(step.name, "right"))
            work.do(step, kind, rnd)
        yield work


def by_chance(handout: Handout, seed: int) -> dict[str, str]:
    """A plan in which mistakes of every kind come up, and most is right."""
    rnd = random.Random(f"plan {seed}")
    cells = [f"{stage}_{step.name}" for stage in names.ASKING for step in names.blank_steps(handout.exercise, stage)]
    return {cell: rnd.choice(KINDS) for cell in cells if rnd.random() < 0.45}


def contents(works: list[AtWork]) -> dict[str, Content]:
    """What is typed, by the names of cells; formulas in the names of cells."""
    typed: dict[str, Content] = {}
    for work in works:
        known = set(work.cells(work.right))
        for deed in work.deeds:
            content = deed.content
            if isinstance(content, str) and content.startswith("="):
                content = WORD.sub(lambda m, w=work, k=known: f"{w.stage}_{m[0]}" if m[0] in k else m[0], content)
            typed[names.cell_name(work.stage, deed.step.name)] = content
    return typed


def expected(works: list[AtWork]) -> dict[str, tuple[str, float]]:
    """State and points by the names of cells."""
    return {
        names.cell_name(work.stage, deed.step.name): (deed.state, deed.points) for work in works for deed in work.deeds
    }
