"""What the tests need that have LibreOffice move rows and cells, as an owner would."""

from __future__ import annotations

import pytest

from tests.engines.runners import LibreOffice
from tests.faults.recalculate import office_python


@pytest.fixture(scope="module")
def office(libreoffice: LibreOffice, pytestconfig: pytest.Config) -> None:
    if office_python() is None:
        reason = "no Python here can script LibreOffice (Debian: python3-uno)"
        (pytest.fail if pytestconfig.getoption("require_engines") else pytest.skip)(reason)
