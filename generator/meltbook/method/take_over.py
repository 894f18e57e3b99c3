"""Acting on a letter: the studio with its tariff taken over, and with the new tags on its pieces.

Both are plain functions from a studio to a studio. They do what the owner would do by hand: type the letter
into the line of Tariffs that the sheet names, and the new tags into the Pieces sheet.
"""

from __future__ import annotations

from meltbook.errors import UsageError
from meltbook.method.constants import LETTER_WORDS
from meltbook.method.letter import JUMPS, TO_TAKE_OVER, LetterRates, read_letter
from meltbook.method.results import Results
from meltbook.method.tariff import read_tariff
from meltbook.method.tariff_change import NEW_TAG
from meltbook.studio.billing import billed, rebilled
from meltbook.studio.capacity import Capacity
from meltbook.studio.furnaces import Source
from meltbook.studio.letter import Letter
from meltbook.studio.model import Studio
from meltbook.studio.pieces import Piece
from meltbook.studio.tariff import TariffRow


def taken_over(
    studio: Studio,
    capacity: Capacity | None = None,
    *,
    though_it_jumps: bool = False,
    source: Source = "First",
) -> Studio:
    """The studio with a source's letter as a row of its tariff, and no letter for it on the table any more.

    The row goes into the first line below all that are used. ``though_it_jumps`` takes over a letter of more
    than three times the price in force, which otherwise counts as cents typed as money.

    Raises:
        UsageError: the letter can't be taken over; the message is what the sheet says about it.
    """
    billing, room = billed(studio, source), (capacity or Capacity()).of_source(source)
    letter = read_letter(billing.letter, read_tariff(billing.tariffs, room.tariffs, billing.price_limit))
    obstacle = _obstacle(letter, though_it_jumps)
    if letter.row is None or obstacle != TO_TAKE_OVER:
        raise UsageError(LETTER_WORDS[obstacle - 1], hint="Nothing was taken over.")
    missing = letter.letter_line - len(billing.tariffs)
    rows = [*billing.tariffs, *(TariffRow() for _ in range(missing))]
    rows[letter.letter_line - 1] = letter.row
    cleared = Letter(retag_tolerance=billing.letter.retag_tolerance)  # a habit of the owner's, not of the letter
    return rebilled(studio, source, tariffs=tuple(rows), letter=cleared)


def _obstacle(letter: LetterRates, though_it_jumps: bool) -> int:
    """The first thing that speaks against taking the letter over; the last case is that nothing does."""
    codes = (code for code, applies in enumerate(letter.cases, start=1) if applies)
    return next(code for code in codes if not (though_it_jumps and code == JUMPS))


def retagged(studio: Studio, results: Results) -> Studio:
    """The studio with the suggested tag on every piece whose verdict asks for one.

    ``results`` are those of the studio with the letter still on the table: take the tags first, or keep the
    results, when the letter is taken over as well.
    """
    pieces = [_tagged(piece, results, row) for row, piece in enumerate(studio.pieces, start=1)]
    return studio.model_copy(update={"pieces": tuple(pieces)})


def _tagged(piece: Piece, results: Results, row: int) -> Piece:
    tag = results.value("tag_after", row)
    if results.value("tag_verdict", row) in NEW_TAG and isinstance(tag, float):
        return piece.model_copy(update={"tag": tag})
    return piece
