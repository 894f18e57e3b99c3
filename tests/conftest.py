"""What every test can ask for: the spreadsheet engines, and how many cells each of them compared."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeVar

import pytest

from tests.engines.compare import compared
from tests.engines.runners import (
    ENGINES,
    OFFICE_ENGINES,
    Engine,
    Formualizer,
    Formulas,
    Gnumeric,
    LibreOffice,
    version,
)

E = TypeVar("E", bound=Engine)

ENGINE_FIXTURES = {"engine", "office_engine", "libreoffice", "gnumeric", "formualizer", "formulas_engine"}


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--require-engines",
        action="store_true",
        help="a spreadsheet engine that is missing on this machine is a failure, not a skip",
    )


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if ENGINE_FIXTURES.intersection(getattr(item, "fixturenames", ())):
            item.add_marker(pytest.mark.engines)


# ------------------------------------------------------------------------------------------------- engines


def _ready(engine: E, config: pytest.Config) -> E:
    reason = engine.available()
    if reason is not None and config.getoption("require_engines"):
        pytest.fail(f"{engine.name} is required and cannot run: {reason}")
    if reason is not None:
        pytest.skip(f"{engine.name} cannot run: {reason}")
    return engine


@pytest.fixture(scope="session", params=list(ENGINES))
def engine(request: pytest.FixtureRequest) -> Engine:
    """Each engine in turn. One of them, formulas, needs some milliseconds a formula."""
    return _ready(ENGINES[request.param](), request.config)


@pytest.fixture(scope="session", params=OFFICE_ENGINES)
def office_engine(request: pytest.FixtureRequest) -> Engine:
    """Each office program in turn: fast enough for a workbook of any size."""
    return _ready(ENGINES[request.param](), request.config)


@pytest.fixture(scope="session")
def libreoffice(pytestconfig: pytest.Config) -> LibreOffice:
    return _ready(LibreOffice(), pytestconfig)


@pytest.fixture(scope="session")
def gnumeric(pytestconfig: pytest.Config) -> Gnumeric:
    return _ready(Gnumeric(), pytestconfig)


@pytest.fixture(scope="session")
def formualizer(pytestconfig: pytest.Config) -> Formualizer:
    return _ready(Formualizer(), pytestconfig)


FAST_ENGINES = ("libreoffice", "gnumeric", "formualizer")


@pytest.fixture(params=[pytest.param(name, marks=pytest.mark.engines) for name in FAST_ENGINES])
def quick_engine(request: pytest.FixtureRequest) -> Engine:
    """Each of the three programs that work out a book in seconds."""
    found: Engine = request.getfixturevalue(request.param)
    return found


_ONLY_IN_FULL = (pytest.mark.engines, pytest.mark.exhaustive)


@pytest.fixture(
    params=[
        *(pytest.param(name, marks=_ONLY_IN_FULL) for name in FAST_ENGINES[:-1]),
        pytest.param(FAST_ENGINES[-1], marks=pytest.mark.engines),
    ]
)
def thorough_engine(request: pytest.FixtureRequest) -> Engine:
    """The same three for many books at once: the two office programs, which take longest, only when all tests run."""
    found: Engine = request.getfixturevalue(request.param)
    return found


@pytest.fixture(scope="session")
def formulas_engine(pytestconfig: pytest.Config) -> Formulas:
    return _ready(Formulas(), pytestconfig)


# ---------------------------------------------------------------------- cells compared, at the end of a run


def pytest_sessionfinish(session: pytest.Session) -> None:
    output = getattr(session.config, "workeroutput", None)
    if output is not None:  # this process is one worker of pytest-xdist
        output["compared"] = dict(compared)


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node: object) -> None:
    output: Mapping[str, dict[str, int]] = getattr(node, "workeroutput", {})
    compared.update(output.get("compared", {}))


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    if not compared:
        return
    releases = {
        engine.name: version(engine) for engine in (make() for make in ENGINES.values()) if engine.available() is None
    }
    terminalreporter.section("cells compared with other spreadsheet engines")
    for name, count in sorted(compared.items()):
        release = releases.get(name.split(" ")[0], "")
        terminalreporter.write_line(f"{name} {release}".ljust(30) + f"{count:>12,}")
