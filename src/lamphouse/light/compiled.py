"""The one door to the compiler: turns plain functions on numbers and arrays into machine code.

The compiler is an optional extra of the package; only the second opinion on a box needs it. Modules
that import this one are themselves imported inside functions.
"""

from collections.abc import Callable
from typing import TypeVar, cast

from numba import njit

Compiled = TypeVar("Compiled", bound=Callable[..., object])


def compiled(function: Compiled) -> Compiled:
    """Compile a function at its first call and keep the machine code beside the source.

    Division by zero gives infinities, as in numpy, and other threads run meanwhile.
    """
    return cast("Compiled", njit(cache=True, nogil=True, error_model="numpy")(function))
