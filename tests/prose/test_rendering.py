"""A script with its figures: as plain text, as safe HTML, and how long it takes."""

from __future__ import annotations

from html.parser import HTMLParser

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from evenhand.prose.ground import Ground
from evenhand.prose.quotables import Quotables
from evenhand.prose.rendering import as_html, narration
from evenhand.prose.script import parse
from evenhand.prose.timing import spoken_words, time_code, timed

NONE = Quotables(figures={})
SAFE = {
    "p",
    "h1",
    "h2",
    "h3",
    "h4",
    "h5",
    "h6",
    "em",
    "strong",
    "ul",
    "ol",
    "li",
    "data",
    "mark",
    "a",
    "code",
    "pre",
    "hr",
    "br",
    "blockquote",
}


class Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.seen: list[tuple[str, dict[str, str | None]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append((tag, dict(attrs)))


def tags(html: str) -> list[tuple[str, dict[str, str | None]]]:
    parser = Tags()
    parser.feed(html)
    return parser.seen


def test_a_narration_is_words_with_figures_and_no_marks(ground: Ground) -> None:
    text = (
        "## **One**\n\n[card: rates]\n\nPlover *reaches*\n{rate of plover in causeway}. \\{so\\}\n\nNext.\n"
    )
    told = narration(parse(text), ground.quotables)
    assert told == "One\n\nPlover reaches 88.0\N{NO-BREAK SPACE}fps. {so}\n\nNext.\n"


def test_a_figure_carries_its_value_and_its_source_for_who_asks(ground: Ground) -> None:
    html = as_html(parse("By {lead of plover over dunlin in causeway}."), ground.quotables)
    ((_, given_),) = [each for each in tags(html) if each[0] == "data"]
    assert given_["class"] == "num"
    assert given_["value"]
    assert given_["value"].startswith("10.6")
    assert given_["title"]
    assert "Salt Causeway" in given_["title"]


@pytest.mark.parametrize(
    "text",
    [
        "<script>alert(1)</script>",
        "<img src=x onerror=alert(1)>",
        "[x](javascript:alert(1))",
        "![x](https://example.org/x.png)",
        "{<b>}",
        "\ue0010\ue002",
    ],
)
def test_nothing_that_was_typed_becomes_a_tag(text: str) -> None:
    for tag, given_ in tags(as_html(parse(text), NONE)):
        assert tag in SAFE
        assert not any(name.startswith("on") for name in given_)
        assert not str(given_.get("href", "")).startswith("javascript")


@given(st.text())
@example("{}")
@example("{ , with range}")
def test_any_text_is_rendered_safely(text: str) -> None:
    assert {tag for tag, _ in tags(as_html(parse(text), NONE))} <= SAFE
    narration(parse(text), NONE)


def test_chapters_and_cards_have_times_at_the_pace_that_is_spoken() -> None:
    script = parse("Hello there.\n\n## One\n\n[card: a]\n\none two three\n\n## Two\n\nfour\n")
    times = timed(script, NONE, words_a_minute=60)
    assert [(c.title, c.start_s, c.words) for c in times.chapters] == [
        ("Introduction", 0, 2),
        ("One", 2, 3),
        ("Two", 5, 1),
    ]
    assert [(c.card, c.start_s, c.line) for c in times.cues] == [("a", 2, 5)]
    assert (times.words, times.seconds) == (6, 6)


def test_a_script_without_chapters_has_no_title() -> None:
    assert [c.title for c in timed(parse("Hello there."), NONE).chapters] == [""]


def test_digits_are_spoken_too() -> None:
    assert spoken_words("10.7 % (9.1 to 12.3)") > spoken_words("ten to twelve")
    assert [time_code(s) for s in (0, 59.9, 61, 3661)] == ["0:00", "0:59", "1:01", "1:01:01"]


def test_a_paid_link_is_marked_for_machines_and_in_words() -> None:
    text = "The [card](https://shop.example/a?b=1&c=2) and the [maker](https://maker.example/)."
    shown = as_html(parse(text), Quotables(figures={}), paid=["https://shop.example/a?b=1&c=2"])
    link = '<a rel="sponsored" href="https://shop.example/a?b=1&amp;c=2">card</a>'
    assert f"{link} <small>(pays the reviewer)</small>" in shown
    assert '<a href="https://maker.example/">maker</a>.' in shown
    assert "sponsored" not in as_html(parse(text), Quotables(figures={}))
