"""The one door to the compiler: turns plain functions on numbers and arrays into machine code.

The compiler is an optional extra of the package; only the second opinion on a box needs it. Modules
that import this one are themselves imported inside functions.
"""

from collections.abc import Callable
from typing import Any, TypeVar, cast

from numba import njit

Compiled = TypeVar("Compiled", bound=Callable[..., object])

OPTIONS: dict[str, Any] = {
    "cache": True,  # the machine code is kept beside the source
    "nogil": True,  # other threads run meanwhile
    "error_model": "numpy",  # division by zero gives infinities
    "_nrt": False,  # nobody counts who holds an array, which trebles the speed
}


def compiled(function: Compiled) -> Compiled:
    """Compile a function at its first call; it may fill arrays but make none."""
    return cast("Compiled", njit(**OPTIONS)(function))
