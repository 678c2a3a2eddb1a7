"""Pictures of a page in fewer signs: every place, every paint and every element stay what they were."""

from __future__ import annotations

import re

import numpy as np
import pytest

from evenhand.editions.lean_marks import lean_marks
from evenhand.editions.lean_pictures import lean_pictures, stepwise

WORD = '<text x="1" y="2" font-size="13px" fill="var(--ink)">said</text>'


def test_what_is_painted_alike_often_has_a_class_with_that_paint() -> None:
    page, rules = lean_pictures(WORD * 20)
    (name,) = set(re.findall(r'class="(\w+)"', page))
    assert f".{name}{{font-size:13px;fill:var(--ink)}}" in rules
    assert "font-size" not in page
    assert page.count('x="1" y="2"') == 20


def test_what_is_painted_once_keeps_its_paint() -> None:
    page, rules = lean_pictures(WORD)
    assert page == WORD
    assert "font-size" not in rules


@pytest.mark.parametrize("own", ['class="dot"', 'id="here"'])
def test_what_a_sheet_or_a_script_may_know_by_its_name_keeps_its_paint(own: str) -> None:
    told = f'<path {own} d="M0 0h1" fill="red" stroke="none"/>'
    assert lean_pictures(told * 20)[0] == told * 20


def test_a_class_is_kept_where_words_are_anchored() -> None:
    page, rules = lean_pictures('<text class="mut" x="50.00%" y="4.0" text-anchor="middle">0</text>')
    assert page == '<text class="mut am" x="50%" y="4">0</text>'
    assert ".am{text-anchor:middle}" in rules


def test_words_and_what_scripts_read_stay_as_they_are() -> None:
    page = '<svg data-zero="131.0" aria-label="10.00 at 0.0"><title>10.00</title></svg><p>5.0 0.00%</p>'
    assert lean_pictures(page)[0] == page


def test_every_step_of_a_long_line_leads_to_the_very_place() -> None:
    tenths = np.random.default_rng(4).integers(-4000, 4000, (300, 2))
    d = "M" + "L".join(f"{x / 10:.1f} {y / 10:.1f}" for x, y in tenths.tolist())
    short = lean_pictures(f'<path d="{d}"/>')[0]
    told = re.findall(r' d="([^"]*)"', short)[0]
    begun, steps = told[1:].split("l")
    numbers = re.findall(r"-?(?:\d+(?:\.\d)?|\.\d)", steps)
    at = np.array([float(each) for each in begun.split()])
    walked = [at, *(at + np.cumsum(np.array(numbers, float).reshape(-1, 2), axis=0))]
    assert np.abs(10 * np.array(walked) - tenths).max() < 1e-6
    assert len(told) < 0.9 * len(d)


def test_a_closed_line_is_closed_and_curves_stay() -> None:
    assert stepwise("M0 0L10 0L10 10Z") == "M0 0l10 0 0 10z"
    curve = "M-6.2 0a6.2 6.2 0 1 0 12.4 0a6.2 6.2 0 1 0-12.4 0Z"
    assert stepwise(curve) == curve


def test_a_sign_with_its_rim_is_placed_once() -> None:
    sign = (
        '<path d="M0 0h1" stroke="paper" transform="translate({0} 2.0) scale(0.5)"/>'
        '<path d="M0 0h1" stroke="ink" transform="translate({0} 2.0) scale(0.5)"/>'
    )
    page = lean_marks(f"<body><svg>{''.join(sign.format(n) for n in range(4))}</svg></body>")
    drawn, _, kept = page.partition("</svg>")
    assert drawn.count("<use") == 4
    names = set(re.findall(r'href="#(\w+)"', drawn))
    assert [f'id="{name}"' in kept for name in names] == [True]
    assert 'stroke="paper"' in kept
    assert kept.count('transform="scale(0.5)"') == 2
