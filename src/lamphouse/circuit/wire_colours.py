"""Colours of wires: their letters and words, and which wire gets which."""

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from lamphouse.circuit.plug_pins import COMMON, RETURN

WORDS: Mapping[str, str] = MappingProxyType(
    {
        "BK": "black",
        "BN": "brown",
        "RD": "red",
        "OG": "orange",
        "YE": "yellow",
        "GN": "green",
        "BU": "blue",
        "VT": "violet",
        "GY": "grey",
        "WH": "white",
        "PK": "pink",
        "TQ": "turquoise",
    }
)
"""The letters of [IEC60757] for the colours wire is sold in."""
_RETURNS = ("WH", "OG", "BU", "YE", "VT", "GY", "BN", "PK", "TQ")
"""What switched returns share; green is left to earth."""


def colour_of(means: str, *, returns: Sequence[str], positive: bool) -> str:
    """Give the colour of a wire in letters of IEC 60757.

    Of the common and the steady return, red is plus and black minus. Each switched return of the
    model has a colour of its own as long as there are colours; after that its wires are told apart
    by number alone.

    Parameters
    ----------
    means
        ``common``, ``return``, or one of the switched returns.
    returns
        All switched returns of the model.
    positive
        Whether the wire is joined to plus.

    References
    ----------
    [IEC60757] for the letters; red for plus and black for minus are common practice, no source.
    """
    if means in (COMMON, RETURN):
        return "RD" if positive else "BK"
    return _RETURNS[returns.index(means) % len(_RETURNS)]
