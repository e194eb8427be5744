"""Random points that fill a square more evenly than chance, each found by its number alone.

Every pair of coordinates is a (0, 2)-sequence: of its first ``2^m`` points each of the ``2^m``
equal boxes of any shape ``2^-a x 2^(a-m)`` holds exactly one. A key shuffles the order and
scrambles both coordinates by nested permutations [BURLEY2020], so that single points are uniform,
pairs of coordinates are independent of one another, and sets with different keys are independent
answers whose scatter is an honest standard error. Nothing depends on what was drawn before.
"""

import numpy as np

from lamphouse.light.compiled import compiled

WORD = np.uint64(0xFFFFFFFF)
HALF, ONE = np.uint64(32), np.uint64(1)
TO_UNIT = 2.0**-32


@compiled
def mixed(state: np.uint64) -> np.uint64:
    """Mix the bits of a number so that neighbours become unrelated (the splitmix64 finaliser)."""
    state = state + np.uint64(0x9E3779B97F4A7C15)
    state = (state ^ (state >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
    state = (state ^ (state >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    return state ^ (state >> np.uint64(31))


@compiled
def key_of(seed: int, patch: int, batch: int) -> np.uint64:
    """Give the key of one batch of walks from one patch."""
    return mixed(mixed(mixed(np.uint64(seed)) ^ np.uint64(patch)) ^ np.uint64(batch))


@compiled
def _reversed(word: np.uint64) -> np.uint64:
    """Turn 32 bits end for end."""
    word = ((word & np.uint64(0x55555555)) << np.uint64(1)) | (
        (word >> np.uint64(1)) & np.uint64(0x55555555)
    )
    word = ((word & np.uint64(0x33333333)) << np.uint64(2)) | (
        (word >> np.uint64(2)) & np.uint64(0x33333333)
    )
    word = ((word & np.uint64(0x0F0F0F0F)) << np.uint64(4)) | (
        (word >> np.uint64(4)) & np.uint64(0x0F0F0F0F)
    )
    word = ((word & np.uint64(0x00FF00FF)) << np.uint64(8)) | (
        (word >> np.uint64(8)) & np.uint64(0x00FF00FF)
    )
    return ((word << np.uint64(16)) | (word >> np.uint64(16))) & WORD


@compiled
def _permuted(word: np.uint64, key: np.uint64) -> np.uint64:
    """Permute 32 bits so that each depends on itself and the lower ones only."""
    word = (word + key) & WORD
    word ^= (word * np.uint64(0x6C50B47C)) & WORD
    word ^= (word * np.uint64(0xB82F1E52)) & WORD
    word ^= (word * np.uint64(0xC7AFE638)) & WORD
    word ^= (word * np.uint64(0x8D22F6E6)) & WORD
    return word


@compiled
def _pascal(word: np.uint64) -> np.uint64:
    """Multiply 32 bits by Pascal's triangle modulo 2, which makes the second coordinate."""
    word ^= (word & np.uint64(0xAAAAAAAA)) >> np.uint64(1)
    word ^= (word & np.uint64(0xCCCCCCCC)) >> np.uint64(2)
    word ^= (word & np.uint64(0xF0F0F0F0)) >> np.uint64(4)
    word ^= (word & np.uint64(0xFF00FF00)) >> np.uint64(8)
    word ^= (word & np.uint64(0xFFFF0000)) >> np.uint64(16)
    return word


@compiled
def even_pair(key: np.uint64, number: int, pair: int) -> tuple[float, float]:
    """Give point ``number`` of the evenly filled square of a pair of coordinates.

    Parameters
    ----------
    key
        Names the stream.
    number
        Number of the point, below 2^32.
    pair
        Which two coordinates.

    Returns
    -------
    tuple[float, float]
        Two numbers between 0 and 1, never either.
    """
    order = mixed(key ^ np.uint64(pair))
    scramble = mixed(order)
    shuffled = _reversed(_permuted(_reversed(np.uint64(number)), order & WORD))
    first = _reversed(_permuted(shuffled, scramble & WORD))
    second = _reversed(_permuted(_pascal(shuffled), scramble >> HALF))
    return (float(first) + 0.5) * TO_UNIT, (float(second) + 0.5) * TO_UNIT


@compiled
def plain_pair(key: np.uint64, number: int, pair: int) -> tuple[float, float]:
    """Give two plain random numbers, for coordinates where evenness no longer pays."""
    word = mixed(mixed(key ^ np.uint64(number)) ^ np.uint64(pair))
    return (float(word & WORD) + 0.5) * TO_UNIT, (float(word >> HALF) + 0.5) * TO_UNIT
