"""What every picture shares: the sentence on top, the foot below, and the room between."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from evenhand.findings.finding import Outcome
from evenhand.publish.faces import Face, Fitted, balance, drawable, fit, lacking
from evenhand.publish.figures.feet import MOST_FOOT, foot_drawn, foot_height, foot_lines, inner_width
from evenhand.publish.names import Names
from evenhand.publish.palette import DISC, Slot
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Point, Words, document, line, mark, moved, rect

LEADING = 1.14
LARGEST_DRAWN = 2.0**1023  # some 9e307: a scale must reach beyond it and stay a number
TOP = 72.0  # px: where the body of a card begins that has no headline
MARK_ROOM = 19.0  # from where a mark begins to where its words begin, in units


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """A picture begun: what stands on it so far, and the body left free."""

    style: Style
    height: float
    body: Box
    drawn: tuple[Drawn, ...]


def frame(
    headline: str, foot: Sequence[str], *, style: Style, wanted: float, most_foot: int = MOST_FOOT
) -> Frame:
    """Headline and foot set, the body between them `wanted` high where the picture may grow.

    The foot is a row of sentences; those that no longer fit are left out, the first never.
    """
    said, under = _said(headline, style), foot_lines(foot, style, most_foot)
    top = _headline_bottom(said.size, len(said.lines), style)
    height = style.height if style.height is not None else top + wanted + foot_height(under, style)
    bottom = height - foot_height(under, style)
    ground = Box(left=0, top=0, right=style.width, bottom=height)
    head = [
        Words(x=style.margin, y=top - (len(said.lines) - 1 - i) * said.size * LEADING - 0.52 * said.size,
              text=text, size=said.size, face=Face.SAY)
        for i, text in enumerate(said.lines)
    ]  # fmt: skip
    body = Box(left=style.margin, top=top, right=style.width - style.margin, bottom=bottom)
    back = [rect(ground, fill="paper")] if style.height is not None else []
    return Frame(
        style=style, height=height, body=body, drawn=(*back, *head, *foot_drawn(under, style, bottom))
    )


def finish(
    begun: Frame, drawn: Iterable[Drawn], *, title: str, description: str, names: Names | None = None
) -> Picture:
    """The frame and everything drawn on its body, as a picture.

    Signs that the fonts lack are drawn plainly; the description says which, and which keys of `names`
    stand for names.
    """
    size, every = (round(begun.style.width), math.ceil(begun.height)), [*begun.drawn, *drawn]
    told = (*(names.told if names else ()), *_lacking(every))
    plain = [replace(d, text=drawable(d.text, d.face)) if isinstance(d, Words) else d for d in every]
    said = " ".join([description, *told])
    svg = document(plain, size, (title, said), begun.style.theme)
    return Picture(svg=svg, width=size[0], height=size[1], title=title, description=said, told=told)


def _lacking(drawn: Sequence[Drawn]) -> tuple[str, ...]:
    """Which signs are drawn plainly, as one sentence, or none."""
    words = (d for d in drawn if isinstance(d, Words))
    signs = dict.fromkeys(sign for d in words for sign in lacking(d.text, d.face) if sign.isprintable())
    listed = ", ".join(signs)
    return (f"Drawn plainly, as the fonts lack them: {listed}.",) if signs else ()


def headline_fits(headline: str, style: Style) -> bool:
    """Whether the headline stands whole, without an ellipsis."""
    return " ".join(_said(headline, style).lines) == headline


def short_enough(say: Callable[[Names], str], names: Names, style: Style) -> str:
    """A headline, said with shortened names where the full ones would cut off its end."""
    return say(fitting_names(say, names, style))


def fitting_names(say: Callable[[Names], str], names: Names, style: Style) -> Names:
    """The names whole, with setups' cut short, or with tests' too: the first with which the headline fits."""
    shorter = (names, names.shortened())
    fits = (called for called in shorter if headline_fits(say(called), style))
    return next(fits, names.shortened(tests=True))


def foot_fits(foot: Sequence[str], style: Style, most_foot: int = MOST_FOOT) -> bool:
    """Whether every sentence of the foot finds room."""
    return " ".join(foot_lines(foot, style, most_foot)) == " ".join(foot)


def must_say(names: Names, first: str, style: Style, *, most_foot: int = MOST_FOOT) -> tuple[str, ...]:
    """What the foot says after its `first` sentence before all that may be left out, in fewer words to fit.

    That keys stand for names which cannot be drawn, what is measured in part, and that terms or scores were
    changed.
    """
    measured: list[tuple[str, ...]] = [(words,) for words in names.measured] or [()]
    changes = names.changed.by_length()
    wordings = [(*names.keys_told, *part, *changed) for changed in changes for part in measured]
    fits = (said for said in wordings if foot_fits([first, *said], style, most_foot))
    return next(fits, wordings[-1])


def centred(y: float, size: float) -> float:
    """The baseline that centres digits and capitals of this size on `y`."""
    return y + 0.35 * size


def named(slot: Slot, words: Words, style: Style) -> tuple[Drawn, Drawn]:
    """A build's mark, and its words to the right of it; `words.x` is where the mark begins."""
    scale = style.unit * 1.02
    shift = MARK_ROOM * scale
    at = (words.x + 6.5 * scale, words.y - 0.34 * words.size)
    return (
        mark(slot.mark, at, scale=scale, ink=slot.ink),
        Words(x=words.x + shift, y=words.y, text=words.text, size=words.size, face=words.face, ink=words.ink),
    )


def named_state(outcome: Outcome | None, words: Words, style: Style) -> list[Drawn]:
    """The mark of level (something at rest between two posts) or of unsettled, and its word."""
    unit = style.unit * 1.02
    x, y = words.x + 6.5 * unit, words.y - 0.34 * words.size
    if outcome is Outcome.LEVEL:
        reach = 7 * unit
        pen, bar = Pen(ink="ink", width=2.2 * unit), 4 * unit
        posts = (line((x + side, y - reach), (x + side, y + reach), pen) for side in (-reach, reach))
        rest = rect(Box(left=x - bar, top=y - 0.6 * bar, right=x + bar, bottom=y + 0.6 * bar), fill="ink")
        sign: list[Drawn] = [*posts, rest]
    else:
        sign = [mark(DISC, (x, y), scale=unit, ink="grey", hollow=True)]
    return [*sign, moved(words, dx=MARK_ROOM * unit)]


def named_width(words: Words, style: Style) -> float:
    """How wide mark and words stand together."""
    return MARK_ROOM * style.unit * 1.02 + words.width


def crossed(at: Point, reach: float, style: Style) -> list[Drawn]:
    """The cross over something that was left out; thinner where it is small."""
    (x, y), whole = at, 7.5 * style.unit
    pen = Pen(ink="fault-edge", width=style.post * 1.1 * min(1.0, reach / whole))
    return [
        line((x - reach, y - reach), (x + reach, y + reach), pen),
        line((x + reach, y - reach), (x - reach, y + reach), pen),
    ]


def balanced(rows: int, most: int) -> list[int]:
    """How many rows go on each picture, as even as can be.

    >>> balanced(20, 9), balanced(3, 9), balanced(0, 9)
    ([7, 7, 6], [3], [])
    """
    pages = math.ceil(rows / most)
    return [rows // pages + (1 if i < rows % pages else 0) for i in range(pages)] if pages else []


def nice_steps(span: float, most: int) -> float:
    """The smallest step of 1, 2 or 5 times a power of ten that divides `span` into at most `most` parts.

    >>> nice_steps(130, 5), nice_steps(0.9, 4)
    (50.0, 0.5)
    """
    rough = (span if span > 0 else 1e-9) / most
    power = 10.0 ** math.floor(math.log10(rough))
    return next(m * power for m in (1, 2, 5, 10) if m * power >= rough * (1 - 1e-9))


def tick_decimals(step: float) -> int:
    """How many decimals tell apart the ticks of a round step.

    >>> tick_decimals(20), tick_decimals(1), tick_decimals(0.5), tick_decimals(0.02), tick_decimals(1.5)
    (0, 0, 1, 2, 1)
    """
    found = max(0, -math.floor(math.log10(step) + 1e-9))
    return found if math.isclose(round(step, found), step) else found + 1


def _said(headline: str, style: Style) -> Fitted:
    """The headline on one line if it stands large enough there, else on more, two of them of like length.

    Without a headline the body begins where it would have stood.
    """
    if not headline:
        return Fitted(lines=(), size=0)
    largest, least_on_one, least = style.say
    one = fit(headline, inner_width(style), sizes=(largest, least_on_one), face=Face.SAY)
    if one.lines == (headline,):
        return one
    two = fit(headline, inner_width(style), sizes=(0.87 * largest, least), face=Face.SAY, lines=style.lines)
    return Fitted(lines=balance(two.lines, two.size, Face.SAY), size=two.size)


def _headline_bottom(size: float, lines: int, style: Style) -> float:
    if not lines:
        return TOP
    lead = (lines - 1) * size * LEADING
    return (
        (96 if not style.roomy else 8)
        + (0.98 if lines == 1 or style.roomy else 0.75) * size
        + lead
        + 0.04 * size
    )
