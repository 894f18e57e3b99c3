"""The chapters of the furnace's decisions and of looking back: what they declare, and what may read them."""

from __future__ import annotations

import re
from types import ModuleType

import pytest

from meltbook.fields import build, decisions, looking_back, pot_life
from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Input, Item, Shape
from meltbook.fields.sheet_names import FIRST
from meltbook.sheets import book_sheets
from meltbook.sheets.kernel import Fields, Rows, Words
from meltbook.studio.capacity import Capacity
from meltbook.studio.expect import expectations
from meltbook.workbook.formula_rules import formula_faults

CONTEXT = BookContext("kg", "EUR", 2, Capacity(ledger=7, campaigns=9))
BOOK = build(weight_unit="kg", currency="EUR", money_digits=2, capacity=Capacity(ledger=7, campaigns=9))

FIXED = """default_saving default_shape shape_least shape_most shape_close failures_least failures_rough fit_good
    gamma_shift stirling_one stirling_three stirling_five stirling_seven half_log_circle ages_shown age_reach
    power_most simpson_middle simpson_all saving_least uses_ahead"""
FIGURES = """pot_row pot_name pot_cost planned_cost failure_cost decide_wear_charge decide_wear_day
    decide_wear_start idle_day_use heatup_use_one heatup_days_one idle_day_cost heatup_cost_one
    cold_trip_days crack_cost cold_cost_once gap_crossing gap_first_cold gap_last_idle asked_idle asked_cold
    asked_saves gap_last_words gap_answer gap_uncounted gap_sentence gap_number_words gap_words asked_words
    asked_sentence gap_missing
    gap_lacks gap_lacks_more
    charge_use_one hot_days_one charge_days_one log_charge_weight charge_weight_used charge_cost_one saving_used
    campaign_enough campaign_average saving_hundredths saving_words campaign_words campaign_charges
    campaign_limit campaign_sentence campaign_missing campaign_lacks fill_sentence fill_missing fill_lacks
    fill_lacks_more fill_worthless
    lives_counted lives_failed life_longest life_log_mean shape_fitted fit_far fit_code shape_used gamma_far
    gamma_small gamma_square gamma_tail gamma_mean pot_life_expected scale_sum scale_used mean_life fit_fitted
    fit_few fit_none fit_apart shape_words fit_sentence
    age_whole age_parts age_step run_cost best_cost best_row best_age best_saving replace_pays age_advised pot_uses_now
    hazard_now hazard_later fails_soon best_percent best_whole best_words age_words replace_sentence
    replace_not soon_uses
    soon_percent soon_words soon_sentence replace_missing pot_lacks replace_lacks"""
TABLES = {
    decisions: {
        "idle_cold": (30, "gap_no gap_idle gap_cold gap_saves gap_choice"),
        "campaign_sizes": (60, "size_charges size_cost size_saves size_worth"),
        "charge_sizes": (10, "fill_share fill_weight fill_cost fill_dearer"),
        "shape_steps": (
            9,
            "shape_step shape_try shape_sum shape_sum_log shape_sum_square shape_score shape_slope",
        ),
        "gamma_steps": (16, "gamma_step gamma_log"),
        "pot_ages": (
            120,
            "age_no age_uses age_survives age_middle age_lived age_cost age_choice age_run age_drawn age_best",
        ),
    },
    looking_back: {
        "recent_campaigns": (
            8,
            """recent_no recent_campaign recent_row recent_label recent_melt recent_waiting recent_standing
            recent_wear recent_glass recent_own recent_total""",
        ),
        "life_bars": (10, "life_place life_at life_from life_label life_broke life_planned life_serving"),
    },
}
LIVES = "life_counts life_failed life_no life_uses life_ratio life_log life_now"
LOOKING_BACK = "recent_last recent_dearest recent_name recent_words recent_sentence lives_sentence"


def test_what_is_typed_has_a_cell_for_every_key() -> None:
    typed = {item.name: item for item in decisions.scalars(CONTEXT) if isinstance(item, Input)}
    assert list(typed) == list(expectations("decisions"))
    for name, expected in expectations("decisions").items():
        item = typed[name]
        assert (item.shape is Shape.TEXT) == (expected.sort == "text"), name
        if expected.is_share:
            assert (item.shape, item.typed.minimum, item.typed.maximum) == (Shape.SHARE, 0, 1), name
        elif name != "shape_typed" and item.shape is not Shape.TEXT:
            assert item.typed.minimum == 0, name


def test_single_figures() -> None:
    by_kind = {
        kind: {item.name for item in decisions.scalars(CONTEXT) if isinstance(item, kind)} for kind in (Fixed, Figure)
    }
    assert by_kind == {Fixed: set(FIXED.split()), Figure: set(FIGURES.split())}
    assert {item.name for item in looking_back.scalars(CONTEXT)} == set(LOOKING_BACK.split())


@pytest.mark.parametrize("chapter", TABLES, ids=lambda chapter: chapter.__name__.rpartition(".")[2])
def test_tables(chapter: ModuleType) -> None:
    declared = {table.name: (table.rows, {item.name for item in table.columns}) for table in chapter.tables(CONTEXT)}
    assert declared == {name: (rows, set(columns.split())) for name, (rows, columns) in TABLES[chapter].items()}


def test_the_ledger_says_which_parts_are_lives() -> None:
    ledger = {item.name for item in BOOK.tables["ledger"].columns}
    assert {item.name for item in pot_life.ledger_columns()} == set(LIVES.split()) < ledger


def _of(chapter: ModuleType) -> tuple[Item, ...]:
    columns = (item for table in chapter.tables(CONTEXT) for item in table.columns)
    return (*chapter.scalars(CONTEXT), *columns)


OURS = (*_of(decisions), *pot_life.ledger_columns(), *_of(looking_back))


def test_the_formulas_keep_the_rules() -> None:
    ours = {item.name for item in OURS}
    assert [fault for fault in formula_faults(BOOK) if re.split("[,:]", fault)[0] in ours] == []


@pytest.mark.parametrize("item", OURS, ids=lambda item: item.name)
def test_a_field_says_what_it_is(item: Item) -> None:
    item = FIRST.item(item)
    assert 2 < len(item.label) <= 38
    assert not item.note or re.fullmatch(r"[A-Z0-9].*[.]", item.note)
    assert item.note or item.shape is Shape.TEXT or isinstance(item, Fixed)
    assert "{" not in item.label + item.note
    if item.shape is Shape.RATE:
        assert "{currency}" in item.unit


def _readers(ours: set[str]) -> set[str]:
    return {
        item.name
        for item in (*BOOK.scalars.values(), *(item for _, item in BOOK.columns.values()))
        if isinstance(item, Figure) and item.name not in ours
        for text in (item.formula, *item.formulas, *item.needs)
        if set(re.findall(r"[a-z]+(?:_[a-z]+)+", text)) & ours
    }


def test_no_price_depends_on_a_decision() -> None:
    """Only Checks looks at what is typed here: a decision that was not taken moves nothing else in the book."""
    assert _readers({item.name for item in OURS}) == {"check_found", "check_first", "number_texts"}


def test_nothing_reads_the_pictures_of_the_past() -> None:
    assert _readers({item.name for item in _of(looking_back)}) == set()


@pytest.mark.parametrize("key", ["idle_or_cold", "campaign_length", "change_the_pot"])
def test_each_sheet_of_a_decision_says_that_it_is_an_estimate(key: str) -> None:
    [sheet] = [one for one in book_sheets() if one.key == key]
    assert any("estimate" in block.caution for block in sheet.blocks if isinstance(block, Fields))


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("idle_or_cold", "no reason to leave hot equipment unwatched"),
        ("change_the_pot", "Stop using a cracked or leaking pot at once"),
        ("campaign_length", "dust"),
    ],
)
def test_a_sheet_carries_its_cautions(key: str, words: str) -> None:
    [sheet] = [one for one in book_sheets() if one.key == key]
    cautions = " ".join(block.caution for block in sheet.blocks if isinstance(block, Fields | Rows | Words))
    assert words in cautions


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("idle_or_cold", "no reason to leave hot equipment unwatched"),
        ("campaign_length", "Stop using a cracked or leaking pot at once"),
        ("change_the_pot", "Stop using a cracked or leaking pot at once"),
        ("bill_check", "a licensed electrician's work"),
    ],
)
def test_an_answer_has_its_caution_beside_it(key: str, words: str) -> None:
    [sheet] = [one for one in book_sheets() if one.key == key]
    answer = sheet.blocks[0]
    assert isinstance(answer, Words) and answer.heading == "The answer"
    assert words in answer.caution


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("best_age", "leaking pot at once"),
        ("age_advised", "leaking pot at once"),
        ("fails_soon", "No figure says that a pot is safe"),
    ],
)
def test_a_number_that_could_tempt_carries_its_caution(name: str, words: str) -> None:
    assert words in BOOK.scalars[name].note
