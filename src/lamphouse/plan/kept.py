"""Results kept between runs: a step whose inputs have not changed is not run again."""

from collections.abc import Callable, Hashable
from typing import ParamSpec, TypeVar, cast

P = ParamSpec("P")
R = TypeVar("R")


class _Inputs:
    """A step with its inputs; hashed once, since a design's records are many."""

    __slots__ = ("_hash", "_inputs")

    def __init__(self, inputs: Hashable) -> None:
        self._inputs, self._hash = inputs, hash(inputs)

    def __hash__(self) -> int:
        return self._hash

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Inputs) and self._inputs == other._inputs


class Kept:
    """Results by step and inputs, holding only what the latest run used.

    Inputs are compared by content. Lines of the maker's file are no part of it, so a comment added
    above an item does not run its steps again.
    """

    def __init__(self) -> None:
        self._latest: dict[Hashable, object] = {}
        self._running: dict[Hashable, object] = {}
        self.computed = 0
        """Steps that had to be run, over the life of this object."""

    def step(self, function: Callable[P, R], *args: P.args, **kwargs: P.kwargs) -> R:
        """Give the step's result, computing it only when its inputs are new."""
        key = _Inputs((function, args, tuple(sorted(kwargs.items()))))
        for results in (self._running, self._latest):
            if key in results:
                self._running[key] = results[key]
                return cast("R", results[key])
        result = function(*args, **kwargs)
        self.computed += 1
        self._running[key] = result
        return result

    def close_run(self) -> None:
        """End a run: what it did not use is forgotten."""
        self._latest, self._running = self._running, {}


class Unkept(Kept):
    """For one run alone: inputs that never come again need not be compared."""

    def step(self, function: Callable[P, R], *args: P.args, **kwargs: P.kwargs) -> R:
        """Compute the step's result."""
        self.computed += 1
        return function(*args, **kwargs)
