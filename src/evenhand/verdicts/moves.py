"""What may be changed about a case: one price, one weight, one title, one run, one definition, the margin."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Lever(StrEnum):
    """What is moved."""

    PRICE = "price"
    WEIGHT = "weight"
    TITLE = "title"
    RUN = "run"
    METRIC = "metric"
    MARGIN = "margin"


class Aspect(StrEnum):
    """What of a verdict turns: who is in front, what is called, or where the money is better spent."""

    ORDER = "order"
    OUTCOME = "outcome"
    VALUE = "value"


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """One change: of a setup's price (minor units), a named weight or the margin (shares), or of what counts.

    `name` is the setup, the weight, the test or the run; `size` says how large a change it is, 0 to 1: of a
    price relative to it, of a weight its points, of the margin relative to it, of a title, run or definition
    the weight that it touches. Sizes of one lever compare; those of different levers only roughly.
    """

    lever: Lever
    name: str
    size: float
    before: float | None = None
    after: float | None = None
    metric: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Flip:
    """The smallest change of its kind that turns an aspect of a over b: what it `was` and what it `becomes`.

    Both are codes of `standing`. `ratio` is that of a over b after the change. `share` is 1 for one move; for
    two moves together, how far each need go of what it would need alone (or of all it can). `was_open` and
    `becomes_open` say of a level value, before and after, that it is not shown to be level within the margin,
    as `Verdict.value_open`.
    """

    a: str
    b: str
    aspect: Aspect
    moves: tuple[Move, ...]
    was: int
    becomes: int
    ratio: float
    share: float = 1.0
    was_open: bool = False
    becomes_open: bool = False

    @property
    def size(self) -> float:
        """The larger of its moves."""
        return max(move.size for move in self.moves)


@dataclass(frozen=True, slots=True, kw_only=True)
class Steps:
    """How finely, and how far, prices, weights and the margin are moved.

    Prices by `price_minor` up to `price_most` of themselves; by about `price_of_two` of themselves where two
    move together that the audience weighs; weights by `weight` from 0 to 1, by `weight_of_two` where another
    change goes with them; the margin by `margin` up to `margin_most`.
    """

    price_minor: int = 1
    price_most: float = 0.5
    price_of_two: float = 0.001
    weight: float = 0.001
    weight_of_two: float = 0.01
    margin: float = 0.001
    margin_most: float = 0.2
