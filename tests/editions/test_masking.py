"""What must not go out is masked in place; numbers of a measurement are never touched."""

from __future__ import annotations

import gzip

import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenhand.editions.masking import masked_log, masked_text

LOG = (
    "# User: mira.tern\n# Serial number: QX-77A1-9\nt [s],frame [ms],note\n"
    "0.0167,16.7,\n0.0334,16.7,QX-77A1-9\n"
)


@pytest.mark.parametrize(
    ("text", "masked"),
    [
        ("# Serial: AB12-34", "# Serial: xxxx-xx"),
        ("Serial Number = 0042771", "Serial Number = xxxxxxx"),
        ('{"host": "mira-desk", "ms": 16.7}', '{"host": "xxxx-xxxx", "ms": 16.7}'),
        (r"saved to C:\Users\mira\logs\a.csv", r"saved to C:\Users\xxxx\logs\a.csv"),
        ("/home/mira/logs", "/home/xxxx/logs"),
        ("# by mira@harbour.example", "# by xxxx@xxxxxxx.xxxxxxx"),
        ("adapter 3C:22:fb:0a:1b:9e up", "adapter xx:xx:xx:xx:xx:xx up"),
        ("adapter 3c-22-fb-0a-1b-9e", "adapter xx-xx-xx-xx-xx-xx"),
        ("# ip: 192.168.0.17", "# ip: xxx.xxx.x.xx"),
        ("Computer name: MIRA-PC\nfrom MIRA-PC", "Computer name: xxxx-xx\nfrom xxxx-xx"),
    ],
)
def test_what_gives_somebody_away_is_crossed_out(text: str, masked: str) -> None:
    assert masked_text(text)[0] == masked


@pytest.mark.parametrize(
    "text",
    [
        "t [s],frame [ms]\n0.0167,16.7\n",
        "12:34:56.789,16.7,-3.2e-05",
        "driver 31.4.2.100, build 2031-05-04",
        '{"t": 0.5, "graphics load": 97}',
        "cores: 8 physical, hostility 3",
    ],
)
def test_measurements_and_versions_stay(text: str) -> None:
    assert masked_text(text) == (text, {})


def test_a_column_called_by_a_label_is_masked_and_the_others_stay() -> None:
    text = "ms,user,fps\n16.7,miratern,60\n16.8,miratern,59\n"
    assert masked_text(text)[0] == "ms,user,fps\n16.7,xxxxxxxx,60\n16.8,xxxxxxxx,59\n"


def test_words_that_the_reviewer_names_are_masked_whole() -> None:
    told, places = masked_text("rig Otter-3, otters swim, Otter-3", words=["Otter-3"])
    assert told == "rig xxxxx-x, otters swim, xxxxx-x"
    assert places == {"named": 2}


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_a_log_keeps_its_encoding_and_its_packing(encoding: str) -> None:
    text = LOG + ("# 24 °C\n" if encoding != "utf-8" else "")
    plain, packed = text.encode(encoding), gzip.compress(text.encode(encoding))
    expected = text.replace("mira.tern", "xxxx.xxxx").replace("QX-77A1-9", "xx-xxxx-x").encode(encoding)
    assert masked_log(plain, name="a.csv").data == expected
    assert gzip.decompress(masked_log(packed, name="a.csv.gz").data) == expected


def test_a_log_with_nothing_to_hide_is_the_very_same_bytes() -> None:
    packed = gzip.compress(b"t,ms\n1,16.7\n", mtime=77)
    assert masked_log(packed, name="a.csv.gz").data == packed


def test_what_is_no_text_is_left_alone() -> None:
    assert masked_log(b"\x89PNG\x00\x01", name="a.png").places == {}


@given(
    st.lists(st.lists(st.floats(allow_nan=False, allow_infinity=False), min_size=1, max_size=4), max_size=20)
)
def test_no_table_of_numbers_is_ever_touched(rows: list[list[float]]) -> None:
    text = "\n".join(",".join(map(repr, row)) for row in rows)
    assert masked_text(text) == (text, {})
