"""Pictures in a page without what says nothing: zeros at the ends of numbers, defaults, the same ink again.

Nothing that is seen moves: places keep their value, and what elements are painted with becomes classes of the
page's sheet where many are painted alike.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from itertools import pairwise

_TAG = re.compile(r"<(svg|g|path|line|rect|circle|text|tspan|use)\b([^>]*?)(\s*/?)>")
_ATTRIBUTE = re.compile(r'\s([\w:-]+)="([^"]*)"')
_END = re.compile(r"(\.\d*?)0+(?!\d)")  # zeros that end a number
_LINE = re.compile(r"M(-?\d+(\.\d)?[ L]){5,}-?\d+(\.\d)?Z?")  # three places at least, none but lines
_NUMBER = re.compile(r"-?\d+(?:\.\d)?")
PLACES = frozenset({
    "x", "y", "x1", "x2", "y1", "y2", "dx", "dy", "r", "rx", "cx", "cy", "width", "height", "d", "transform",
})  # fmt: skip
FROM_ZERO = frozenset({"x", "y", "x1", "x2", "y1", "y2"})  # 0 where nothing is said
PAINT = (
    "font-family", "font-size", "font-weight", "fill", "fill-opacity", "opacity", "stroke", "stroke-width",
    "stroke-dasharray", "stroke-linecap", "stroke-linejoin", "paint-order",
)  # fmt: skip
SAID_ANYWAY = frozenset({("text-anchor", "start"), ("xmlns", "http://www.w3.org/2000/svg")})
ANCHORS = {"middle": "am", "end": "ae"}
ALWAYS = ("svg svg{overflow:visible}", *(f".{name}{{text-anchor:{side}}}" for side, name in ANCHORS.items()))
"""A picture within a picture is drawn about a place and never cut there; where words are anchored."""

Attributes = dict[str, str]


def lean_pictures(page: str) -> tuple[str, str]:
    """The page with its pictures so, and the rules that its sheet needs for them.

    What has a class or an id keeps its own paint: a sheet or a script may know it by that.

    >>> dot = '<line x1="0.00%" x2="12.50%" y1="8.0" y2="8.0" stroke-width="1.5" stroke="var(--ink)"/>'
    >>> page, rules = lean_pictures(dot * 9)
    >>> page == '<line x2="12.5%" y1="8" y2="8" class="v1"/>' * 9
    True
    >>> rules.splitlines()[len(ALWAYS):]
    ['.v1{stroke:var(--ink);stroke-width:1.5}']
    """
    kept = [_kept(found) for found in _TAG.finditer(page)]
    times = Counter(paint for each in kept if (paint := _paint(each)))
    often = (paint for paint, many in times.most_common() if _saves(paint, many))
    classes = {paint: f"v{n}" for n, paint in enumerate(often, start=1)}
    own = iter(kept)

    def written(found: re.Match[str]) -> str:
        told = _classed(next(own), classes)
        said = "".join(f' {key}="{value}"' for key, value in told.items())
        return f"<{found[1]}{said}{found[3].strip()}>"

    rules = [f".{name}{{{paint}}}" for paint, name in classes.items()]
    return _TAG.sub(written, page), "\n".join([*ALWAYS, *rules]) + "\n"


def _kept(found: re.Match[str]) -> Attributes:
    """The attributes of an element that say something, places in as few digits as tell them."""
    told = {}
    for key, value in _ATTRIBUTE.findall(found[2]):
        short = _short(value) if key in PLACES else value
        nothing = key in FROM_ZERO and short in ("0", "0%")
        inner = key == "overflow" and value == "visible" and found[1] == "svg"
        if not (nothing or inner or (key, value) in SAID_ANYWAY):
            told[key] = stepwise(short) if key == "d" else short
    return told


def _classed(told: Attributes, classes: Mapping[str, str]) -> Attributes:
    """The attributes with a class for what the sheet says of paint and of where words are anchored."""
    name, side = classes.get(_paint(told)), told.get("text-anchor", "")
    gone = {*(PAINT if name else ()), *(("text-anchor",) if side in ANCHORS else ())}
    names = [told.get("class"), name, ANCHORS.get(side)]
    rest = {key: value for key, value in told.items() if key not in gone}
    return rest | ({"class": " ".join(filter(None, names))} if any(names) else {})


def _short(value: str) -> str:
    r"""Numbers without zeros at their ends.

    >>> _short("100.00%"), _short("M0.0 217.20L1 20"), _short("translate(79.0 10.5) scale(0.950)")
    ('100%', 'M0 217.2L1 20', 'translate(79 10.5) scale(0.95)')
    """
    return _END.sub(lambda found: "" if found[1] == "." else found[1], value)


def stepwise(d: str) -> str:
    """A line through many places told by the steps between them, where every place has one decimal at most.

    Steps are taken in whole tenths, so that each place is the very same.

    >>> stepwise("M10 20.5L11.8 19.8L12 19.8L12 30Z")
    'M10 20.5l1.8-.7.2 0 0 10.2z'
    >>> stepwise("M0 0a6 6 0 1 0 1 1Z"), stepwise("M0 0L1.25 1L2 2")
    ('M0 0a6 6 0 1 0 1 1Z', 'M0 0L1.25 1L2 2')
    """
    if not _LINE.fullmatch(d):
        return d
    tenths = [round(10 * float(each)) for each in _NUMBER.findall(d)]
    steps = [end - start for start, end in zip(tenths, tenths[2:], strict=False)]
    begun, told = f"M{_tenths(tenths[0])} {_tenths(tenths[1])}", ["l", *map(_tenths, steps)]
    line = "".join(_apart(before, each) for before, each in pairwise(told))
    return f"{begun}l{line}{'z' if d.endswith('Z') else ''}"


def _tenths(many: int) -> str:
    """So many tenths, in as few signs as can be."""
    whole, tenth = divmod(abs(many), 10)
    told = f"{whole or ''}.{tenth}" if tenth else str(whole)
    return f"-{told}" if many < 0 else told


def _apart(before: str, each: str) -> str:
    """A number as it follows another: a sign, or a second point, parts them by itself."""
    joins = before == "l" or each.startswith("-") or (each.startswith(".") and "." in before)
    return each if joins else f" {each}"


def _paint(told: Attributes) -> str:
    """What an element is painted with, as a sheet writes it; "" where its own names may decide that."""
    if "class" in told or "id" in told:
        return ""
    return ";".join(f"{key}:{told[key]}" for key in PAINT if key in told)


def _saves(paint: str, many: int) -> bool:
    """Whether the page becomes smaller by a class: each attribute has two quotes and a space more."""
    own = len(paint) + 2 * (paint.count(";") + 1)
    return many * (own - len(' class="v10"')) > len(paint) + len(".v10{}\n")
