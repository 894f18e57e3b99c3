"""The functions and patterns that the workbook may use, each proven to give the same in every engine.

A studio opens its workbook in whatever program it has. A formula belongs in the workbook only if it is built
from what stands here: the log below has rows that are used, rows whose guarded formulas show nothing, and
rows that nobody has typed into, and every probe has the value that was worked out by hand. `TRAPS` holds the
patterns that look harmless and are not; they are measured too, so that the list is known to be true.
"""

from __future__ import annotations

import datetime as dt
import math
from pathlib import Path

import pytest
import xlsxwriter
from openpyxl.formula import Tokenizer

from tests.engines.compare import assert_agrees, same
from tests.engines.poison import poison
from tests.engines.runners import Engine, recalculate_one
from tests.engines.values import Value, Values

# --------------------------------------------------------------------------------------------------- the log
#
# Twelve prepared rows, of which eight are used. log_shown and log_text are formulas that show "" while their
# row is blank; log_flag is a formula that gives 1 or 0 in every row.

ROWS: list[tuple[str, str, float | None, float | None]] = [
    # date, pot, kilograms, hours
    ("2024-01-05", "clear", 10, 1),
    ("2024-01-20", "blue", 4, 2),
    ("2024-02-01", "clear", 6, None),
    ("2024-02-01", "green", 2.5, 3),
    ("2024-02-29", "clear", 8, 0),
    ("2024-03-31", "blue", None, 4),
    ("2024-04-01", "clear", 12, 5),
    ("2024-12-31", "green", 1, 6),
]
PREPARED = 12
LAST = 1 + PREPARED


def day(text: str) -> int:
    """The serial number of a date."""
    return (dt.date.fromisoformat(text) - dt.date(1899, 12, 30)).days


# name: (column letter in Log, what the cell of a row holds)
COLUMNS = {
    "log_date": "A",
    "log_pot": "B",
    "log_weight": "C",
    "log_hours": "D",
    "log_shown": "E",
    "log_text": "F",
    "log_flag": "G",
}
# The typed cells of sheet Inputs, and a small table of tariffs in D2:E4 whose last row is blank.
SINGLES: dict[str, Value] = {
    "day_from": day("2024-02-01"),
    "day_until": day("2024-03-31"),
    "pot_name": "clear",
    "pot_unknown": "amber",
    "cell_blank": None,
    "cell_text": "kiln",
    "cell_zero": 0,
    "cell_price": 1.2345,
    "cell_negative": -2.5,
    "cell_late": day("2024-12-31"),
}
TARIFF = [(day("2024-01-01"), 0.10), (day("2024-03-01"), 0.20)]

# ------------------------------------------------------------------------------------------------ the probes

PROBES: dict[str, tuple[str, Value]] = {
    # --- sums and counts over names, with blank rows and with rows that show ""
    "sum": ("SUM(log_weight)", 43.5),
    "sum_growing": ("SUM(Log!$C$2:C5)", 22.5),
    "sum_of_shown_cell": ("SUM(Log!E13,1)", 1),
    "sum_over_text": ("SUM(log_text)", 0),
    "max_over_text": ("MAX(log_text)", 0),
    "max_of_shown_nothing": ("MAX(Log!E10:E13)", 0),
    "max_of_shown_cell": ("MAX(Log!E13,cell_negative)", -2.5),
    "min_of_dates": ("MIN(log_date)", day("2024-01-05")),
    "sum_over_shown": ("SUM(log_shown)", 87),
    "sum_of_cells": ("SUM(cell_price,cell_zero,cell_blank)", 1.2345),
    "max_over_shown": ("MAX(log_shown)", 24),
    "min_over_shown": ("MIN(log_shown)", 0),
    "max_of_cells": ("MAX(cell_price,cell_zero)", 1.2345),
    "min_of_cells": ("MIN(cell_price,cell_negative)", -2.5),
    "max_zero_floor": ("MAX(0,cell_negative)", 0),
    "large": ("LARGE(log_weight,2)", 10),
    "large_over_shown": ("LARGE(log_shown,2)", 20),
    "small": ("SMALL(log_weight,2)", 2.5),
    "small_over_shown": ("SMALL(log_shown,2)", 2),
    "count": ("COUNT(log_weight)", 7),
    "count_over_shown": ("COUNT(log_shown)", 8),
    "count_of_cells": ("COUNT(cell_price,cell_blank)", 1),
    "count_of_text_cell": ("COUNT(cell_price,cell_text)", 1),
    "count_of_shown_cells": ("COUNT(Log!E2,Log!E13)", 1),
    "counta": ("COUNTA(log_pot)", 8),
    "counta_sees_shown_nothing": ("COUNTA(log_shown)", 12),
    "counta_sees_text_nothing": ("COUNTA(log_text)", 12),
    "countblank": ("COUNTBLANK(log_weight)", 5),
    "countblank_text": ("COUNTBLANK(log_pot)", 4),
    "countblank_over_shown": ("COUNTBLANK(log_shown)", 4),
    "countif_zero_is_not_blank": ("COUNTIF(log_hours,cell_zero)", 1),
    "countif_date": ("COUNTIF(log_date,day_from)", 2),
    "countifs_growing": ("COUNTIFS(Log!$B$2:B6,Log!B6)", 3),
    "countif_none_before": ('COUNTIF(tariff_from,"<="&cell_zero)', 0),
    "sumif_any_case": ('SUMIF(log_pot,"CLEAR",log_weight)', 36),
    "sumif_whole_text_only": ('SUMIF(log_pot,"cle",log_weight)', 0),
    "countif_cell": ("COUNTIF(log_pot,pot_name)", 4),
    "countif_number": ("COUNTIF(log_flag,1)", 4),
    "countif_at_most": ('COUNTIF(log_date,"<="&day_until)', 6),
    "countif_text_over_shown": ("COUNTIF(log_text,cell_text)", 4),
    "countifs": ('COUNTIFS(log_pot,pot_name,log_date,">="&day_from)', 3),
    "countifs_flag": ("COUNTIFS(log_pot,pot_name,log_flag,1)", 3),
    "sumif": ("SUMIF(log_pot,pot_name,log_weight)", 36),
    "sumif_over_shown": ("SUMIF(log_pot,pot_name,log_shown)", 72),
    "sumif_unknown": ("SUMIF(log_pot,pot_unknown,log_weight)", 0),
    "sumif_less": ('SUMIF(log_date,"<"&day_from,log_weight)', 14),
    "sumifs_two": ("SUMIFS(log_weight,log_pot,pot_name,log_flag,1)", 30),
    "sumifs_five": (
        'SUMIFS(log_weight,log_pot,pot_name,log_flag,1,log_date,">="&day_from,log_date,"<="&day_until,'
        'log_hours,"<="&cell_zero)',
        8,
    ),
    "sumifs_shown_five": (
        'SUMIFS(log_shown,log_pot,pot_name,log_flag,1,log_date,">="&day_from,log_date,"<="&cell_late,'
        'log_weight,">"&cell_zero)',
        40,
    ),
    "sumifs_shown_criterion": ('SUMIFS(log_weight,log_shown,">"&cell_zero)', 43.5),
    # --- SUMPRODUCT
    "sumproduct_plain": ("SUMPRODUCT(log_weight,log_hours)", 91.5),
    "sumproduct_greater": ("SUMPRODUCT((log_weight>cell_price)*1)", 6),
    "sumproduct_filtered": ("SUMPRODUCT((log_pot=pot_name)*(log_date>day_from)*log_weight)", 20),
    "sumproduct_tiebreak": (
        "SUMPRODUCT((log_pot=Log!B4)*((log_date>Log!A4)+(log_date=Log!A4)*(log_weight>Log!C4)))",
        2,
    ),
    "sumproduct_rank_over_shown": ("SUMPRODUCT((log_flag=1)*(log_weight>Log!C4))", 3),
    "sumproduct_shown_plain": ("SUMPRODUCT(log_shown,log_flag)", 60),
    "sumproduct_shown_filtered": ("SUMPRODUCT((log_pot=pot_name)*1,log_shown)", 72),
    "sumproduct_three": ("SUMPRODUCT(log_weight,log_shown,log_flag)", 616),
    "sumproduct_between": (
        "SUMPRODUCT((log_date>=day_from)*(log_date<=day_until)*log_weight)",
        16.5,
    ),
    # A text is greater than any number, so a row that shows nothing counts here.
    "sumproduct_nothing_is_greater": ("SUMPRODUCT((log_shown>0)*1)", 11),
    "sumproduct_equals_nothing": ('SUMPRODUCT((log_shown="")*1)', 4),
    "sumproduct_blank_equals_nothing": ('SUMPRODUCT((log_pot="")*1)', 4),
    "sumproduct_not_nothing": ('SUMPRODUCT((log_shown<>"")*(log_weight=0))', 1),
    "sumproduct_own_name": ("SUMPRODUCT((log_pot=Log!B3)*1)", 2),
    # --- looking up
    "match_exact": ("MATCH(pot_name,log_pot,0)", 1),
    "match_number": ("MATCH(cell_late,log_date,0)", 8),
    "match_unknown": ("IFERROR(MATCH(pot_unknown,log_pot,0),0)", 0),
    "match_blank_key": ("IFERROR(MATCH(cell_blank,log_pot,0),-1)", -1),
    "match_any_case": ('MATCH("CLEAR",log_pot,0)', 1),
    "match_shown_nothing_key": ("IFERROR(MATCH(Log!E13,log_pot,0),-1)", -1),
    "match_one": ("MATCH(1,log_flag,0)", 1),
    "index_blank_is_zero": ("INDEX(log_weight,12)", 0),
    "index_blank_as_text": ('INDEX(log_pot,12)&""', None),
    "index_blank_is_nothing": ('IF(INDEX(log_pot,12)="",1,0)', 1),
    # One cell of a column that somebody types into: a number counts, a text or an empty cell is 0.
    "sum_of_index": ("SUM(INDEX(log_weight,2))", 4),
    "sum_of_index_blank": ("SUM(INDEX(log_weight,12))", 0),
    "sum_of_index_text": ("SUM(INDEX(log_pot,2))", 0),
    "sum_of_index_shown_nothing": ("SUM(INDEX(log_shown,12))", 0),
    "count_of_index": ("COUNT(INDEX(log_weight,2))", 1),
    "count_of_index_zero": ("COUNT(INDEX(log_hours,5))", 1),
    "count_of_index_blank": ("COUNT(INDEX(log_weight,12))", 0),
    "count_of_index_text": ("COUNT(INDEX(log_pot,2))", 0),
    "count_of_index_shown_nothing": ("COUNT(INDEX(log_shown,12))", 0),
    "index_or_default": ("IF(COUNT(INDEX(log_weight,12))=1,SUM(INDEX(log_weight,12)),1)", 1),
    "index_text_is": ('IF(INDEX(log_pot,1)="clear",1,0)', 1),
    "index_text_is_blank": ('IF(INDEX(log_pot,12)="clear",1,0)', 0),
    "index_past_the_end": ("IF(COUNT(log_flag)<=12,cell_late,INDEX(log_flag,13))", day("2024-12-31")),
    "match_over_shown": ("MATCH(cell_text,log_text,0)", 1),
    "index": ("INDEX(log_weight,5)", 8),
    "index_match": ("INDEX(log_weight,MATCH(cell_late,log_date,0))", 1),
    "index_match_text": ("INDEX(log_pot,MATCH(cell_late,log_date,0))", "green"),
    "match_last": ("MATCH(day_until,Inputs!$D$2:$D$3,1)", 2),
    "match_last_between": ("MATCH(day_from,Inputs!$D$2:$D$3,1)", 1),
    "index_match_last": ("INDEX(Inputs!$E$2:$E$3,MATCH(day_until,Inputs!$D$2:$D$3,1))", 0.2),
    "index_countif": ('INDEX(tariff_price,COUNTIF(tariff_from,"<="&day_from))', 0.1),
    "match_last_with_tail": ("INDEX(tariff_price,MATCH(day_until,tariff_from,1))", 0.2),
    "match_last_before_first": ("IFERROR(MATCH(cell_zero,Inputs!$D$2:$D$3,1),-1)", -1),
    # --- choosing
    "if_true": ("IF(cell_price>1,10,20)", 10),
    "if_text": ('IF(pot_name="clear","yes","no")', "yes"),
    "if_any_case": ('IF(pot_name="CLEAR","yes","no")', "yes"),
    "if_blank_nothing": ('IF(cell_blank="","",1)', None),
    "if_blank_text": ('IF(cell_blank="","nothing","something")', "nothing"),
    "if_shown_nothing": ('IF(Log!E13="","nothing","something")', "nothing"),
    "if_shown_value": ('IF(Log!E2="","nothing","something")', "something"),
    "if_zero_is_not_nothing": ('IF(cell_zero="","nothing","something")', "something"),
    "if_blank_is_zero": ("IF(cell_blank=0,1,2)", 1),
    "blank_is_shown_as_zero": ("cell_blank", 0),
    "blank_is_shown_nothing": ("IF(cell_blank=Log!E13,1,0)", 1),
    "if_nested": ('IF(cell_blank="",IF(cell_zero=0,1,2),3)', 1),
    "iferror": ("IFERROR(1/cell_zero,-1)", -1),
    "iferror_fine": ("IFERROR(1/cell_price,-1)", 1 / 1.2345),
    "iferror_text": ("IFERROR(cell_text*1,-1)", -1),
    "iferror_large": ("IFERROR(LARGE(log_weight,20),0)", 0),
    "iferror_ln": ("IFERROR(LN(cell_zero),0)", 0),
    "iferror_shown_nothing": ("IFERROR(Log!E13+1,-1)", -1),
    "isnumber": ("IF(ISNUMBER(cell_price),1,0)", 1),
    "isnumber_blank": ("IF(ISNUMBER(cell_blank),1,0)", 0),
    "isnumber_text": ("IF(ISNUMBER(cell_text),1,0)", 0),
    "isnumber_shown_nothing": ("IF(ISNUMBER(Log!E13),1,0)", 0),
    "isnumber_match": ("IF(ISNUMBER(MATCH(pot_name,log_pot,0)),1,0)", 1),
    "isnumber_match_none": ("IF(ISNUMBER(MATCH(pot_unknown,log_pot,0)),1,0)", 0),
    "istext": ("IF(ISTEXT(cell_text),1,0)", 1),
    "istext_blank": ("IF(ISTEXT(cell_blank),1,0)", 0),
    "istext_number": ("IF(ISTEXT(cell_price),1,0)", 0),
    "istext_shown_nothing": ("IF(ISTEXT(Log!E13),1,0)", 1),
    "isnumber_bare": ("ISNUMBER(cell_price)", True),
    "and": ("IF(AND(cell_price>1,cell_zero=0),1,0)", 1),
    "and_bare": ("AND(cell_price>1,cell_zero=1)", False),
    "or": ("IF(OR(cell_price>2,cell_zero=0),1,0)", 1),
    "not": ("IF(NOT(cell_price>2),1,0)", 1),
    "compare_bare": ("cell_price>1", True),
    "compare_unequal": ("IF(pot_name<>pot_unknown,1,0)", 1),
    "compare_shown_greater": ("IF(Log!E2>cell_price,1,0)", 1),
    # --- numbers
    "round": ("ROUND(cell_price,2)", 1.23),
    "round_half": ("ROUND(cell_negative,0)", -3),
    "round_hundreds": ("ROUND(1250,-2)", 1300),
    "roundup": ("ROUNDUP(cell_price,1)", 1.3),
    "int": ("INT(cell_price)", 1),
    "int_negative": ("INT(cell_negative)", -3),
    "abs": ("ABS(cell_negative)", 2.5),
    "exp": ("EXP(cell_price)", math.exp(1.2345)),
    "ln": ("LN(cell_price)", math.log(1.2345)),
    "decay": ("EXP(-((cell_price/2)^1.5))", math.exp(-((1.2345 / 2) ** 1.5))),
    "step_up": ("ROUND(ROUNDUP(ROUND(cell_price/0.05,6),0)*0.05,2)", 1.25),
    "step_nearest": ("ROUND(INT(ROUND(cell_price/0.05,6)+0.5)*0.05,2)", 1.25),
    "money": ("ROUND(cell_price+0.000000001,2)", 1.23),
    "blank_plus_one": ("cell_blank+1", 1),
    "money_half": ("ROUND(1.005+0.000000001,2)", 1.01),
    "nearly_equal": ("IF(ABS(0.1+0.2-0.3)<0.000001,1,0)", 1),
    "round_of_blank": ("ROUND(cell_blank,2)", 0),
    "power": ("cell_price^2", 1.2345**2),
    "percent_by_hundred": ("cell_price*15/100", 1.2345 * 0.15),
    # --- dates
    "year": ("YEAR(day_from)", 2024),
    "month": ("MONTH(day_from)", 2),
    "day": ("DAY(day_until)", 31),
    "date": ("DATE(2024,2,29)", day("2024-02-29")),
    "date_month_over": ("DATE(YEAR(cell_late),MONTH(cell_late)+1,1)", day("2025-01-01")),
    "date_year_over": ("DATE(2024,14,1)", day("2025-02-01")),
    "weekday": ("WEEKDAY(day_from,2)", 4),
    "eomonth": ("EOMONTH(day_from,0)", day("2024-02-29")),
    "eomonth_next": ("EOMONTH(day_from,1)", day("2024-03-31")),
    "month_start": ("EOMONTH(day_until,-1)+1", day("2024-03-01")),
    "days_between": ("day_until-day_from", 59),
    # --- text
    "join": ('pot_name&" "&cell_text', "clear kiln"),
    "join_rounded": ('ROUND(cell_price,2)&" kg"', "1.23 kg"),
    "join_whole": ('"row "&MATCH(pot_name,log_pot,0)', "row 1"),
    "join_blank": ('pot_name&cell_blank&"."', "clear."),
    "join_shown_nothing": ('pot_name&Log!E13&"."', "clear."),
    "join_fraction": ('0.1&" h"', "0.1 h"),
    "date_as_text": (
        'YEAR(day_from)&"-"&RIGHT("0"&MONTH(day_from),2)&"-"&RIGHT("0"&DAY(day_from),2)',
        "2024-02-01",
    ),
    "len": ("LEN(pot_name)", 5),
    "len_blank": ("LEN(cell_blank)", 0),
    "len_shown_nothing": ("LEN(Log!E13)", 0),
    "left": ("LEFT(pot_name,2)", "cl"),
    "right": ("RIGHT(pot_name,2)", "ar"),
}

# Patterns on which the engines disagree, and what the workbook does in their place.
TRAPS: dict[str, tuple[str, str]] = {
    "power_twice": ("2^3^2", "brackets"),
    "criterion_not_empty": ('COUNTIF(log_pot,"<>")', "COUNTA over typed cells, less COUNTBLANK"),
    "month_of_blank": ("MONTH(cell_blank)", 'IF(x="","",MONTH(x))'),
    "year_of_blank": ("YEAR(cell_blank)", 'IF(x="","",YEAR(x))'),
    "eomonth_of_blank": ("EOMONTH(cell_blank,0)", 'IF(x="","",EOMONTH(x,0))'),
    "short_year": ("DATE(24,1,1)", "years of four digits"),
    "double_minus": ("SUMPRODUCT(--(log_pot=pot_name),log_weight)", "(a=b)*1"),
    "isnumber_of_range": ("SUMPRODUCT(ISNUMBER(log_weight)*1)", "COUNT(range)"),
    "year_of_range": ("SUMPRODUCT((YEAR(log_date)=2024)*1)", "a helper column, or two dates to compare with"),
    "max_in_sumproduct": ("SUMPRODUCT(MAX((log_pot=pot_name)*log_weight))", "a helper column"),
    "round_half": ("ROUND(1.005,2)", "ROUND(x+0.000000001,2)"),
    "round_up_nearly_whole": ("ROUNDUP(1.1*3/0.3,0)", "ROUNDUP(ROUND(x,6),0)"),
    "equal_sums": ("0.1+0.2=0.3", "ABS(a-b)<0.000001"),
    "lookup_blank_tail": ("LOOKUP(day_until,tariff_from,tariff_price)", "INDEX and COUNTIF"),
    "index_zero": (
        'INDEX(tariff_price,COUNTIF(tariff_from,"<="&cell_zero))',
        "ask first whether the count is 0",
    ),
    "error_kind": ("LARGE(log_weight,20)", "IFERROR, and never the kind of an error"),
    "n_of_blank": ("N(cell_blank)", "IF(ISNUMBER(x),x,0)"),
    "count_of_text": ('COUNT(1,"a")', "COUNT over cells"),
}


# ---------------------------------------------------------------------------------------------- the workbook


def write_book(path: Path, formulas: dict[str, str]) -> dict[str, str]:
    """Write the log, the inputs and one formula a row; return the cell of each formula on Probes."""
    with xlsxwriter.Workbook(path) as book:
        date = book.add_format({"num_format": "yyyy-mm-dd"})
        log = book.add_worksheet("Log")
        log.write_row("A1", list(COLUMNS))
        for number in range(PREPARED):
            row = number + 2
            if number < len(ROWS):
                text, pot, weight, hours = ROWS[number]
                log.write_number(f"A{row}", day(text), date)
                log.write_string(f"B{row}", pot)
                for column, amount in (("C", weight), ("D", hours)):
                    if amount is not None:
                        log.write_number(f"{column}{row}", amount)
            log.write_formula(f"E{row}", f'=IF(B{row}="","",C{row}*2)', None, "")
            log.write_formula(f"F{row}", f'=IF(C{row}>=10,cell_text,IF(B{row}="green",cell_text,""))', None, "")
            log.write_formula(f"G{row}", f"=IF(C{row}>=8,1,IF(D{row}=4,1,0))")
        for name, column in COLUMNS.items():
            book.define_name(name, f"=Log!${column}$2:${column}${LAST}")

        inputs = book.add_worksheet("Inputs")
        for row, (name, value) in enumerate(SINGLES.items(), start=1):
            inputs.write(f"A{row}", name)
            if value is not None:
                inputs.write(f"B{row}", value)
            book.define_name(name, f"=Inputs!$B${row}")
        for row, (since, price) in enumerate(TARIFF, start=2):
            inputs.write_number(f"D{row}", since, date)
            inputs.write_number(f"E{row}", price)
        book.define_name("tariff_from", "=Inputs!$D$2:$D$4")
        book.define_name("tariff_price", "=Inputs!$E$2:$E$4")

        probes = book.add_worksheet("Probes")
        cells = {}
        for row, (name, formula) in enumerate(formulas.items(), start=1):
            probes.write_string(f"A{row}", name)
            probes.write_formula(f"B{row}", f"={formula}")
            cells[name] = f"B{row}"
    return cells


def run(engine: Engine, formulas: dict[str, str], tmp_path: Path) -> tuple[dict[str, str], Values]:
    path, poisoned = tmp_path / "probes.xlsx", tmp_path / "poisoned.xlsx"
    cells = write_book(path, formulas)
    assert poison(path, poisoned) == len(formulas) + 3 * PREPARED
    return cells, recalculate_one(engine, poisoned, tmp_path / "work")


# ------------------------------------------------------------------------------------------------- the tests


def functions_in(formula: str) -> set[str]:
    """The functions that a formula calls."""
    return {
        token.value.removesuffix("(").upper()
        for token in Tokenizer(f"={formula}").items
        if token.type == "FUNC" and token.subtype == "OPEN"
    }


def probed_functions() -> set[str]:
    """The functions that are proven here. The generator may write these and no others."""
    return set().union(*(functions_in(formula) for formula, _ in PROBES.values()))


PROVEN = """
ABS AND COUNT COUNTA COUNTBLANK COUNTIF COUNTIFS DATE DAY EOMONTH EXP IF IFERROR INDEX INT ISNUMBER ISTEXT
LARGE LEFT LEN LN MATCH MAX MIN MONTH NOT OR RIGHT ROUND ROUNDUP SMALL SUM SUMIF SUMIFS SUMPRODUCT
WEEKDAY YEAR
"""


def test_the_functions_that_are_proven() -> None:
    assert sorted(probed_functions()) == PROVEN.split()


def test_the_engines_agree_on_the_subset(engine: Engine, tmp_path: Path) -> None:
    cells, values = run(engine, {name: formula for name, (formula, _) in PROBES.items()}, tmp_path)
    wrong = {
        name: values.get(("Probes", cell))
        for name, cell in cells.items()
        if not same(PROBES[name][1], values.get(("Probes", cell)))
    }
    assert not wrong, f"{engine.name} differs in {wrong}"
    assert_agrees(engine.name, {("Probes", cell): PROBES[name][1] for name, cell in cells.items()}, values)


def test_the_log_shows_what_it_should(engine: Engine, tmp_path: Path) -> None:
    _, values = run(engine, {"nothing": "1"}, tmp_path)
    expected: Values = {}
    for row in range(2, LAST + 1):
        used = row - 2 < len(ROWS)
        _, pot, weight, hours = ROWS[row - 2] if used else ("", "", None, None)
        expected["Log", f"E{row}"] = (weight or 0) * 2 if used else None
        expected["Log", f"F{row}"] = "kiln" if (weight or 0) >= 10 or pot == "green" else None
        expected["Log", f"G{row}"] = 1 if (weight or 0) >= 8 or hours == 4 else 0
    assert_agrees(engine.name, expected, values)


@pytest.mark.exhaustive
def test_the_engines_disagree_on_the_traps(
    libreoffice: Engine, gnumeric: Engine, formualizer: Engine, formulas_engine: Engine, tmp_path: Path
) -> None:
    found: dict[str, list[Value]] = {name: [] for name in TRAPS}
    for engine in (libreoffice, gnumeric, formualizer, formulas_engine):
        (tmp_path / engine.name).mkdir()
        cells, values = run(engine, {name: formula for name, (formula, _) in TRAPS.items()}, tmp_path / engine.name)
        for name, cell in cells.items():
            found[name].append(values.get(("Probes", cell)))
    harmless = [name for name, (first, *others) in found.items() if all(same(first, x) for x in others)]
    assert not harmless, f"the engines now agree on {harmless}: these are no traps any more"
