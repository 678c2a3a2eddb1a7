"""What the loads have to give is right by other ways of reckoning, and any bit that is flipped shows."""

from __future__ import annotations

import hashlib
import hmac
import importlib

import numpy as np
import pytest
from validation.flipped_bits import missed_in_one_process

from evenhand.errors import NotFound
from evenhand.rig.loads import integers, patterns, products
from evenhand.rig.loads.arrays import SPAN, bits_of, whole_numbers
from evenhand.rig.loads.known import LOADS, load_named
from evenhand.rig.loads.memory import MIB, free_mib, size_for
from evenhand.rig.loads.worker import Fault, Flipping

SMALL = 4 * MIB


@pytest.mark.parametrize("name", ["integers", "patterns", "products"])
def test_this_machine_gives_what_the_program_knows(name: str) -> None:
    load = load_named(name)
    work = importlib.import_module(load.module).begin(SMALL)
    assert len(load.answers) == len(set(load.answers)) == load.cases
    assert work(load.cases - 1, Flipping(None)) == load.answers[-1]


@pytest.mark.parametrize("name", list(LOADS))
def test_a_round_shows_what_it_has_as_often_as_is_said(name: str) -> None:
    """So that a flip at any stage that a test may name comes to pass."""
    load, shown = load_named(name), []
    importlib.import_module(load.module).begin(SMALL)(0, lambda view: shown.append(len(view)))
    assert len(shown) >= load.stages
    assert all(shown)


@pytest.mark.parametrize("name", list(LOADS))
def test_a_flipped_bit_changes_the_answer_wherever_it_is(name: str) -> None:
    assert missed_in_one_process(load_named(name), 3, np.random.default_rng(2), SMALL) == []


@pytest.mark.parametrize(("place", "bit"), [(0.0, 0), (1.0, 7)])
def test_the_first_and_the_last_bit_count_as_any(place: float, bit: int) -> None:
    """The lowest bit of a double is the one that rounding would lose first."""
    work = importlib.import_module("evenhand.rig.loads.products").begin(SMALL)
    for stage in (0, 23):
        flipping = Flipping(Fault(worker=0, round=0, stage=stage, place=place, bit=bit))
        flipping.begin(0)
        assert work(1, flipping) != load_named("products").answers[1]


def test_a_chain_of_hashes_is_the_one_of_the_standard() -> None:
    """PBKDF2 with HMAC by its definition (RFC 8018): the exclusive or of all links."""
    state = hashlib.sha256(b"integers 0").digest()
    link = hmac.digest(state, b"link" + (1).to_bytes(4, "big"), "sha256")
    found = int.from_bytes(link, "big")
    for _ in range(integers.TURNS - 1):
        link = hmac.digest(state, link, "sha256")
        found ^= int.from_bytes(link, "big")
    shown: list[bytes] = []
    integers.digest(0, lambda view: shown.append(bytes(view)))
    assert shown[0] == found.to_bytes(32, "big")
    assert shown[1] == integers.product_of(shown[0])


def test_products_are_exact_whatever_the_order_of_adding() -> None:
    side = products.SIDE
    fixed, moving = (whole_numbers(f"products {case}", side * side).reshape(side, side) for case in range(2))
    shown: list[bytes] = []
    products.begin(0)(0, lambda view: shown.append(bytes(view)))
    first = np.frombuffer(shown[0], dtype="<f8").reshape(side, side)
    for row, column in ((0, 0), (17, 400), (side - 1, side - 1)):
        terms = zip(fixed[row].tolist(), moving[:, column].tolist(), strict=True)
        assert int(first[row, column]) == sum(int(one) * int(other) for one, other in terms)
    assert side * SPAN * SPAN < 2**53
    left = products.left_over(first)
    assert (np.abs(left) <= SPAN / 2).all()
    assert ((first - left) % SPAN == 0).all()


def test_the_sum_of_bits_shows_one_bit_of_any_word() -> None:
    array = whole_numbers("any", 64)
    before = bits_of(array)
    for word in (0, 31, 63):
        for bit in (0, 52, 63):
            other = array.copy()
            other.view("<u8")[word] ^= np.uint64(1) << np.uint64(bit)
            assert bits_of(other) != before


def test_a_fault_before_memory_is_moved_is_seen_where_the_move_would_cover_it() -> None:
    held, wanted = bytearray(3 * patterns.BLOCK), patterns.pattern(6)
    calls = []

    def touch(view: memoryview) -> None:
        calls.append(1)
        view[5] ^= 1  # in the first block, which the move writes over

    other = patterns.gone_over(held, wanted, touch)
    assert other is not None
    assert len(calls) == 1
    assert patterns.gone_over(held, wanted, lambda _: None) is None


def test_a_block_is_of_a_prime_length() -> None:
    assert all(patterns.BLOCK % each for each in range(2, int(patterns.BLOCK**0.5) + 1))


def test_memory_is_a_share_of_what_is_free_and_has_a_cap() -> None:
    assert size_for(2, 0.5, free=1000.0) == 250 * MIB
    assert size_for(1, 0.9, free=1e6) == 2048 * MIB
    assert size_for(64, 0.5, free=100.0) == 16 * MIB
    assert (free_mib() or 1.0) > 0


def test_a_load_that_is_not_there_is_told_with_the_nearest() -> None:
    with pytest.raises(NotFound, match="no load is called 'integer'") as told:
        load_named("integer")
    assert "did you mean 'integers'?" in told.value.todo
