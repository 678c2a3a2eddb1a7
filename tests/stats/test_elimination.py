"""Exact elimination: spans and what hangs together, where floats would have to guess."""

from hypothesis import given
from hypothesis import strategies as st

from evenhand.stats.elimination import components, extended, residue

whole = st.integers(-3, 3)
matrices = st.integers(1, 5).flatmap(
    lambda width: st.lists(st.tuples(*[whole] * width), min_size=1, max_size=6)
)


@given(matrices, st.data())
def test_every_combination_of_vectors_lies_in_their_span(vectors, data):
    factors = data.draw(st.lists(whole, min_size=len(vectors), max_size=len(vectors)))
    combined = [sum(f * v[i] for f, v in zip(factors, vectors, strict=True)) for i in range(len(vectors[0]))]
    assert not any(residue(combined, extended((), vectors)))


def test_a_vector_a_hair_outside_a_span_of_huge_numbers_is_outside():
    huge = 10**30
    basis = extended((), [(huge, huge, 0)])
    assert not any(residue((1, 1, 0), basis))
    assert any(residue((huge, huge + 1, 0), basis))


@given(matrices)
def test_the_basis_grows_only_by_what_is_new(vectors):
    basis = extended((), vectors)
    assert extended(basis, vectors) == basis
    assert len(basis) <= min(len(vectors), len(vectors[0]))


def test_what_hangs_together_does_not_depend_on_the_order():
    vectors = [(1, 0, 0), (0, 1, 0), (1, 1, 0), (0, 0, 1), (0, 0, 2)]
    assert components(vectors) == ((0, 1, 2), (3, 4))
    assert components(vectors[::-1]) == ((0, 1), (2, 3, 4))
