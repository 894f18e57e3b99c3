"""Nothing changes without --apply; with it, the letter becomes a row, and the tags only if that is asked for."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from meltbook.method import compute
from meltbook.studio.model import Studio
from meltbook.workbook.edited import EditedBook, read_book
from tests.tariff.books import ROOM, START, demo_studio, everything_in, letter_typed, tariff, typed_into
from tests.tariff.letters import LETTERS
from tests.unit.cli.run import run

WORDS = ("--from", START, "--price", "0.35")


def the_only_new(folder: Path, before: dict[str, tuple[bytes, int]]) -> Path:
    """The one file that is there now and wasn't; all others are as they were."""
    after = everything_in(folder)
    assert {name: after.get(name) for name in before} == before
    (new,) = after.keys() - before.keys()
    return folder / new


def other_than(one: Studio, other: Studio) -> set[str]:
    """The parts in which two studios differ."""
    return {part for part in type(one).model_fields if getattr(one, part) != getattr(other, part)}


# -------------------------------------------------------------------------------------------- without --apply


@pytest.mark.parametrize("title", list(LETTERS)[::4])
def test_looking_changes_nothing(title: str, book: Path) -> None:
    before = everything_in(book.parent)
    result = run("tariff", book, *LETTERS[title].words)
    assert result.exit_code == 0
    assert result.stdout.endswith("Nothing was changed. To take it over, add --apply.\n")
    tariff(book, *LETTERS[title].words)
    assert everything_in(book.parent) == before


# ----------------------------------------------------------------------------------------------- with --apply


@pytest.mark.parametrize("title", ["cents with tax in them", "times of use", "service by the day", "everything"])
def test_the_row_is_what_was_shown_and_nothing_else_is_typed(title: str, book: Path) -> None:
    words = LETTERS[title].words
    shown, before, old = tariff(book, *words), everything_in(book.parent), read_book(book)
    document = tariff(book, *words, "--apply")
    target = the_only_new(book.parent, before)
    assert target.name == "glass.with-new-tariff.xlsx"
    assert document["applied"]["file"] == str(target)
    new = read_book(target)
    assert new.usable
    assert other_than(old.studio, new.studio) == {"tariffs"}
    line = shown["tariff_line"]
    assert new.studio.tariffs[: line - 1] == old.studio.tariffs[: line - 1]
    row = new.studio.tariffs[line - 1].model_dump(mode="json", exclude_none=True)
    assert row == pytest.approx(shown["tariff_row"])
    assert all(row.start is None and row.price is None for row in new.studio.tariffs[line:])


def test_it_costs_afterwards_what_was_shown_before(book: Path) -> None:
    shown = tariff(book, *WORDS)
    tariff(book, *WORDS, "--apply")
    studio = read_book(book.with_name("glass.with-new-tariff.xlsx")).studio
    day = studio.shop.model_copy(update={"pricing_date": dt.date.fromisoformat(START)})
    after = compute(studio.model_copy(update={"shop": day}), ROOM).scalars
    assert after["price_now"] == pytest.approx(shown["figures"]["price_after"])
    assert after["standing_now"] == pytest.approx(shown["figures"]["standing_day_after"])


def test_the_text_says_what_to_do_next(book: Path) -> None:
    said = run("tariff", book, *WORDS, "--apply", "--retag").stdout
    tags = sum(piece["tag_verdict"] in ("Retag", "Already short") for piece in tariff(book, *WORDS)["pieces"])
    assert f"line 4 of Tariffs, and {tags} tags on Pieces." in said
    assert f"From {START} on, set the pricing date on Shop to that day or a later one." in said
    assert "Costs in it are still those of" in said
    assert "; the new tags are on Pieces already." in said
    said = run("tariff", book, *WORDS, "--apply", "--out", book.with_name("without.xlsx")).stdout
    assert "Costs and tags in it are still those of" in said
    assert "tags are on Pieces" not in said


def test_the_file_to_write_may_be_named(book: Path) -> None:
    before = everything_in(book.parent)
    tariff(book, *WORDS, "--apply", "--out", book.with_name("next year.xlsx"))
    assert the_only_new(book.parent, before).name == "next year.xlsx"


def test_the_letter_on_the_sheet_is_taken_over_and_stays_there(book: Path) -> None:
    letter = LETTERS["everything"].letter
    typed = letter_typed(book, book.with_name("typed.xlsx"), letter)
    document = tariff(typed, "--apply")
    new = read_book(Path(document["applied"]["file"]))
    assert new.studio.letter.model_copy(update={"retag_tolerance": letter.retag_tolerance}) == letter
    assert new.studio.tariffs[document["tariff_line"] - 1].letter == "No.7"
    said = tariff(Path(document["applied"]["file"]), code=2)  # it is no news any more
    assert "has this date or a later one" in said["error"]["message"]


def test_what_was_left_in_the_line_is_cleared(book: Path) -> None:
    left = typed_into(book, book.with_name("left.xlsx"), {("tariff_demand_kw", 4): 99.0, ("tariff_letter", 4): "old"})
    document = tariff(left, *WORDS, "--apply")
    row = read_book(Path(document["applied"]["file"])).studio.tariffs[3]
    assert (row.demand_kw, row.letter) == (None, None)


def test_a_blank_line_between_is_left_alone(book: Path) -> None:
    blank = {
        ("tariff_start", 3): None,
        ("tariff_price", 3): None,
        ("tariff_start", 4): 46300.0,
        ("tariff_price", 4): 0.3,
    }
    gap = typed_into(book, book.with_name("gap.xlsx"), blank)
    assert tariff(gap, *WORDS)["tariff_line"] == 5


# --------------------------------------------------------------------------------------------------- in place


def test_in_place_keeps_the_old_file_with_the_date(book: Path) -> None:
    old = book.read_bytes()
    document = tariff(book, *WORDS, "--apply", "--in-place")
    backup = book.with_name(f"glass.backup-{dt.date.today().isoformat()}.xlsx")
    assert document["applied"]["backup"] == str(backup)
    assert {path.name for path in book.parent.iterdir()} == {book.name, backup.name}
    assert backup.read_bytes() == old
    assert read_book(book).studio.tariffs[3].start == dt.date.fromisoformat(START)


def test_a_second_letter_keeps_a_second_backup(book: Path) -> None:
    old = book.read_bytes()
    first = tariff(book, *WORDS, "--apply", "--in-place")["applied"]["backup"]
    between = book.read_bytes()
    second = tariff(book, "--from", "2027-07-01", "--change", "2%", "--apply", "--in-place")["applied"]["backup"]
    assert Path(first).read_bytes() == old
    assert Path(second).read_bytes() == between
    assert first != second


# ------------------------------------------------------------------------------------------------------- tags


def changed_tags(old: EditedBook, new: EditedBook) -> dict[int, tuple[float | None, float | None]]:
    pairs = zip(old.studio.pieces, new.studio.pieces, strict=True)
    return {row: (a.tag, b.tag) for row, (a, b) in enumerate(pairs, start=1) if a != b}


@pytest.mark.parametrize("title", ["a price", "a percentage less", "everything"])
def test_retag_writes_the_tags_of_those_that_must_change_and_no_other(title: str, book: Path) -> None:
    words, old = LETTERS[title].words, read_book(book)
    pieces = tariff(book, *words)["pieces"]
    document = tariff(book, *words, "--apply", "--retag")
    new = read_book(Path(document["applied"]["file"]))
    asked = [piece for piece in pieces if piece["tag_verdict"] in ("Retag", "Already short")]
    assert changed_tags(old, new) == {
        piece["row"]: (old.studio.pieces[piece["row"] - 1].tag, piece["tag_after"]) for piece in asked
    }
    assert document["applied"]["tags"] == len(asked)
    assert all(piece["tag_after"] > piece["after_tag_now"] for piece in asked)
    assert other_than(old.studio, new.studio) <= {"tariffs", "pieces"}
    untagged = [
        (a, b.model_copy(update={"tag": a.tag})) for a, b in zip(old.studio.pieces, new.studio.pieces, strict=True)
    ]
    assert all(a == b for a, b in untagged)


def test_all_three_verdicts_are_among_them(book: Path) -> None:
    verdicts = {piece["tag_verdict"] for piece in tariff(book, *LETTERS["a price"].words)["pieces"]}
    assert verdicts == {"Retag", "Already short", "Keep"}


def test_a_piece_that_went_by_its_suggested_tag_gets_the_new_one_typed(book: Path) -> None:
    fish = tariff(book, *WORDS, "--apply", "--retag")["pieces"][8]
    assert (read_book(book).studio.pieces[8].tag, fish["after_tag_now"], fish["tag_verdict"]) == (None, 34.9, "Retag")
    assert read_book(book.with_name("glass.with-new-tariff.xlsx")).studio.pieces[8].tag == fish["tag_after"]


def test_a_tag_that_is_a_formula_is_not_typed_over(book: Path) -> None:
    short = next(piece for piece in tariff(book, *WORDS)["pieces"] if piece["tag_verdict"] == "Retag")
    mine = typed_into(book, book.with_name("mine.xlsx"), {("piece_tag", short["row"]): "=1+1"})
    before = everything_in(book.parent)
    said = run("tariff", mine, *WORDS, "--apply", "--retag")
    assert said.exit_code != 0
    assert everything_in(book.parent) == before


def test_the_tolerance_of_the_workbook_holds(book: Path) -> None:
    strict = typed_into(book, book.with_name("strict.xlsx"), {("retag_tolerance", None): 0.2})
    assert {piece["tag_verdict"] for piece in tariff(strict, *WORDS)["pieces"]} == {"Keep"}
    assert demo_studio("harbour-kg").letter.retag_tolerance != 0.2
