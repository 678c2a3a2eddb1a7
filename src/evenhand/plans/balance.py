"""Orders in which setups take turns, so that no drift of room, clock or operator favours one of them."""

from __future__ import annotations


def balanced_orders(setups: int) -> tuple[tuple[int, ...], ...]:
    """Orders of `setups` things, each followed at once by its mirror image.

    Over all orders every setup stands in every place equally often and follows every other equally often
    (Williams 1949: one square for an even number, two mirrored ones for an odd number). An order and its
    mirror together give all setups the same mean place: a straight drift over the two falls out of every
    difference. For two setups this is A B, B A.

    >>> balanced_orders(2)
    ((0, 1), (1, 0))
    >>> balanced_orders(3)[:2]
    ((0, 1, 2), (2, 1, 0))
    """
    if setups < 2:
        return ((0,) * setups,) * 2
    first = _zigzag(setups)
    square = [tuple((place + shift) % setups for place in first) for shift in range(setups)]
    kept = square[: setups // 2] if setups % 2 == 0 else square
    return tuple(order for row in kept for order in (row, row[::-1]))


def _zigzag(setups: int) -> tuple[int, ...]:
    """0, 1, k−1, 2, k−2, …: neighbours differ by every amount once."""
    return tuple((place + 1) // 2 if place % 2 else -(place // 2) % setups for place in range(setups))


def order_of(setups: int, *, block: int, shift: int = 0, flip: int = 0) -> tuple[int, ...]:
    """The order in which setups take their turn in a block, blocks counted from 0.

    Blocks 0 and 1, 2 and 3, … mirror each other. `shift` and `flip` let tests of one block begin at different
    orders, so that within the block, too, no setup is always first.

    >>> [order_of(2, block=block) for block in range(4)]
    [(0, 1), (1, 0), (0, 1), (1, 0)]
    >>> order_of(2, block=0, flip=1)
    (1, 0)
    """
    orders = balanced_orders(setups)
    pairs = len(orders) // 2
    return orders[2 * ((block // 2 + shift) % pairs) + (block + flip) % 2]
