"""A measured window in words."""

from __future__ import annotations

from evenhand.publish.numbers import number, with_unit
from evenhand.records.windows import Window


def window_words(window: Window) -> str:
    """From when to when, as it stands in a sentence.

    >>> window_words(Window(start_s=5, end_s=65)).replace("\u00a0", " "), window_words(Window())
    ('from 5.0 s to 65.0 s', 'the whole log')
    >>> window_words(Window(end_s=65)).replace("\u00a0", " "), window_words(Window(start_s=2.25))[-4:]
    ('the first 65.0 s', ' end')
    """
    if window.whole:
        return "the whole log"
    if window.end_s is None:
        return f"from {moment(window.start_s)} to the end"
    if window.start_s == 0:
        return f"the first {moment(window.end_s)}"
    return f"from {moment(window.start_s)} to {moment(window.end_s)}"


def measured_words(window: Window, what: str) -> str:
    """What is measured of each log, as the end of a sentence.

    >>> measured_words(Window(start_s=5, end_s=65), "each run").replace("\u00a0", " ")
    'measured from 5.0 s to 65.0 s of each run'
    """
    return f"measured {window_words(window)} of {what}"


def moment(seconds: float) -> str:
    """Seconds of a log, to a tenth, and finer where somebody cut so."""
    digits = 1 if abs(seconds * 10 - round(seconds * 10)) < 1e-9 else 2
    return with_unit(number(seconds, digits), "s")
