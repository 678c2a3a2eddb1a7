from __future__ import annotations

import json

import pytest

from evenhand.publish.faces import (
    ELLIPSIS,
    FONTS,
    Face,
    balance,
    covered,
    elide,
    fit,
    needs_extended,
    needs_signs,
    width,
    wrap,
)

NAMES = ("Hollow Regatta", "Plover rebuilt with the quieter cooler", "Ål & Œdipe", "Žlutý vůz", "W", "")


@pytest.mark.parametrize("face", list(Face))
@pytest.mark.parametrize("room", [0, 30, 120, 400, 900])
def test_elided_text_fits_its_room_or_is_the_ellipsis_alone(face, room):
    for name in NAMES:
        short = elide(name, room, 50, face)
        assert short == ELLIPSIS or width(short, 50, face) <= room
        assert short in (name, ELLIPSIS) or name.startswith(short.removesuffix(ELLIPSIS))


@pytest.mark.parametrize("lines", [1, 2, 3])
@pytest.mark.parametrize("room", [200, 500, 1200])
def test_fitted_text_keeps_within_room_lines_and_sizes(room, lines):
    for name in NAMES:
        fitted = fit(name, room, sizes=(80, 50), lines=lines)
        assert len(fitted.lines) <= max(lines, 1)
        assert 50 <= fitted.size <= 80
        assert all(width(line, fitted.size) <= room for line in fitted.lines)


def test_text_shrinks_before_it_is_cut():
    assert fit("Hollow Regatta", 380, sizes=(60, 50)).lines == ("Hollow Regatta",)
    assert fit("Hollow Regatta", 250, sizes=(60, 50)).lines[0].endswith(ELLIPSIS)


def test_wrapping_keeps_a_date_on_one_line_that_holds_it():
    said = "What each costs to own over years, at prices of 24 November 2026, in drell"
    for room in range(500, 1400, 50):
        lines = wrap(said, room, 40)
        assert " ".join(lines) == said
        assert any("24 November 2026," in line for line in lines)
    assert " ".join(wrap(said, 100, 40)) == said


def test_wrapping_keeps_every_word_and_never_parts_a_number_from_its_unit():
    text = "Over all nine tests they are level within ±3\u00a0% and no more"
    for room in (100, 300, 600):
        lines = wrap(text, room, 40)
        assert " ".join(lines) == text
        assert not any(line.endswith("±3") for line in lines)


def test_two_lines_are_balanced():
    one, two = balance(("Plover in Hollow Regatta: looks capped at 143.9", "fps"), 70, Face.SAY)
    assert 0.6 < width(one, 70, Face.SAY) / width(two, 70, Face.SAY) < 1.6


def test_widths_grow_with_size_and_text_and_unknown_signs_take_a_full_em():
    assert width("mm", 10) == pytest.approx(2 * width("m", 10))
    assert width("m", 20) == pytest.approx(2 * width("m", 10))
    assert width("漢", 10) >= 10


@pytest.mark.parametrize("face", list(Face))
def test_every_face_covers_what_our_sentences_and_numbers_are_made_of(face):
    needed = (
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789 .,:;()%±−+×/°…'’“”&\u00a0≤≥≈≠→\u202f"
    )
    assert set(needed) <= covered(face)


def test_our_own_signs_are_asked_for_only_where_needed():
    assert needs_signs("a ≤ b")
    assert not needs_signs("10.7\u00a0% (8.9 to 12.5)")


def test_the_extended_file_is_asked_for_only_by_letters_that_need_it():
    for face in Face:
        assert needs_extended("Žižka", face.value)
        assert needs_extended("Łódź", face.value)
        assert not needs_extended("Ål & Œdipe − 10.7\u00a0%", face.value)


def test_each_face_has_its_files_and_each_family_its_licence():
    table = json.loads((FONTS / "widths.json").read_text(encoding="utf-8"))
    for face in Face:
        assert (FONTS / f"{face.value.file}.woff2").is_file()
        assert (FONTS / f"{face.value.extended.file}.woff2").is_file()
        assert {face.value.file, face.value.extended.file} <= table.keys()
        assert "SIL OPEN FONT LICENSE" in (FONTS / f"OFL-{face.value.family}.txt").read_text().upper()
