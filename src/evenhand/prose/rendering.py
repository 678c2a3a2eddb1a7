"""A script with its figures filled: as plain text to be spoken, and as safe HTML."""

from __future__ import annotations

import html
import re
from collections.abc import Callable, Collection
from functools import partial

from markdown_it import MarkdownIt

from evenhand.errors import EvenhandError
from evenhand.prose.quotable import Quotable
from evenhand.prose.quotables import Quotables
from evenhand.prose.references import Reference, plain_braces, references, resolve
from evenhand.prose.script import Script, Sort
from evenhand.records.publications import PAYS

_EMPHASIS = re.compile(r"(\*\*|__|`|(?<!\w)[*_](?=\S)|(?<=\S)[*_](?!\w))")
_LINK = re.compile(r"!?\[([^\]]*)\]\([^)]*\)")
_SPACE = re.compile(r"[ \t\r\n]+")  # a figure and its unit stay together
_SLOT = "\ue001{}\ue002"  # stands for a figure while Markdown is read; private, so that no text has it
_SLOTS = re.compile("\ue001(\\d+)\ue002")
_SAFE = MarkdownIt("commonmark", {"html": False}).disable(["image", "autolink"])

_ANCHOR = re.compile(r'<a href="([^"]*)"(.*?)</a>', flags=re.DOTALL)

Told = Callable[[Reference], str]


def filled(text: str, figures: Quotables) -> str:
    r"""A text with each reference told; one that cannot be told stays as it was written.

    >>> filled(r"\{so\} {margn}", Quotables(figures={}))
    '{so} {margn}'
    """

    def tell(reference: Reference) -> str:
        try:
            return resolve(reference, figures)[1]
        except EvenhandError:
            return text[reference.start : reference.end]

    return plain_braces(_with(text, tell))


def narration(script: Script, figures: Quotables) -> str:
    """The whole as one speaks it: headings on lines of their own, paragraphs apart, no cues and no marks."""
    told: list[str] = []
    before = -1
    for piece in script.said:
        words = _SPACE.sub(" ", unmarked(filled(piece.text, figures))).strip()
        if not words:
            continue
        gap = "" if not told else " " if piece.paragraph == before else "\n\n"
        told.append(gap + words)
        before = piece.paragraph
    return "".join(told) + "\n" if told else ""


def unmarked(text: str) -> str:
    """Words without the marks of Markdown.

    >>> unmarked("**No** [link](https://example.org)")
    'No link'
    """
    return _EMPHASIS.sub("", _LINK.sub(r"\1", text))


def as_html(script: Script, figures: Quotables, *, paid: Collection[str] = ()) -> str:
    """The whole as HTML: nothing that was typed becomes a tag; each figure has its source at hand.

    A link to one of the addresses that are `paid` is marked as that, for machines and in words.
    """
    cues = {piece.place.line for piece in script.pieces if piece.sort is Sort.CUE}
    lines = [line for n, line in enumerate(script.text.split("\n"), start=1) if n not in cues]
    plain = "\n".join(lines).replace("\ue001", "").replace("\ue002", "")
    made: list[str] = []

    def slot(reference: Reference) -> str:
        try:
            figure, words = resolve(reference, figures)
        except EvenhandError:
            made.append(f"<mark>{html.escape(plain[reference.start : reference.end])}</mark>")
        else:
            made.append(as_data(figure, words))
        return _SLOT.format(len(made) - 1)

    told = _SAFE.render(plain_braces(_with(plain, slot)))
    sponsored = {_SAFE.normalizeLink(address) for address in paid}
    marked = _ANCHOR.sub(partial(_anchor, sponsored=sponsored), str(told)) if sponsored else str(told)
    return _SLOTS.sub(lambda found: made[int(found[1])], marked)


def _anchor(found: re.Match[str], *, sponsored: Collection[str]) -> str:
    if html.unescape(found[1]) not in sponsored:
        return found[0]
    return f'<a rel="sponsored" href="{found[1]}"{found[2]}</a> <small>({PAYS})</small>'


def as_data(figure: Quotable, words: str) -> str:
    """A figure with its value for machines, and its source for who asks."""
    told = f"{figure.definition} ({figure.source}). {figure.caution}".removesuffix(". ")
    source = html.escape(told, quote=True)
    value = html.escape(f"{figure.value:.12g}", quote=True)
    return f'<data class="num" value="{value}" title="{source}">{html.escape(words)}</data>'


def _with(text: str, tell: Told) -> str:
    """The text with something in place of every reference."""
    made, begin = [], 0
    for reference in references(text):
        if reference.written is None:
            continue
        made.append(text[begin : reference.start] + tell(reference))
        begin = reference.end
    return "".join(made) + text[begin:]
