"""How long the book takes to be written, checked and recalculated, and how that grows with its log.

Run it with ``make bench``. What is measured here is compared within one run with something plain that does
the same work on the same machine, since seconds alone say more about the machine than about the code.
Nothing here is a test: a busy machine must not make a build fail.

How calculating should grow: a row of the log only looks at its neighbours and into small tables. Only the
periods, the ledger and the checks read the whole log, with a number of formulas that doesn't depend on its
length; so ten times the rows is ten times the work. Gnumeric takes more than that, and a plain sheet shows
that it is the program: a thousand SUMIFS over four columns took nine times as long for ten times the rows,
and fifteen times where 36 columns that no formula reads stood beside them.
"""
