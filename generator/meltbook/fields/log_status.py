"""What the log says about each of its rows.

``row_fault`` is something wrong with what is typed on the row; ``row_flow`` is something between rows:
dates, readings, prices. The first fault that applies is told in words in the last column that the owner
sees, since one thing at a time can be mended. The words stand in two small lists in the book.
"""

from __future__ import annotations

from meltbook.fields.kernel import Figure, Fixed, Shape, Table

FAULTS: tuple[str, ...] = (
    "Which kind of day is this?",
    "A number belongs here",
    "This glass is not on the Shop sheet",
    "A new kW goes on a New meter row",
    "A date belongs here",
)
FLOWS: tuple[str, ...] = (
    "The first row needs a date",
    "Starts before the row above ends",
    "Days are missing before this row",
    "Reading below the one before",
    "Read the old meter before the new one",
    "No tariff on this day yet",
    "How many charges were these days?",
    "Waiting for a reading",
    "More hours than these days have",
)

_NUMBERS = "log_date,log_days,log_charges,log_reading,log_new_kw,log_weight,log_gathers"
_WORDS = "log_kind,log_glass,log_note"


def word_lists() -> tuple[Table, ...]:
    """The sentences, each with its number."""
    return (
        _list("fault", "What is wrong on a row of the log", FAULTS),
        _list("flow", "What is wrong between rows of the log", FLOWS),
    )


def _list(prefix: str, label: str, words: tuple[str, ...]) -> Table:
    return Table(
        f"{prefix}_list",
        label,
        (
            Fixed(
                f"{prefix}_code",
                "Number",
                Shape.COUNT,
                note="The number of this sentence in the workings.",
                values=tuple(range(1, len(words) + 1)),
            ),
            Fixed(
                f"{prefix}_word",
                "What the log says",
                Shape.TEXT,
                note="Shown at the end of a row of the log.",
                values=words,
            ),
        ),
        rows=len(words),
    )


def shown_columns() -> tuple[Figure, ...]:
    """What the owner reads beside the typed cells; blank on rows without a kind."""
    return (
        Figure(
            "log_day_shown",
            "Starts on",
            Shape.DATE,
            note="The first day that the book counts for this row.",
            formula='IF(first_day=0,"",first_day)',
        ),
        Figure(
            "log_energy_shown",
            "Energy used",
            Shape.ENERGY,
            unit="{energy}",
            note="The row's share of the reading; blank until a reading closes it and a price is in force.",
            formula='IF(row_measured=1,energy_used,"")',
        ),
        Figure(
            "log_cost_shown",
            "Energy cost",
            Shape.MONEY,
            unit="{currency}",
            note="That energy at the prices in force on these days.",
            formula='IF(row_measured=1,energy_cost,"")',
        ),
        Figure(
            "log_campaign_shown",
            "Campaign",
            Shape.COUNT,
            note="Which campaign the row belongs to; a heat-up begins a new one.",
            formula='IF(OR(row_kind=0,campaign_no=0),"",campaign_no)',
        ),
        Figure(
            "log_status",
            "What to look at",
            Shape.TEXT,
            note="The first thing that this row lacks; blank when nothing does.",
            formula='IF(row_fault>0,INDEX(fault_word.all,row_fault),IF(row_flow>0,INDEX(flow_word.all,row_flow),""))',
        ),
    )


def working_columns() -> tuple[Figure, ...]:
    """The columns that find the fault of a row."""
    return (*_faults(), *_flows())


def _faults() -> tuple[Figure, ...]:
    return (
        Figure(
            "row_typed",
            "Cells typed",
            Shape.COUNT,
            note="How many cells of the row have something in them, the note too.",
            formula=f"COUNTA({_NUMBERS},{_WORDS})",
        ),
        Figure(
            "row_bad_numbers",
            "Text for a number",
            Shape.COUNT,
            note="Cells of the row that hold text where a number belongs.",
            formula=f"row_typed-COUNTA({_WORDS})-COUNT({_NUMBERS})",
        ),
        Figure(
            "row_number_fault",
            "Number or date",
            Shape.COUNT,
            note="5 where the date is a text, 2 where a number is one or is below 0, else 0.",
            formula=f"IF(COUNTA(log_date)>COUNT(log_date),fault_code.5,IF(row_bad_numbers+(MIN({_NUMBERS})<0)>0,2,0))",
        ),
        Figure(
            "row_other_fault",
            "Other fault",
            Shape.COUNT,
            note="3 for a glass that isn't listed, 4 for a new kW without a new meter, else 0.",
            formula="IF(AND(row_kind>0,row_glass=0,COUNT(log_weight)=1),fault_code.3,"
            "IF(AND(row_kind>0,row_kind<>new_meter_kind,COUNT(log_new_kw)=1),fault_code.4,0))",
        ),
        Figure(
            "row_fault",
            "Fault of the row",
            Shape.COUNT,
            note="The number of the first thing wrong with what is typed on the row; 0 for nothing.",
            formula="IF(row_kind=0,MIN(1,row_typed),IF(row_number_fault>0,row_number_fault,row_other_fault))",
        ),
    )


def _flows() -> tuple[Figure, ...]:
    return (
        Figure(
            "day_gap",
            "Days between",
            Shape.DAYS,
            note="Days missing before the row; below 0 if it begins before the row above ends.",
            formula="IF(AND(row_kind>0,ISNUMBER(log_date),next_day.prev>0),log_date-next_day.prev+(row_days=0),0)",
        ),
        Figure(
            "row_flow_dates",
            "Dates",
            Shape.COUNT,
            note="1 no date yet, 2 an overlap, 3 a gap, else 0.",
            formula="IF(AND(row_kind>0,first_day=0),1,IF(day_gap<0,2,(day_gap>0)*flow_code.3))",
        ),
        Figure(
            "row_flow_reading",
            "Readings",
            Shape.COUNT,
            note="4 a reading below the one before, 5 a new meter while the old one wasn't read, 9 more hours than "
            "its days have, else 0.",
            formula="IF(stretch_close=2,flow_code.4,IF(AND(row_kind=new_meter_kind,days_since.prev>0,"
            "stretch_close.prev=0),flow_code.5,hours_over*flow_code.9))",
        ),
        Figure(
            "row_flow_rest",
            "Prices and charges",
            Shape.COUNT,
            note="6 no price, 7 charges left blank over several days, 8 waiting for a reading, else 0.",
            formula="IF(AND(row_kind>0,row_priced=0),flow_code.6,IF(row_charge_default*row_days>2,flow_code.7,"
            "AND(row_kind>0,stretch_state>lost_stretch,meter_code<=2)*flow_code.8))",
        ),
        Figure(
            "row_flow",
            "Fault between rows",
            Shape.COUNT,
            note="The number of the first thing wrong between rows; 0 for nothing.",
            formula="IF(row_flow_dates>0,row_flow_dates,IF(row_flow_reading>0,row_flow_reading,row_flow_rest))",
        ),
    )
