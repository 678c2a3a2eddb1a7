"""How triage writes figures into its sentences: no-break space before units, a true minus, few digits."""

from __future__ import annotations

from collections.abc import Sequence

NO_BREAK = "\u00a0"
_TIMES = 3.0  # past it a percentage says less than a multiple
_MOST_SPELLED = 1e12  # what is larger is absurd: its power of ten tells that, a row of digits hides it
_LEAST_P = 0.0001  # a smaller one rests on tails that no test of ours knows


def amount(value: float, digits: int, unit: str) -> str:
    r"""A figure and its unit that stay on one line.

    >>> amount(-1234.56, 1, "ms"), amount(1e300, 3, "s")
    ('−1,234.6\xa0ms', '1.0e+300\xa0s')
    >>> amount(-0.3, 0, "rpm")
    '0\xa0rpm'
    """
    said = f"{value:,.{digits}f}" if abs(value) < _MOST_SPELLED else f"{value:.1e}"
    if not said.strip("-0.,"):
        said = said.removeprefix("-")  # nothing is not below nothing
    return said.replace("-", "−") + NO_BREAK + unit


def span(low: float, high: float, digits: int, unit: str) -> str:
    r"""A range in words, or one figure where both ends read the same.

    >>> span(22, 26, 1, "°C"), span(22, 22.01, 1, "°C")
    ('22.0 to 26.0\xa0°C', '22.0\xa0°C')
    """
    first, last = amount(low, digits, unit), amount(high, digits, unit)
    return last if first == last else f"{first.removesuffix(NO_BREAK + unit)} to {last}"


def count(number: int, one: str, many: str = "") -> str:
    r"""A number of things.

    >>> count(1, "frame"), count(1200, "frame")
    ('1\xa0frame', '1,200\xa0frames')
    """
    return f"{number:,}{NO_BREAK}{one if number == 1 else many or one + 's'}"


def share(value: float, digits: int = 1) -> str:
    r"""A share as a percentage.

    >>> share(0.305)
    '30.5\xa0%'
    """
    return amount(100 * value, digits, "%")


def change(ratio: float, digits: int = 1) -> str:
    r"""A ratio as a signed percentage.

    >>> change(1.095), change(0.863)
    ('+9.5\xa0%', '−13.7\xa0%')
    """
    percent = round(100 * (ratio - 1), digits)
    sign = "+" if percent >= 0 else "−"
    return f"{sign}{abs(percent):.{digits}f}{NO_BREAK}%"


def compared(ratio: float) -> str:
    r"""A ratio of lengths as a signed percentage, or past three times as so many times.

    >>> compared(0.863), compared(4082.6), compared(0.1)
    ('−13.7\xa0%', '4,083 times as long', '10 times shorter')
    """
    if 1 / _TIMES <= ratio <= _TIMES:
        return change(ratio)
    times = max(ratio, 1 / ratio)
    return f"{times:,.{0 if times >= 9.95 else 1}f} times {'as long' if ratio > 1 else 'shorter'}"


def longer(ratio: float) -> str:
    r"""By how much something takes longer than something else, as a percentage, or so many times as long.

    >>> longer(1.628), longer(11.93)
    ('62.8\xa0% longer than', '12 times as long as')
    """
    return f"{compared(ratio)} as" if ratio > _TIMES else f"{share(ratio - 1)} longer than"


def rate(fps: float) -> str:
    r"""A rate with four significant digits at most.

    >>> rate(143.913), rate(59.9982), rate(3.1)
    ('143.9\xa0fps', '60.00\xa0fps', '3.100\xa0fps')
    """
    digits = 1 if fps >= 100 else 2 if fps >= 10 else 3
    return amount(fps, digits, "fps")


def chance(p: float) -> str:
    r"""A probability by chance alone, two digits of it; what is smaller than one in ten thousand says so.

    >>> chance(0.000641), chance(9.3e-08)
    ('p\xa0=\xa00.00064', 'p\xa0<\xa00.0001')
    """
    said = f"<{NO_BREAK}{_LEAST_P}" if p < _LEAST_P else f"={NO_BREAK}{p:.2g}"
    return f"p{NO_BREAK}{said}"


def at_least(sign: str, value: float) -> str:
    r"""A share of 1 that is reached or passed, to two digits; what reads 1.00 is no further passed.

    >>> at_least("r", 0.914), at_least("r", 0.9996)
    ('r\xa0≥\xa00.91', 'r\xa0=\xa01.00')
    """
    said = f"{value:.2f}"
    return f"{sign}{NO_BREAK}{'=' if said == '1.00' else '≥'}{NO_BREAK}{said}"


def at_most(sign: str, value: float) -> str:
    r"""A correlation that is not passed, to two digits.

    >>> at_most("r", -0.486)
    'r\xa0≤\xa0−0.49'
    """
    return f"{sign}{NO_BREAK}≤{NO_BREAK}{value:.2f}".replace("-", "−")


def lasting(seconds: float) -> str:
    r"""How long something lasts: milliseconds below one second.

    >>> lasting(59.96), lasting(0.0333)
    ('60.0\xa0s', '33.3\xa0ms')
    """
    return amount(seconds, 1, "s") if abs(seconds) >= 1 else amount(1000 * seconds, 1, "ms")


def moment(seconds: float) -> str:
    r"""A time within a run: seconds for the first two minutes, minutes after that.

    >>> moment(48.25), moment(541.0)
    ('48.2\xa0s', 'minute 9.0')
    """
    return amount(seconds, 1, "s") if seconds < 120 else f"minute {seconds / 60:.1f}"


def listing(words: Sequence[str]) -> str:
    """Names in a row.

    >>> listing(["a"]), listing(["a", "b"]), listing(["a", "b", "c"])
    ('a', 'a and b', 'a, b and c')
    """
    if len(words) < 2:
        return "".join(words)
    return ", ".join(words[:-1]) + " and " + words[-1]
