"""Text of any usual encoding, and a word in a column's name that only the right guess can spell."""

from __future__ import annotations

import pytest

from evenhand.errors import BadLog
from evenhand.traces.limits import Limits, check_size
from evenhand.traces.probe import probe
from evenhand.traces.unpacking import unpack, unpack_beginning

ROWS = "".join(f"{k};16,{k % 10};{40 + k % 7}\n" for k in range(200))


@pytest.mark.parametrize(
    ("encoding", "header", "note"),
    [
        ("cp1252", "t;frame [µs];temp [°C]", ""),
        (
            "cp1252",
            "t;Bildzeit [ms];Wärme [°C]",
            "# Lüfter läuft, Gehäuse geschlossen, Prüfstand für Läufe\n",
        ),
        ("cp1251", "t;frame [ms];Температура", "# Прогон записан вечером, корпус закрыт, окно открыто\n"),
        ("shift_jis", "t;frame [ms];温度", "# 測定は夜に行われました。窓は閉まっていました。\n"),
    ],
)
def test_legacy_encodings_are_guessed_from_the_lines_that_need_one(
    encoding: str, header: str, note: str
) -> None:
    data = (note + header + "\n" + ROWS).encode(encoding)
    seen = probe(data, name="log")
    assert seen.header == tuple(header.split(";"))
    assert seen.encoding not in ("utf-8", "ascii")


def test_utf_8_cut_within_a_letter_by_the_first_look_is_still_utf_8() -> None:
    body = "t;frame\n" + "0;1;°°°°°°°°°°\n" * 1000
    for size in range(64, 72):
        assert unpack_beginning(body.encode(), size, name="log", limits=Limits()).encoding == "utf-8"


def test_utf_16_with_a_stray_last_byte_is_read() -> None:
    data = "t;frame\n0;16,5\n1;16,6\n".encode("utf-16-le") + b"\x00"
    text = unpack(data, name="log", limits=Limits())
    assert text.body == b"t;frame\n0;16,5\n1;16,6\n"


def test_utf_32_is_read_where_it_is_marked() -> None:
    assert probe(("t;frame\n" + ROWS).encode("utf-32"), name="log").encoding == "utf-32-le"


def test_only_the_beginning_is_unpacked_for_a_look() -> None:
    text = unpack_beginning(b"7,8\n" * 10_000, 4000, name="log", limits=Limits())
    assert (len(text.body), text.whole) == (4000, False)


def test_a_size_can_be_refused_before_the_file_is_read() -> None:
    check_size(1000, name="log")
    with pytest.raises(BadLog, match="holds 2,048 MiB, past the limit of 1,024 MiB"):
        check_size(2 * 1024**3, name="log")
    with pytest.raises(BadLog, match="the file is empty"):
        check_size(0, name="log")
