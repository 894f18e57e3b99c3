"""Exercise files: the good ones are read, and of the bad ones everything wrong is told with its place."""

from __future__ import annotations

from pathlib import Path

import pytest

from meltbook.classroom.exercise import exercise_text, load_exercise, parse_exercise, shipped
from meltbook.errors import MeltbookError, StudioError, UsageError
from tests.unit.classroom.tiny import PATH, TEXT, changed, problems, tiny


def test_what_is_read() -> None:
    exercise = tiny()
    assert exercise.name == "tiny" and exercise.first_steps == 2 and exercise.typed_share == 0.5
    kw, price, months = exercise.given
    assert (kw.from_, kw.to, kw.step, kw.value) == (6, 14, 0.5, None)
    raster = price.raster("kg")
    assert raster is not None and (raster.from_, raster.to) == (0.21, 0.39)
    assert months.value == 12 and months.raster("lb") is None
    (table,) = exercise.tables
    assert table.kinds == ("Start", "Charge", "Cold", "Idle")
    assert exercise.step("hours_on").slips[0].formula == "MAX(log_reading)"
    assert [step.by for step in exercise.steps] == ["formula", "formula", "guess", "number", "choice"]
    assert hash(exercise) == hash(load_exercise(str(PATH)))


def test_shipped_exercises_are_found_in_rising_order() -> None:
    names = shipped()
    assert names[0] == "meter-and-bill" and len(names) >= 6
    for name in names:
        assert load_exercise(name).name == name
        assert parse_exercise(exercise_text(name), name=name, place=name) == load_exercise(name)


def test_a_raster_has_no_dust() -> None:
    raster = tiny().given[1].raster("lb")
    assert raster is not None and raster.places == 19
    assert [raster.at(place) for place in range(3)] == [0.11, 0.12, 0.13]
    assert raster.at(18) == 0.29


@pytest.mark.parametrize(
    ("wanted", "says"),
    [
        ("laddr", "Did you mean ladder?"),
        ("anything", "There are: meter-and-bill"),
        ("none/such.toml", "There is no exercise file"),
        ("nosuch.toml", "There is no exercise file"),
        (".", "is a folder"),
        ("a\0b.toml", "can't be read"),
    ],
)
def test_no_such_exercise(wanted: str, says: str) -> None:
    with pytest.raises(UsageError) as told:
        load_exercise(wanted)
    assert says in f"{told.value.message} {told.value.hint}"


def test_files_that_are_no_exercise(tmp_path: Path) -> None:
    for content, says in (
        (b"PK\x03\x04rest", "is a workbook"),
        (b'title = "\xe9"', "not UTF-8"),
        (b"#" * 300_000, "too large"),
        (b"a = " + b"[" * 5000, "can't be read as TOML"),
    ):
        path = tmp_path / "x.toml"
        path.write_bytes(content)
        with pytest.raises(MeltbookError) as told:
            load_exercise(path)
        assert says in told.value.message
    path.write_bytes(b"\xef\xbb\xbf" + TEXT.encode())
    assert load_exercise(path).title == "A meter"


def test_bad_toml_names_the_line() -> None:
    (problem,) = problems(changed('unit = "kW"', "unit = kW"))
    assert problem.sheet == "mine.toml" and problem.column.startswith("line 9, column 8")
    assert problem.found == "`unit = kW`" and problem.expected == "TOML"


# What is changed in the tiny exercise, and what must be told: place, found, expected, what to do.
USED, FORMULA = '"hours_on * connected_kw"', "[[steps]] 2, formula"
COLUMN, SECOND = "[[tables]] 1, [[tables.columns]] 1", "[[tables]] 1, [[tables.columns]] 2"
WRONG = [
    ('title = "A meter"', "", "title", "nothing", "one line of text", "Add"),
    ('title = "A meter"', "titel = 'x'\ntitle = 'A'", "titel", "an unknown key", "about", "Did you mean title?"),
    ('title = "A meter"', "name = 'x'\ntitle = 'A'", "name", "the key name", "none", "as its file"),
    ('title = "A meter"', 'title = "A\\nB"', "title", "the text 'A\nB'", "one line", "one line"),
    ("first_steps = 2", "first_steps = 2.5", "first_steps", "2.5", "a whole number", "whole number"),
    ("first_steps = 2", "first_steps = 9", "first_steps", "9", "at most 5", "blank"),
    ("first_steps = 2", "typed_share = 50", "typed_share", "50", "1 or less", "Correct"),
    ('about = ["What', 'about = "What', "line 3", "", "TOML", ""),
    (
        'about = ["What a month of a furnace costs in energy."]',
        'about = "x"',
        "about",
        "the text 'x'",
        "list",
        "square",
    ),
    (
        'name = "connected_kw"',
        'name = "Connected kW"',
        "[[given]] 1, name",
        "the text",
        "small letters",
        "connected_kw",
    ),
    ("from = 6\n", "", "[[given]] 1", "only to and step", "from, to and step, or value", "Add from."),
    ("from = 6\n", 'from = "6"\n', "[[given]] 1, from", "the text '6'", "a number", "without quotes"),
    ("from = 6\n", "from = inf\n", "[[given]] 1, from", "the text 'inf'", "a number", "plain number"),
    ("from = 6\n", "value = 3\nfrom = 6\n", "[[given]] 1", "value and from and to", "value, or from", "Remove"),
    ("from = 6\nto = 14", "from = 14\nto = 6", "[[given]] 1, to", "14 to 6", "above from", "between"),
    ("to = 14", "to = 14.2", "[[given]] 1, step", "6 to 14.2 in steps of 0.5", "end at to", "14"),
    ("step = 0.5", "step = 0.00001", "[[given]] 1, step", "800,000 numbers", "100,000", "larger"),
    ("step = 0.5", "step = -0.5", "[[given]] 1, step", "-0.5", "above 0", "Correct"),
    ("value = 12", "", "[[given]] 3", "no number", "or value", "Add from, to"[:8]),
    ("kg = { from = 0.21, to", "kg = { from = 0.51, to", "[[given]] 2, kg.to", "0.51 to 0.39", "above from", "between"),
    ("kg = { from = 0.21,", "kg = {", "[[given]] 2, kg.from", "nothing", "a number", "Add"),
    (
        "kg = { from = 0.21,",
        "kg = { form = 1, from = 0.21,",
        "[[given]] 2, kg.form",
        "an unknown key",
        "from",
        "mean from?",
    ),
    ('name = "price"', 'name = "connected_kw"', "[[given]] 2, name", "connected_kw", "its own", "[[given]] 1"),
    ('name = "price"', 'name = "price_said"', "[[given]] 2, name", "price_said", "_said", "cell"),
    ('name = "months"', 'name = "done"', "[[given]] 3, name", "done", "steps_asked", "cell"),
    ('name = "months"', 'name = "log_reading"', f"{SECOND}, name", "log_reading", "its own", "3"),
    ("rows = 4", "rows = 5", f"{COLUMN}, words", "4 words", "5, one for each", "rows"),
    ('"Idle"]\n[[', '"<5"]\n[[', f"{COLUMN}, words 4", "'<5'", "begins with a letter", ""),
    ('only = ["Start"', 'only = ["Star"', f"{SECOND}, only 1", "'Star'", "Start", "mean Start?"),
    ('"Cold", "Idle"]', '"Cold", "Idle"]\nfrom = 1', COLUMN, "words and from", "words", ""),
    ("from = 1000, to = 3000", "from = 1000, to = 30", f"{SECOND}, rising_from.to", "1000 to", "", ""),
    ('name = "reading"', 'name = "kind"', f"{SECOND}, name", "kind once more", "its own", ""),
    ("nearest = 1\n", "nearest = 3\n", "[[steps]] 1, nearest", "3", "0.01", "Choose"),
    ("nearest = 1\n", "", "[[steps]] 1, nearest", "nothing", 'by = "formula" needs it', "Add"),
    (USED, '"hours_on * conected_kw"', FORMULA, "the name conected_kw", "a given", "mean connected_kw?"),
    (USED, '"hours_on * reading"', FORMULA, "the name reading", "table_column", "log_reading?"),
    (USED, '"energy_used * 2"', FORMULA, "its own name", "earlier steps", "itself"),
    (USED, '"cost_year * 2"', FORMULA, "cost_year, which is a later step ([[steps]] 4)", "earlier", "before"),
    (
        '"energy_used * price',
        '"cost_guess * price',
        "[[steps]] 4, formula",
        "cost_guess, which is a guess",
        "a step with a formula",
        "",
    ),
    (USED, '"hours_on * 24"', FORMULA, "the number 24", "a name, or one of 0", "given"),
    (USED, '"log_reading * 2"', FORMULA, "the column log_reading", "one number", "INDEX"),
    (USED, '"SUM(log_kind)"', FORMULA, "the words of log_kind", "numbers", "COUNTIF"),
    (USED, "'COUNTIF(log_kind,\"Idel\")'", FORMULA, '"Idel"', "Idle", "mean Idle?"),
    (USED, "'COUNTIF(log_reading,\"Idle\")'", FORMULA, "log_reading", "column of words", ""),
    (USED, '"INDEX(price,1)"', FORMULA, "price", "a column of numbers", ""),
    (USED, '"INDEX(log_reading,60)"', FORMULA, "row 60 of log_reading", "at most 4", ""),
    (USED, '"INDEX(log_reading,months)"', FORMULA, "row months", "from 1 to 4", ""),
    (USED, '"INDEX(log_reading,hours_on)"', FORMULA, "row hours_on", "or a given", ""),
    (USED, '"hours_on ^ 2"', FORMULA, "^", "+ - * /", "names"),
    (USED, '""', FORMULA, "nothing", 'by = "formula" needs it', "Add"),
    (
        '"MAX(log_reading)"',
        '"cost_year"',
        "[[steps]] 1, [[steps.slips]] 1, formula",
        "cost_year, which is a later",
        "",
        "",
    ),
    (
        'says = "That is the reading, not what was used."',
        "",
        "[[steps]] 1, [[steps.slips]] 1, says",
        "nothing",
        "",
        "Add",
    ),
    ('["Kilowatts for hours."]', '["12 kilowatts."]', "[[steps]] 2, hints 1", "the digit 1", "words alone", "idea"),
    ('["Kilowatts for hours."]', '["a", "b", "c"]', "[[steps]] 2, hints", "a list", "at most 2", "Leave"),
    ('["Kilowatts for hours."]', '"Kilowatts."', "[[steps]] 2, hints", "the text", "list of texts", "square"),
    ("points = 2", 'points = "2"', "[[steps]] 2, points", "the text '2'", "a number", "without quotes"),
    ("points = 2", "points = -1", "[[steps]] 2, points", "-1", "0 or more", ""),
    ('by = "guess"', 'by = "gues"', "[[steps]] 3, by", "the text 'gues'", "'guess'", "Did you mean guess?"),
    ('by = "guess"', 'by = "guess"\nformula = "price"', "[[steps]] 3, formula", "formula", "has no formula", "Remove"),
    ('by = "guess"', 'by = "guess"\npoints = 2', "[[steps]] 3, points", "points", "has no points", "Remove"),
    ("low = 500", "low = 500\nhigh = 400", "[[steps]] 4, high", "low 500, high 400", "above low", ""),
    ('right = "less"', "", "[[steps]] 5, right", "nothing", 'by = "choice" needs it', "Add"),
    ('right = "less"', 'right = "lesss"', "[[steps]] 5, right", "'lesss'", "less, more", "Did you mean less?"),
    ('["less", "more"]', '["less"]', "[[steps]] 5, choices", "1 word", "two or more", ""),
    ('["less", "more"]', '["less", "Less"]', "[[steps]] 5, choices 2", "'Less' once more", "another", ""),
    ('["less", "more"]', '["less", "more*"]', "[[steps]] 5, choices 2", "'more*'", "without *", ""),
]


@pytest.mark.parametrize(("old", "new", "place", "found", "expected", "do"), WRONG)
def test_what_is_wrong_is_told_with_its_place(
    old: str, new: str, place: str, found: str, expected: str, do: str
) -> None:
    told = problems(changed(old, new))
    assert told, "nothing is said"
    fits = [
        one
        for one in told
        if one.sheet == "mine.toml"
        and (one.column == place or (place.startswith("line") and one.column.startswith(place)))
        and one.found.startswith(found)
        and expected in one.expected
        and do in one.do
    ]
    assert fits, "\n".join(map(str, told))
    assert all(one.found and one.expected and one.do for one in told)


def test_everything_wrong_is_told_at_once() -> None:
    text = (
        changed("from = 6\n", "from = 'x'\n").replace("points = 2", "points = 'x'").replace('by = "guess"', 'by = "x"')
    )
    assert [one.column for one in problems(text)] == ["[[given]] 1, from", "[[steps]] 2, points", "[[steps]] 3, by"]
    with pytest.raises(StudioError, match=r"mine\.toml has 3 things to correct"):
        parse_exercise(text, name="mine", place="mine.toml")


def test_a_class_of_guesses_has_nothing_to_mark() -> None:
    text = 'title = "x"\n[[steps]]\nname = "x"\nlabel = "x"\nby = "guess"\nnearest = 1\n'
    (problem,) = problems(text)
    assert problem.found == "guesses alone"
    assert [one.column for one in problems('title = "x"')] == ["steps"]
    assert [one.column for one in problems('title = "x"\nsteps = []')] == ["steps"]
    assert [one.column for one in problems('title = "x"\nsteps = "y"')] == ["steps"]
    assert [one.column for one in problems('title = "x"\nsteps = [1]')] == ["[[steps]] 1"]
