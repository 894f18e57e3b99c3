"""How long the book takes to be written, checked and recalculated, and how that grows with its log.

Run it with ``make bench``. What is measured here is compared within one run with something plain that does
the same work on the same machine, since seconds alone say more about the machine than about the code.
Nothing here is a test: a busy machine must not make a build fail.
"""
