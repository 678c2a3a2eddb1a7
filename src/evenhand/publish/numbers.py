"""Rounding, and words for numbers. Nothing is rounded anywhere else.

Digits follow the interval: a number shows no digit that its own uncertainty makes meaningless.
"""

from __future__ import annotations

import math

MINUS = "−"
NO_BREAK = "\u00a0"
MOST_DECIMALS = 6
POWERS_FROM = 1e12  # from here on nobody reads digits: they are counted
POWERS_BELOW = 1e-5  # of which six decimals would leave one digit or none
POWER_DIGITS = 3  # after the point, where nothing says how many are meant
WORDS = (
    "none",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)


def number(value: float, decimals: int = 0, *, signed: bool = False) -> str:
    """A number in digits: true minus, thousands by comma, never a minus before zero.

    From a million million on, and where more decimals are meant than can be read, it is told by a power of
    ten. Negative `decimals` say how many digits before the point mean nothing: only such large numbers lose
    them.

    >>> number(-14.68, 1), number(10.68, 1, signed=True), number(-0.04, 1), number(12400)
    ('−14.7', '+10.7', '0.0', '12,400')
    >>> number(1.18e300), number(-1.1823e17, -15), number(3.1e-8, 9), number(3.1e-8, 6)
    ('1.180×10^300', '−1.18×10^17', '3.1×10^−8', '0.000000')
    """
    if _by_power(value, decimals):
        digits = _power(abs(value), decimals)
    else:
        digits = f"{abs(value):,.{min(max(decimals, 0), MOST_DECIMALS)}f}"
    if not any(c in "123456789" for c in digits):
        return digits
    sign = MINUS if value < 0 else "+" if signed else ""
    return sign + digits


def tenths(share: float) -> str:
    """A share in per cent, to the tenth of a point where it has one.

    >>> tenths(0.5684).replace("\u00a0", " "), tenths(0.2).replace("\u00a0", " ")
    ('56.8 %', '20 %')
    """
    return with_unit(number(100 * share, 1).removesuffix(".0"), "%")


def _by_power(value: float, decimals: int) -> bool:
    size = abs(value)
    if not math.isfinite(size):
        return False
    return size >= POWERS_FROM or (decimals > MOST_DECIMALS and 0 < size < POWERS_BELOW)


def _power(size: float, decimals: int) -> str:
    told = POWER_DIGITS if 0 <= decimals <= MOST_DECIMALS else decimals + math.floor(math.log10(size))
    digits, power = f"{size:.{min(max(told, 0), 15)}e}".split("e")
    return f"{digits}×10^{int(power)}".replace("-", MINUS)


def as_written(value: float) -> str:
    """A number with every digit that its author gave it, up to twelve.

    >>> as_written(12.01), as_written(-3.0), as_written(1.1e16)
    ('12.01', '−3', '1.1×10^16')
    """
    digits, _, power = f"{value:.12g}".partition("e")
    return (f"{digits}×10^{int(power)}" if power else digits).replace("-", MINUS)


def with_unit(digits: str, unit: str) -> str:
    r"""Digits and unit, held together by a no-break space; a unit of "" or "1" is not said.

    >>> with_unit("88.0", "fps")
    '88.0\xa0fps'
    """
    return f"{digits}{NO_BREAK}{unit}" if unit not in ("", "1") else digits


def count_word(n: int) -> str:
    """A count in words up to twelve, in digits beyond.

    >>> count_word(4), count_word(20)
    ('four', '20')
    """
    return WORDS[n] if 0 < n < len(WORDS) else "no" if n == 0 else number(n)


def capital(words: str) -> str:
    """The words with a capital at their beginning."""
    return words[:1].upper() + words[1:]


def counted(n: int, thing: str, things: str = "") -> str:
    """A count and its noun.

    >>> counted(1, "test"), counted(9, "test"), counted(2, "run of each", "runs of each")
    ('one test', 'nine tests', 'two runs of each')
    """
    return f"{count_word(n)} {thing if n == 1 else things or thing + 's'}"


def how_many_tests(n: int, tests: int) -> str:
    """So many of so many tests.

    >>> how_many_tests(1, 1), how_many_tests(2, 2), how_many_tests(12, 12), how_many_tests(2, 3)
    ('the one test', 'both tests', 'all twelve tests', 'two of three tests')
    """
    if n == tests:
        return "the one test" if n == 1 else "both tests" if n == 2 else f"all {count_word(n)} tests"
    return f"{count_word(n)} of {count_word(tests)} tests"


def listed(things: tuple[str, ...], last: str = "and") -> str:
    """Things in a row, as one says them.

    >>> listed(("a",)), listed(("a", "b")), listed(("a", "b", "c"))
    ('a', 'a and b', 'a, b and c')
    """
    return (
        things[0] if len(things) == 1 else f"{', '.join(things[:-1])} {last} {things[-1]}" if things else ""
    )


def decimals_for(uncertainty: float) -> int:
    """How many decimals a number may show, given half the width of its interval.

    The rule of the Particle Data Group (Review of Particle Physics 2022, §5.3): two digits of the
    uncertainty where its three leading digits lie in 100–354, one in 355–949, and two after
    rounding up to 1000 beyond.

    Negative where digits before the point mean nothing either, which `number` shows all the same as long as
    they can be read.

    >>> decimals_for(1.8), decimals_for(0.04), decimals_for(7.6), decimals_for(41), decimals_for(2e15)
    (1, 2, 0, -1, -14)
    """
    if not math.isfinite(uncertainty) or uncertainty <= 0:
        return 0
    power = math.floor(math.log10(uncertainty))
    leading = round(uncertainty / 10.0 ** (power - 2))
    if leading >= 950:
        return -power
    return 1 - power if leading < 355 else -power


def resolution(value: float, digits: int = 4) -> float:
    """The smallest step that such a number shows.

    >>> resolution(143.9), resolution(12400), resolution(1.18e17)
    (0.1, 1.0, 100000000000000.0)
    """
    decimals = decimals_alone(value, digits)
    return 10.0 ** -(decimals if _by_power(value, decimals) else min(max(decimals, 0), MOST_DECIMALS))


def decimals_alone(value: float, digits: int = 3) -> int:
    """Decimals for a number without an interval: three digits in all, or as many as asked.

    >>> decimals_alone(165.2), decimals_alone(88.0), decimals_alone(143.9, 4)
    (0, 1, 1)
    """
    if value == 0 or not math.isfinite(value):
        return 0
    return digits - 1 - math.floor(math.log10(abs(value)))


def run_words(value: float, unit: str) -> str:
    r"""One run's number: four digits, enough to tell it from its siblings; a count is whole.

    >>> run_words(143.87, "fps"), run_words(3.104, "jobs/h"), run_words(372.0, "1")
    ('143.9\xa0fps', '3.104\xa0jobs/h', '372')
    """
    if unit == "1" and float(value).is_integer():
        return number(value)
    return with_unit(number(value, decimals_alone(value, 4)), unit)


def margin_words(margin: float) -> str:
    r"""The smallest difference that matters, as the posts are named.

    >>> margin_words(0.03), margin_words(0.025)
    ('±3\xa0%', '±2.5\xa0%')
    """
    return with_unit(f"±{100 * margin:.4g}", "%")


def level_words(level: float) -> str:
    r"""A confidence level.

    >>> level_words(0.95)
    '95\xa0%'
    """
    return with_unit(f"{100 * level:.4g}", "%")
