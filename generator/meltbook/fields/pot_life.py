"""How long pots live: Weibull's distribution, fitted to the ledger inside the workbook.

A pot that cracked or leaks has failed; one that is in service, or was taken out for another reason, has lived at
least so long (it is censored). The shape is the one under which the ledger is most likely (maximum likelihood):
the root of a sum over all lives, found by Newton's method on the logarithm of the shape, nine steps down a small
table. The scale follows from it. With too few failures, or lives too alike or too unlike, the owner's own shape
stands in, or a usual one.

The method is that of the NIST/SEMATECH e-Handbook of Statistical Methods, section 8.4.1.3. From few failures the
fitted shape runs high; the sheet says so.
"""

from __future__ import annotations

from meltbook.fields.kernel import Figure, Fixed, Item, Shape, Table

STEPS = 9
GAMMA_SHIFT = 16

_COUNTED = "SUMPRODUCT(life_counts.all*{}life_ratio.all^{})"


def scalars() -> tuple[Item, ...]:
    """Counts of lives, the shape and the scale in use, the mean life."""
    return (*_constants(), *_lives(), *_shape(), *_gamma(), *_scale(), *_sentences())


def tables() -> tuple[Table, ...]:
    """The steps to the shape, and the terms of the Gamma function."""
    return (_steps(), _terms())


def ledger_columns() -> tuple[Item, ...]:
    """What the ledger works out for the pot's kind, part by part."""
    return (
        Figure(
            "life_counts",
            "A life of the pot's kind",
            Shape.COUNT,
            note="1 if the part is of the pot's kind and has been used.",
            formula="IF(AND(part_used=1,part_kind_row=pot_row),IF(part_uses>0,1,0),0)",
        ),
        Figure(
            "life_failed",
            "It ended by failing",
            Shape.COUNT,
            note="1 if it cracked or leaked.",
            formula='IF(AND(life_counts=1,part_is_retired=1),(part_why="Cracked")+(part_why="Leaking"),0)',
        ),
        Figure(
            "life_no",
            "Lives so far",
            Shape.COUNT,
            note="Counted down the ledger.",
            formula="life_no.prev+life_counts",
            seed=0,
        ),
        Figure("life_uses", "Life", Shape.FACTOR, note="Its uses.", formula="IF(life_counts=1,part_uses,0)"),
        Figure(
            "life_ratio",
            "Life against the longest",
            Shape.FACTOR,
            note="As a part of the longest life.",
            formula="IF(life_counts=1,life_uses/life_longest,0)",
        ),
        Figure(
            "life_log",
            "Its logarithm",
            Shape.FACTOR,
            note="The natural one.",
            formula="IF(life_counts=1,LN(life_ratio),0)",
        ),
        Figure(
            "life_now",
            "Uses in service",
            Shape.FACTOR,
            note="If it is in service on the pricing date.",
            formula='IF(AND(part_serving=1,part_kind_row=pot_row),part_uses,"")',
        ),
    )


def _constant(name: str, label: str, value: float, note: str) -> Fixed:
    return Fixed(name, label, Shape.FACTOR, note=note, values=(value,))


def _constants() -> tuple[Item, ...]:
    return (
        _constant("default_shape", "How lives spread, if blank", 2, "Weibull's shape until the ledger can tell."),
        _constant("shape_least", "Least shape", 0.2, "The shape is looked for from here."),
        _constant("shape_most", "Greatest shape", 20, "To here; lives that are more alike can't be told apart."),
        _constant("shape_close", "Close to the root", 0.000001, "The fit has ended well if its sum is so near 0."),
        _constant("failures_least", "Failures needed", 3, "With fewer the ledger can't tell how lives spread."),
        _constant("failures_rough", "Failures for a good fit", 10, "With fewer the fit is rough, and runs high."),
        Fixed(
            "fit_good",
            "Number of a good fit",
            Shape.COUNT,
            note="The fit ended well; 0 is no failure, 1 too few, 2 lives too alike or unlike.",
            values=(3,),
        ),
        _constant("gamma_shift", "Shift of Gamma", GAMMA_SHIFT, "Stirling's series is exact enough so far out."),
        _constant("stirling_one", "Stirling, first", 12, "Divisor of the first term of Stirling's series."),
        _constant("stirling_three", "Stirling, third", 360, "Divisor of the next term."),
        _constant("stirling_five", "Stirling, fifth", 1260, "Divisor of the next term."),
        _constant("stirling_seven", "Stirling, seventh", 1680, "Divisor of the last term used."),
        _constant("half_log_circle", "Half the logarithm of 2π", 0.9189385332046727, "Stirling's constant."),
    )


def _count(name: str, label: str, note: str, formula: str) -> Figure:
    return Figure(name, label, Shape.COUNT, note=note, formula=formula)


def _lives() -> tuple[Figure, ...]:
    return (
        _count(
            "lives_counted", "Lives in the ledger", "Parts of the pot's kind that were used.", "SUM(life_counts.all)"
        ),
        _count("lives_failed", "Of these, failed", "Cracked or leaking.", "SUM(life_failed.all)"),
        Figure(
            "life_longest",
            "Longest life",
            Shape.FACTOR,
            note="In service or not.",
            formula="MAX(life_uses.all)",
        ),
        Figure(
            "life_log_mean",
            "Mean logarithm of failures",
            Shape.FACTOR,
            note="Of failed lives against the longest.",
            formula="IF(lives_failed=0,0,SUMIFS(life_log.all,life_failed.all,1)/lives_failed)",
        ),
    )


def _steps() -> Table:
    def column(name: str, label: str, note: str, formula: str) -> Figure:
        return Figure(name, label, Shape.FACTOR, note=note, formula=formula)

    moves = tuple(
        f"MAX(shape_least,MIN(shape_most,shape_try.{step}*EXP(MAX(-1,MIN(1,"
        f"-shape_score.{step}/(shape_try.{step}*shape_slope.{step}))))))"
        for step in range(1, STEPS)
    )
    return Table(
        "shape_steps",
        "Steps to the shape",
        (
            Fixed("shape_step", "Step", Shape.COUNT, values=tuple(range(1, STEPS + 1))),
            Figure(
                "shape_try",
                "Shape tried",
                Shape.FACTOR,
                note="Each step goes where the tangent of the one before crosses 0.",
                formulas=("1", *moves),
            ),
            column("shape_sum", "Sum", "Of all lives to the power of the shape.", _COUNTED.format("", "shape_try")),
            column(
                "shape_sum_log",
                "With logarithms",
                "Each × its logarithm.",
                _COUNTED.format("life_log.all*", "shape_try"),
            ),
            column(
                "shape_sum_square",
                "With their squares",
                "Each × its logarithm squared.",
                _COUNTED.format("life_log.all*life_log.all*", "shape_try"),
            ),
            column(
                "shape_score",
                "Score",
                "0 at the most likely shape.",
                "IF(shape_sum>0,shape_sum_log/shape_sum-1/shape_try-life_log_mean,0)",
            ),
            column(
                "shape_slope",
                "Slope",
                "How steeply the score rises.",
                "IF(shape_sum>0,shape_sum_square/shape_sum-(shape_sum_log/shape_sum)*(shape_sum_log/shape_sum)"
                "+1/(shape_try*shape_try),1)",
            ),
        ),
        rows=STEPS,
    )


def _shape() -> tuple[Figure, ...]:
    return (
        Figure(
            "shape_fitted",
            "Shape, fitted",
            Shape.FACTOR,
            note="Where the steps end.",
            formula=f"shape_try.{STEPS}",
        ),
        _count(
            "fit_far",
            "Fit found",
            "3 if the steps ended at the root, 2 if lives are too alike or too unlike for one.",
            f"IF(OR(shape_fitted>shape_most-shape_close,ABS(shape_score.{STEPS})>=shape_close),2,fit_good)",
        ),
        _count(
            "fit_code",
            "State of the fit",
            "0 no failure, 1 too few, 2 too alike or unlike, 3 fitted.",
            "IF(lives_failed=0,0,IF(lives_failed<failures_least,1,fit_far))",
        ),
        Figure(
            "shape_used",
            "How lives spread",
            Shape.FACTOR,
            note="Weibull's shape: fitted to the ledger, else as typed, else 2.",
            formula="IF(fit_code=fit_good,shape_fitted,IF(SUM(shape_typed)>0,shape_typed,default_shape))",
        ),
    )


def _terms() -> Table:
    return Table(
        "gamma_steps",
        "Terms of Gamma",
        (
            Fixed("gamma_step", "Term", Shape.COUNT, values=tuple(range(GAMMA_SHIFT))),
            Figure(
                "gamma_log",
                "Its logarithm",
                Shape.FACTOR,
                note="Brings Gamma back from so far out.",
                formula="LN(1+1/shape_used+gamma_step)",
            ),
        ),
        rows=GAMMA_SHIFT,
    )


def _gamma() -> tuple[Figure, ...]:
    def factor(name: str, label: str, note: str, formula: str) -> Figure:
        return Figure(name, label, Shape.FACTOR, note=note, formula=formula)

    return (
        factor("gamma_far", "Far out", "Where Stirling's series is taken.", "1+1/shape_used+gamma_shift"),
        factor("gamma_small", "One over it", "The series runs in its powers.", "1/gamma_far"),
        factor("gamma_square", "Squared", "Every second power.", "gamma_small*gamma_small"),
        factor(
            "gamma_tail",
            "Stirling's terms",
            "The first four; the next is less than 0.00000000000001.",
            "gamma_small*(1/stirling_one-gamma_square*(1/stirling_three"
            "-gamma_square*(1/stirling_five-gamma_square/stirling_seven)))",
        ),
        factor(
            "gamma_mean",
            "Mean life against the scale",
            "Gamma of 1 + 1 ÷ shape.",
            "EXP((gamma_far-0.5)*LN(gamma_far)-gamma_far+half_log_circle+gamma_tail-SUM(gamma_log.all))",
        ),
    )


def _scale() -> tuple[Figure, ...]:
    return (
        Figure(
            "pot_life_expected",
            "Expected life",
            Shape.FACTOR,
            unit="uses",
            note="From {Pots and elements}.",
            formula="INDEX(kind_of_part_mean.all,pot_row)",
            nonzero=("pot_row",),
        ),
        Figure(
            "scale_sum",
            "Sum of lives",
            Shape.FACTOR,
            note="To the power of the shape in use, against the longest.",
            formula=_COUNTED.format("", "shape_used"),
        ),
        Figure(
            "scale_used",
            "Scale of life",
            Shape.COUNT,
            unit="uses",
            note="Weibull's scale: the age by which 63 % have failed. Without failures it goes by the expected life.",
            formula="IF(lives_failed>0,life_longest*EXP(LN(scale_sum/lives_failed)/shape_used),"
            'IF(SUM(pot_life_expected)>0,pot_life_expected/gamma_mean,""))',
        ),
        Figure(
            "mean_life",
            "Mean life until it fails",
            Shape.COUNT,
            unit="uses",
            note="If it is run until it fails, pots in service and changed in time weighed in. {Pots and elements} "
            "shares the cost out by all uses ÷ pots gone, so its life is another.",
            formula="scale_used*gamma_mean",
            needs=("scale_used",),
        ),
    )


def _sentences() -> tuple[Figure, ...]:
    def text(name: str, label: str, formula: str, blank_if: str = "") -> Figure:
        return Figure(name, label, Shape.TEXT, formula=formula, blank_if=blank_if)

    return (
        text(
            "fit_fitted",
            "Said of a fit",
            '"Fitted to "&lives_failed&" failures"&IF(lives_failed<failures_rough,'
            '": rough, and the shape runs high."," among "&lives_counted&" lives.")',
        ),
        text(
            "fit_few",
            "Said of few failures",
            'IF(fit_code=0,fit_none,"Fewer than three failures: "&shape_words&" stands in for the ledger\'s.")',
        ),
        text(
            "fit_none",
            "Said of no failure",
            'IF(COUNT(scale_used)=0,"No failure in the ledger, and no expected life to go by.",'
            '"No failure in the ledger: "&shape_words&" and the expected life stand in.")',
        ),
        text(
            "fit_apart",
            "Said where there is no likeliest shape",
            '"The lives are too "&IF(shape_fitted>1,"alike","unlike")&" to fit: "&shape_words&" stands in."',
        ),
        text(
            "shape_words",
            "The shape that stands in, in words",
            'IF(SUM(shape_typed)>0,"your own shape","a shape of "&default_shape)',
        ),
        text(
            "fit_sentence",
            "The fit",
            "IF(fit_code<2,fit_few,IF(fit_code=2,fit_apart,fit_fitted))",
            "pot_name",
        ),
    )
