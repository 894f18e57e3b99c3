import pytest

from meltbook.fields.kernel import Figure, Shape, Vocabulary
from meltbook.workbook.formula_rules import body_length, formula_faults, if_depth, strange_numbers
from tests.unit.workbook import sample


@pytest.mark.parametrize(
    ("body", "numbers"),
    [
        ("a_b*60+c_d/100-1", []),
        ("ROUND(INT(ROUND(a_b/c_d,6)+0.5)*c_d,2)", []),
        ("ROUND(a_b+0.000000001,2)", []),
        ("a_b*365", ["365"]),
        ("a_b*1.732+3", ["1.732", "3"]),
        ('"over 40 %"&a_b.3', []),
    ],
)
def test_numbers_without_a_label_are_found(body: str, numbers: list[str]) -> None:
    assert strange_numbers(body) == numbers


@pytest.mark.parametrize(
    ("body", "depth"),
    [
        ("SUM(a_b.all)", 0),
        ("IF(a_b>0,1,0)+IF(c_d>0,1,0)", 1),
        ("IF(a_b>0,IF(c_d>0,1,0),0)", 2),
        ("IF(a_b>0,MAX(0,IF(c_d>0,IFERROR(IF(e_f=0,1,0),0),0)),0)", 3),
    ],
)
def test_ifs_in_ifs_are_counted(body: str, depth: int) -> None:
    assert if_depth(body) == depth


def test_length_counts_neither_spaces_nor_guards() -> None:
    assert body_length("a_b.prev  +  1") == len("a_b.prev+1")


def test_faults_name_the_field_and_the_place() -> None:
    item = Figure("a_cost", "A", Shape.MONEY, formula="b_cost*365", needs=("b_cost",), seed="=b_cost*12")
    assert formula_faults(Vocabulary.of([item], [])) == [
        "a_cost: give 365 a cell with a label",
        "a_cost, seed: give 12 a cell with a label",
    ]
    long = Figure("a_cost", "A", Shape.MONEY, formulas=("0", "+".join(["b_cost"] * 30)))
    assert formula_faults(Vocabulary.of([long], [])) == ["a_cost, row 2: 209 characters; 160 is the most"]


def test_the_sample_keeps_the_rules() -> None:
    assert formula_faults(sample.vocabulary()) == []
