# A fresh machine needs python3 (3.11 or later), pip and make; everything else goes into .venv.
#
#   make demo        a workbook to open, written to demo.xlsx      (DEMO=name OUT=file.xlsx)
#   make test        the tests that take seconds                   (ALL=1, REQUIRE_ENGINES=1, ARGS="-k wear")
#   make check       linters, types, import contracts
#   make examples    regenerate output_examples/
#   make bench       time the generator and the engines; writes benchmarks/results.md

DEMO   ?= lakeside-lb
OUT    ?= demo.xlsx
EXAMPLES ?= output_examples
PYTHON ?= python3
VENV   ?= .venv
ALL    ?=
REQUIRE_ENGINES ?=
ARGS   ?= -n auto --dist worksteal

BIN    := $(VENV)/bin
PIP    := $(BIN)/python -m pip --disable-pip-version-check
PYTEST := $(BIN)/python -m pytest

SELECT := $(if $(filter-out 0,$(ALL)),,-m "not exhaustive")
STRICT := $(if $(filter-out 0,$(REQUIRE_ENGINES)),--require-engines)

.DEFAULT_GOAL := demo
.PHONY: demo test check format examples bench venv clean

demo: $(VENV)/.run
	@$(BIN)/meltbook new "$(OUT)" --from "$(DEMO)" --force
	@echo "Open this workbook: $(abspath $(OUT))"
	@echo "A blank one of your own: $(BIN)/meltbook new studio.xlsx"

test: $(VENV)/.test
	$(PYTEST) $(SELECT) $(STRICT) $(ARGS)

check: $(VENV)/.dev
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports

format: $(VENV)/.dev
	$(BIN)/ruff check --fix .
	$(BIN)/ruff format .

examples: $(VENV)/.test
	$(BIN)/python -m tests.tools.make_examples "$(EXAMPLES)"

bench: $(VENV)/.test
	$(BIN)/python -m benchmarks

venv: $(VENV)/.dev

# The three stamps are three installs: to run, to test, to develop. Each is redone when pyproject.toml
# changes.
$(VENV)/.run: pyproject.toml $(VENV)/.made
	@$(PIP) install --quiet --editable .
	@touch $@

$(VENV)/.test: pyproject.toml $(VENV)/.made
	$(PIP) install --quiet --editable ".[test]"
	@touch $@ $(VENV)/.run

$(VENV)/.dev: pyproject.toml $(VENV)/.made
	$(PIP) install --quiet --editable ".[test,dev]"
	@touch $@ $(VENV)/.test $(VENV)/.run

# Some systems ship python3 without ensurepip (Debian keeps it in python3-venv). The environment is then made
# empty and the system's pip puts a pip into it; where there is no pip either, the message says what to do.
$(VENV)/.made:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { \
	    echo "meltbook needs Python 3.11 or later, and '$(PYTHON)' is not. Name another one:" >&2; \
	    echo "    make PYTHON=/path/to/python3.11" >&2; \
	    exit 3; }
	@if $(PYTHON) -c 'import ensurepip, venv' 2>/dev/null; then \
	    $(PYTHON) -m venv "$(VENV)"; \
	elif $(PYTHON) -c 'import venv' 2>/dev/null && $(PYTHON) -m pip --version >/dev/null 2>&1; then \
	    $(PYTHON) -m venv --without-pip "$(VENV)" && \
	    $(PYTHON) -m pip --quiet --python "$(VENV)/bin/python" install pip; \
	else \
	    echo "This python3 can make no virtual environment: it lacks venv or pip." >&2; \
	    echo "On Debian or Ubuntu: apt-get install python3-venv. Elsewhere: install pip for $(PYTHON)." >&2; \
	    exit 3; \
	fi
	@$(PIP) install --quiet --upgrade pip
	@touch $@

clean:
	rm -rf "$(VENV)" build dist .mypy_cache .pytest_cache .ruff_cache .import_linter_cache .hypothesis
	rm -f demo.xlsx
	find generator templates tests -name __pycache__ -type d -prune -exec rm -rf {} +
