"""Forms keep what was typed, and read numbers as people write them."""

from __future__ import annotations

import pytest
from starlette.datastructures import FormData

from evenhand.desk.typed_numbers import decimal
from evenhand.web.forms import Form, typed, typed_all
from evenhand.web.showing import templates


@pytest.mark.parametrize(
    ("text", "value"),
    [("3", 3.0), ("2,5", 2.5), ("2.5", 2.5), (" 1 100,5 ", 1100.5), ("1,100.5", 1100.5), ("\u22125", -5.0)],
)
def test_a_number_is_read_with_a_point_or_a_comma(text: str, value: float) -> None:
    assert decimal(text) == value


@pytest.mark.parametrize("text", ["", "three", "1e5", "nan", "1.2.3", "--1", "\u0663"])
def test_what_is_no_number_is_none(text: str) -> None:
    assert decimal(text) is None


def test_rows_keep_their_places() -> None:
    sent = FormData([("a", " x "), ("row", "1"), ("row", ""), ("row", "3")])
    assert typed(sent, "a") == "x"
    assert typed_all(sent, "row") == ("1", "", "3")


def drawn(call: str, form: Form) -> str:
    """One field of a form."""
    source = '{% import "fields.html" as fields with context %}{{ fields.' + call + " }}"
    return templates().from_string(source).render(form=form)


def test_an_error_stands_by_its_field_and_the_field_names_it() -> None:
    form = Form(name="t", values={"margin": "3 <b>"}, errors={"margin": "'3 <b>' is not a number"})
    text = drawn('line(form, "margin", "Margin", unit="%", hint="a share")', form)
    assert 'value="3 &lt;b&gt;"' in text
    assert 'aria-invalid="true"' in text
    assert 'aria-describedby="t-margin-hint t-margin-says"' in text
    assert "&#39;3 &lt;b&gt;&#39; is not a number" in text


def test_a_field_in_order_says_nothing() -> None:
    text = drawn('line(form, "margin", "Margin")', Form(name="t", values={"margin": "3"}))
    assert "aria-invalid" not in text
    assert "aria-describedby" not in text
    assert "hx-post" not in text


def test_what_was_chosen_stays_chosen() -> None:
    form = Form(name="t", values={"kind": "b", "also": ("low",)})
    assert '<option value="b" selected>' in drawn(
        'choice(form, "kind", "Kind", [("a", "A"), ("b", "B")])', form
    )
    assert "checked" in drawn('tick(form, "also", "Also", value="low")', form)


def test_named_values_leave_room_for_more() -> None:
    form = Form(name="t", values={"set-name": ("quality",), "set-value": ("high",)})
    text = drawn('named_values(form, "set", "Settings", "setting", "value")', form)
    assert text.count('name="set-name"') == 3
    assert 'value="high"' in text
