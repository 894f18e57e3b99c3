"""The shipped starts by name, and studio files by path."""

from __future__ import annotations

from pathlib import Path

import pytest

from meltbook.errors import UsageError
from meltbook.studio.starts import DEFAULT_START, find_studio, load_start, start_names


def test_the_default_comes_first() -> None:
    assert start_names()[0] == DEFAULT_START


@pytest.mark.parametrize("name", start_names())
def test_every_start_loads_and_says_what_it_is(name: str) -> None:
    assert load_start(name).about


def test_a_name_nearly_right() -> None:
    with pytest.raises(UsageError) as caught:
        load_start("blnak")
    assert caught.value.hint == "Did you mean blank?"
    assert caught.value.exit_code == 2


def test_a_name_far_off_lists_them_all() -> None:
    with pytest.raises(UsageError) as caught:
        find_studio("qqqqq")
    assert all(name in caught.value.hint for name in start_names())


def test_a_path_is_a_file(tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    file.write_text('about = "mine"\n')
    assert find_studio(str(file)).about == "mine"
    with pytest.raises(UsageError, match="no studio file"):
        find_studio(str(tmp_path / "other.toml"))


def test_a_start_wins_over_a_file_of_the_same_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "blank").write_text('about = "a file"\n')
    monkeypatch.chdir(tmp_path)
    assert find_studio("blank").about != "a file"
    assert find_studio("./blank").about == "a file"
