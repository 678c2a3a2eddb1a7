"""What a photo's bytes are, whatever they are called, and what is not shown of them."""

from __future__ import annotations

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.images.drawn import (
    CLEAR_WEBP,
    JPEG,
    NOTES,
    SIDES,
    WEBP,
    noted_jpeg,
    noted_png,
    noted_webp,
    png,
    riff,
    segment,
    webp_chunk,
)

from evenhand.errors import BadRecord
from evenhand.images.picture import MOST_BYTES
from evenhand.images.reading import read_picture
from evenhand.images.turning import turned

NOTED = {"image/jpeg": noted_jpeg, "image/png": noted_png, "image/webp": noted_webp}
KINDS = [pytest.param(media, id=media.rpartition("/")[2]) for media in NOTED]
SOUND = [JPEG, WEBP, CLEAR_WEBP, png(), noted_jpeg(6), noted_png(6), noted_webp(6)]


@pytest.mark.parametrize("media", KINDS)
def test_place_and_device_are_not_shown(media: str) -> None:
    noted = NOTED[media]()
    assert all(note in noted for note in NOTES)
    found = read_picture(noted)
    assert (found.media, found.width, found.height) == (media, *SIDES)
    assert not any(note in found.data for note in NOTES)


@pytest.mark.parametrize(
    ("noted", "plain"), [(noted_jpeg(), JPEG), (noted_png(), png())], ids=["jpeg", "png"]
)
def test_the_pixels_are_the_same_bit_for_bit(noted: bytes, plain: bytes) -> None:
    assert read_picture(noted).data == plain


def test_the_pixels_of_a_webp_are_the_same_bit_for_bit() -> None:
    assert WEBP[12:] in read_picture(noted_webp()).data
    assert read_picture(CLEAR_WEBP).data == CLEAR_WEBP


@pytest.mark.parametrize("media", KINDS)
def test_a_picture_taken_sideways_is_still_turned(media: str) -> None:
    shown = read_picture(NOTED[media](6)).data
    notes = shown[shown.index(b"MM\x00*") :]
    assert turned(notes) == 6
    assert b"MM\x00*" not in read_picture(NOTED[media](1)).data


@pytest.mark.parametrize("data", SOUND)
def test_reading_again_changes_nothing(data: bytes) -> None:
    once = read_picture(data)
    assert read_picture(once.data) == once


@pytest.mark.parametrize("data", SOUND)
def test_half_a_picture_is_told_as_cut_off(data: bytes) -> None:
    shown = read_picture(data).data  # what hangs behind the end may be missing
    for kept in range(12, len(shown)):
        with pytest.raises(BadRecord, match="cut off"):
            read_picture(shown[:kept])


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "the file is empty"),
        (b"frame [ms],t [s]\n16.7,0.0167\n", "no picture"),
        (b"<svg xmlns='http://www.w3.org/2000/svg' onload='x'/>", "no picture"),
        (b"GIF89a" + b"\0" * 30, "no picture"),
        (JPEG + b"\0" * (50 * 2**20), "too large: 50 MB"),
        (png(30_000, 30_000), "30,000 × 30,000 pixels"),
        (png(2**31 - 1, 1), "2,147,483,647 × 1 pixels"),
        (png(0, 16), "cut off or damaged"),
        (png(pixels=b""), "cut off or damaged"),
        (png().replace(b"\x00\x00\x00\x18", b"\x00\x00\x00\x19"), "cut off or damaged"),
        (b"\xff\xd8" + segment(0xC0, b"\x08\x75\x30\x75\x30\x03") + JPEG[2:], "30,000 × 30,000 pixels"),
        (b"\xff\xd8\xff\xd9", "cut off or damaged"),
        (riff(b"WEBP" + webp_chunk(b"VP8L", b"\x2f\xff\xff\xff\x0f")), "16,384 × 16,384 pixels"),
        (riff(b"WEBP" + webp_chunk(b"VP8L", b"\x2f\x17")), "cut off or damaged"),
        (riff(b"WEBP" + webp_chunk(b"ANIM", b"\0" * 6) + WEBP[12:]), "the picture moves"),
    ],
    ids=range(15),
)  # fmt: skip
def test_what_is_no_picture_for_a_page_is_refused_in_words(data: bytes, words: str) -> None:
    with pytest.raises(BadRecord, match=words):
        read_picture(data)


def test_the_limit_itself_is_taken() -> None:
    assert read_picture(JPEG.ljust(MOST_BYTES, b"\0")).data == JPEG
    with pytest.raises(BadRecord, match="too large"):
        read_picture(JPEG.ljust(MOST_BYTES + 1, b"\0"))


@given(st.sampled_from(SOUND), st.integers(0, 2000), st.binary(min_size=1, max_size=6))
def test_no_damage_raises_anything_but_a_refusal(data: bytes, at: int, other: bytes) -> None:
    at %= len(data)
    try:
        found = read_picture(data[:at] + other + data[at + len(other) :])
    except BadRecord:
        return
    assert read_picture(found.data) == found


@given(
    st.sampled_from([b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"RIFF\x40\0\0\0WEBP", b"MM\x00*"]), st.binary()
)
def test_no_bytes_raise_anything_but_a_refusal(begins: bytes, rest: bytes) -> None:
    turned(begins + rest)
    with contextlib.suppress(BadRecord):
        read_picture(begins + rest)
