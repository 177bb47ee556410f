"""Terms as bit masks in arrays: one bit for each branch whose resistance is in the product.

Writing the answer of a large network down this way costs little more than the memory it takes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..graph.forests import bits

Masks = NDArray[np.uint64]  # one row for every 64 branches, one column for every term
WORD = (1 << 64) - 1


class MaskTerms:
    """Sums of products as masks of the branches left out of the trees; meets `forests.Terms`.

    `places`: the bit that each branch of the block has in the masks; `branches`: how many bits there are.
    """

    def __init__(self, places: Sequence[int], branches: int) -> None:
        self.words = words(branches)
        self.places = None if list(places) == list(range(len(places))) else places

    def chosen(self, met: int, kept: Sequence[int]) -> Masks:
        """One term for each set kept: the branches met but not kept."""
        left_out = [met & ~way for way in kept]
        if self.places is not None:
            left_out = [sum(1 << self.places[i] for i in bits(out)) for out in left_out]
        return array_of(left_out, self.words)

    def total(self, products: Sequence[tuple[Masks, Masks]]) -> Masks:
        """All terms of all products, each written once to its place."""
        sizes = [(one.shape[1], other.shape[1]) for one, other in products]
        found = np.empty((self.words, sum(m * n for m, n in sizes)), dtype=np.uint64)
        at = 0
        for (one, other), (m, n) in zip(products, sizes, strict=True):
            for row in range(self.words):
                into = found[row, at : at + m * n].reshape(m, n)
                np.bitwise_or(one[row, :, None], other[row], out=into)
            at += m * n
        return found


@dataclass(frozen=True, slots=True)
class SignedTerms:
    """A sum of products of resistances: those counted positive and those counted negative."""

    plus: Masks
    minus: Masks

    def __len__(self) -> int:
        return int(self.plus.shape[1] + self.minus.shape[1])

    def __neg__(self) -> SignedTerms:
        return SignedTerms(self.minus, self.plus)

    def __iter__(self) -> Iterator[tuple[int, int]]:
        """Each term as its sign and its mask, a whole number with one bit for each branch."""
        for sign, masks in ((1, self.plus), (-1, self.minus)):
            for column in masks.T.tolist():
                yield sign, sum(word << 64 * i for i, word in enumerate(column))


def words(branches: int) -> int:
    """How many 64-bit words a mask of so many branches takes."""
    return max(1, (branches + 63) // 64)


def array_of(masks: Sequence[int], rows: int) -> Masks:
    """Whole numbers (one mask each) as an array with a column for each mask and `rows` rows, the words of
    64 bits that make it up."""
    if rows == 1:
        return np.array([masks], dtype=np.uint64)
    return np.array([[mask >> 64 * row & WORD for mask in masks] for row in range(rows)], dtype=np.uint64)


def joined(values: Sequence[Masks], rows: int) -> Masks:
    """All the terms of several arrays."""
    if len(values) == 1:
        return values[0]
    return np.concatenate(values, axis=1) if values else np.empty((rows, 0), dtype=np.uint64)


def added(sums: Sequence[SignedTerms], rows: int) -> SignedTerms:
    """The sum of several sums; terms that cancel are left out."""
    plus = joined([s.plus for s in sums], rows)
    minus = joined([s.minus for s in sums], rows)
    terms, place = np.unique(np.concatenate((plus, minus), axis=1), axis=1, return_inverse=True)
    signs = np.repeat(np.array([1, -1]), [plus.shape[1], minus.shape[1]])
    count = np.zeros(terms.shape[1], dtype=np.int64)
    np.add.at(count, place.reshape(-1), signs)
    return SignedTerms(
        np.repeat(terms, np.maximum(count, 0), axis=1), np.repeat(terms, np.maximum(-count, 0), axis=1)
    )
