"""A file that is being written is taken once it is quiet for longer than its writer ever paused."""

from __future__ import annotations

from pathlib import Path

import pytest

from evenhand.desk.logs.folder_files import FileNow
from evenhand.desk.logs.settling import LONGEST_S, QUIET_HALF_LINE_S, QUIET_S, TURN_S, Settling, ends_whole

NOW_NS = 2_000_000_000_000_000_000


def file(size: int, *, changed_s_ago: float = 0.0, path: str = "a.csv") -> FileNow:
    return FileNow(path=path, bytes=size, changed_ns=NOW_NS - int(changed_s_ago * 1e9))


def taken(settling: Settling, size: int, at: float, **more: float) -> bool:
    return bool(settling.look([file(size, **more)], at=at, now_ns=NOW_NS))


def test_it_is_waited_for_until_it_has_been_quiet_for_a_while() -> None:
    settling = Settling(lambda _: True)
    assert not taken(settling, 10, 0.0)
    assert settling.on_the_way == ("a.csv",)
    assert not taken(settling, 10, QUIET_S - 0.1)
    assert taken(settling, 10, QUIET_S)


def test_every_change_makes_the_wait_begin_anew() -> None:
    settling = Settling(lambda _: True)
    for at in range(10):
        assert not taken(settling, 10 + at, 1.5 * at)


def test_a_writer_that_pauses_is_given_its_longest_pause_and_half_of_it() -> None:
    settling = Settling(lambda _: True)
    taken(settling, 10, 0.0)
    taken(settling, 20, 4.0)
    assert not taken(settling, 20, 4.0 + 1.5 * 4.0 - 0.1)
    assert taken(settling, 20, 4.0 + 1.5 * 4.0)


def test_how_long_one_has_been_on_its_way_is_told() -> None:
    settling = Settling(lambda _: True)
    taken(settling, 10, 3.0)
    assert settling.seen_for("a.csv", at=7.5) == 4.5
    assert settling.seen_for("b.csv", at=7.5) == 0.0


def test_nobody_waits_for_ever() -> None:
    settling = Settling(lambda _: False)
    taken(settling, 10, 0.0)
    taken(settling, 20, 50.0)
    assert not taken(settling, 20, 50.0 + LONGEST_S - 1)
    assert taken(settling, 20, 50.0 + LONGEST_S)


def test_one_that_ends_within_a_line_is_waited_for_longer() -> None:
    settling = Settling(lambda _: False)
    taken(settling, 10, 0.0)
    assert not taken(settling, 10, QUIET_HALF_LINE_S - 0.1)
    assert taken(settling, 10, QUIET_HALF_LINE_S)


def test_an_empty_one_is_waited_for_however_long() -> None:
    settling = Settling(lambda _: True)
    assert not taken(settling, 0, 0.0)
    assert not taken(settling, 0, 10_000.0)


def test_what_came_while_nobody_watched_is_taken_at_once() -> None:
    assert taken(Settling(lambda _: False), 10, 0.0, changed_s_ago=LONGEST_S + 1)


def test_one_that_was_taken_is_on_its_way_no_more() -> None:
    settling = Settling(lambda _: True)
    taken(settling, 10, 0.0)
    settling.forget("a.csv")
    assert settling.on_the_way == ()


def paths(files: tuple[FileNow, ...]) -> list[str]:
    return [each.path for each in files]


def test_whole_ones_come_in_the_order_in_which_they_were_first_seen() -> None:
    settling = Settling(lambda _: True)
    settling.look([file(10, path="z.csv")], at=0.0, now_ns=NOW_NS)
    both = [file(10, path="a.csv"), file(10, path="z.csv")]
    settling.look(both, at=1.0, now_ns=NOW_NS)
    assert paths(settling.look(both, at=5.0, now_ns=NOW_NS)) == ["z.csv", "a.csv"]


def test_those_first_seen_at_one_look_come_as_they_were_written() -> None:
    ages = {"b10.csv": 300.0, "b9.csv": 900.0, "a.csv": 100.0}
    came = [file(10, path=path, changed_s_ago=age) for path, age in ages.items()]
    settling = Settling(lambda _: True)
    assert paths(settling.look(came, at=0.0, now_ns=NOW_NS)) == ["b9.csv", "b10.csv", "a.csv"]


def begun_earlier() -> Settling:
    """A half that was begun first and still grows after 20 s, and one that is whole by then."""
    settling = Settling(lambda each: each.path == "whole.csv")
    half = [file(10, path="half.csv")]
    settling.look(half, at=0.0, now_ns=NOW_NS)
    settling.look([*half, file(10, path="whole.csv")], at=10.0, now_ns=NOW_NS)
    grown = file(20, path="half.csv")
    settling.look([grown, file(10, path="whole.csv")], at=20.0, now_ns=NOW_NS)
    return settling


def test_a_whole_one_is_told_what_was_begun_before_it() -> None:
    settling = begun_earlier()
    assert paths(settling.ahead_of("whole.csv", at=20.0)) == ["half.csv"]
    assert settling.ahead_of("half.csv", at=20.0) == ()


def test_nobody_waits_long_for_an_earlier_one() -> None:
    settling = begun_earlier()
    assert paths(settling.ahead_of("whole.csv", at=20.0 + TURN_S - 0.1)) == ["half.csv"]
    assert settling.ahead_of("whole.csv", at=20.0 + TURN_S) == ()


def test_an_earlier_one_that_nobody_writes_to_any_more_is_not_waited_for() -> None:
    settling = Settling(lambda each: each.bytes > 0)
    empty = file(0, path="empty.csv")
    settling.look([empty], at=0.0, now_ns=NOW_NS)
    settling.look([empty, file(10)], at=LONGEST_S, now_ns=NOW_NS)
    settling.look([empty, file(10)], at=LONGEST_S + QUIET_S, now_ns=NOW_NS)
    assert settling.ahead_of("a.csv", at=LONGEST_S + QUIET_S) == ()


def test_one_that_was_taken_is_ahead_of_none() -> None:
    settling = begun_earlier()
    settling.forget("half.csv")
    assert settling.ahead_of("whole.csv", at=20.0) == ()


@pytest.mark.parametrize(
    ("content", "whole"),
    [
        (b"a\n1\n", True),
        (b"a\r\n1\r\n", True),
        (b'{"a":1}', True),
        (b"a\n1.5", False),
        (b"a,", False),
        (b"\x1f\x8b\x80", True),
    ],
)
def test_a_text_is_whole_with_its_last_line(tmp_path: Path, content: bytes, whole: bool) -> None:
    (tmp_path / "a.csv").write_bytes(content)
    assert ends_whole(tmp_path)(FileNow(path="a.csv", bytes=len(content), changed_ns=0)) is whole


def test_one_that_is_gone_is_not_whole(tmp_path: Path) -> None:
    assert not ends_whole(tmp_path)(FileNow(path="a.csv", bytes=1, changed_ns=0))
