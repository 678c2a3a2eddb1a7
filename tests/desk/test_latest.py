"""Files that many runs share are read once, whoever asks."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import pytest

from evenhand.desk.latest import Latest


def test_what_two_threads_ask_for_at_once_is_made_once() -> None:
    latest, together, made = Latest(), Barrier(2), []

    def ask(_: int) -> int:
        together.wait()
        return latest.of("day", lambda: made.append(1) or len(made))

    with ThreadPoolExecutor(2) as pool:
        assert list(pool.map(ask, range(2))) == [1, 1]
    assert made == [1]


def test_only_the_latest_are_held() -> None:
    latest = Latest(2)
    for key in ("a", "b", "a", "c"):
        latest.of(key, key.upper)
    assert [latest.of(key, lambda: "made again") for key in ("a", "c", "b")] == ["A", "C", "made again"]


def test_it_is_told_whether_something_is_made_already() -> None:
    latest, seen = Latest(1), []
    latest.of("a", lambda: seen.append(latest.has("a")))
    assert (seen, latest.has("a")) == ([False], True)
    latest.of("b", lambda: None)
    assert not latest.has("a")


def test_trouble_is_told_and_the_next_who_asks_tries_again() -> None:
    latest = Latest()
    with pytest.raises(ZeroDivisionError):
        latest.of("day", lambda: 1 / 0)
    assert latest.of("day", lambda: 1) == 1
