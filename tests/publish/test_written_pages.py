"""A page or picture in another form: what is read or spoken is rewritten, nothing else."""

from __future__ import annotations

import pytest

from evenhand.publish.picture import Picture
from evenhand.publish.written import writing
from evenhand.publish.written_pages import in_page, picture_written
from evenhand.records.publications import Days, Form, Numbers

WRITE = writing(Form(numbers=Numbers.COMMA, days=Days.ISO), keep=["Slate 1.5", "Osk & 2.5"])


@pytest.mark.parametrize(
    ("html", "told"),
    [
        ("<p>10.7 % at 1,012 dl</p>", "<p>10,7 % at 1.012 dl</p>"),
        ("<p>Slate 1.5, 4 May 2031</p>", "<p>Slate 1.5, 2031-05-04</p>"),
        ("<p>Osk &amp; 2.5 &lt; 2.5</p>", "<p>Osk &amp; 2.5 &lt; 2,5</p>"),
        ('<img alt="10.7 &quot;%&quot;">', '<img alt="10,7 &quot;%&quot;">'),
        ('<meta name="description" content="10.7 %">', '<meta name="description" content="10,7 %">'),
        ('<i aria-valuetext="56.8 %">', '<i aria-valuetext="56,8 %">'),
        ('<input inputmode="decimal" value="998.5">', '<input inputmode="decimal" value="998,5">'),
        ("<title>10.7 %</title>", "<title>10,7 %</title>"),
    ],
)
def test_what_is_read_or_spoken_is_written_so(html: str, told: str) -> None:
    assert in_page(html, WRITE) == told


@pytest.mark.parametrize(
    "html",
    [
        '<script>let a = "10.7";</script>',
        "<style>p { line-height: 1.5 }</style>",
        '<input type="range" value="56.8">',
        '<path d="M0.5 1.5"/>',
        '<section data-measured="{&#34;a&#34;: 10.7}">',
        '<a href="data/1.5/2,000.csv">log</a>',
        "<!-- 10.7 -->",
    ],
)
def test_what_nobody_reads_stays(html: str) -> None:
    assert in_page(html, WRITE) == html


def test_a_picture_is_written_so_with_its_title_and_description() -> None:
    picture = Picture(
        svg='<svg viewBox="0 0 1.5 1.5"><title>1.5 %</title><text x="2.5">1.5 %</text></svg>',
        width=9, height=9, title="1.5 %", description="Ahead by 1.5 %.",
    )  # fmt: skip
    told = picture_written(picture, WRITE)
    assert told.svg == '<svg viewBox="0 0 1.5 1.5"><title>1,5 %</title><text x="2.5">1,5 %</text></svg>'
    assert (told.title, told.description) == ("1,5 %", "Ahead by 1,5 %.")
