"""Amounts and dates inside a sentence.

A program may join 8.12 to a text as 8.1199999999999999999: it stores the nearest binary fraction, and prints
more of it than anybody wants. Whole numbers are printed alike everywhere, so an amount is put together from
two of them: what stands before the point, and the two digits behind it.
"""

from __future__ import annotations

from meltbook.fields.kernel import Figure, Shape


def whole_words(amount: str) -> str:
    """The formula for an amount of 0 or more, to the nearest whole number, a half upwards."""
    return f"INT(ROUND({amount},6)+0.5)"


def amount_words(name: str) -> str:
    """The formula for a field's amount as text with two digits behind the point: 8.12, 3.00 or -0.50."""
    hundredths = whole_words(f"ABS({name})*100")
    return f'IF(ROUND({name},6)<0,"-","")&INT({hundredths}/100)&"."&RIGHT("0"&{hundredths},2)'


def in_words(name: str, label: str, amount: str) -> Figure:
    """A figure that has an amount as a text, for a sentence."""
    note = "The amount as a text with two digits, for a sentence."
    return Figure(name, label, Shape.TEXT, note=note, formula=amount_words(amount), needs=(amount,))


def date_words(name: str) -> str:
    """The formula for a date as text: 2026-03-02. The field must hold a date."""
    return f'YEAR({name})&"-"&RIGHT("0"&MONTH({name}),2)&"-"&RIGHT("0"&DAY({name}),2)'


def short_words(name: str) -> str:
    """The formula for an amount of 0 or more as people write it: 14 where it is whole, else 2.50."""
    hundredths = whole_words(f"{name}*100")
    return f'IF(ROUND({name},6)=INT(ROUND({name},6)),ROUND({name},6)&"",{amount_of(hundredths)})'


def amount_of(hundredths: str) -> str:
    """The formula for so many hundredths, a whole number of 0 or more, as text with a point."""
    return f'INT({hundredths}/100)&"."&RIGHT("0"&{hundredths},2)'
