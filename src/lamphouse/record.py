"""What every frozen record is made from.

A record is written as a class with annotated fields, each with its docstring below it. It is made
by keyword, cannot be changed, and two of one class with equal fields are equal. Python makes such
a class some thirty times sooner than a dataclass, which counts where a command reads hundreds of
them before it begins.
"""

from typing import TYPE_CHECKING, Any, dataclass_transform

from msgspec import Struct, StructMeta, field

if TYPE_CHECKING:
    from dataclasses import replace  # checkers know its keywords by the fields
else:
    from msgspec.structs import replace

__all__ = ["Record", "field", "replace"]


class _Frozen(StructMeta):
    """Freezes a record and names its fields, for each class anew: neither is passed on."""

    def __new__(
        mcls, name: str, bases: tuple[type, ...], namespace: dict[str, Any], /, **settings: Any
    ) -> "_Frozen":
        settings = {"frozen": True, "kw_only": True, **settings}
        return super().__new__(mcls, name, bases, namespace, **settings)


@dataclass_transform(kw_only_default=True, frozen_default=True, field_specifiers=(field,))
class Record(Struct, frozen=True, metaclass=_Frozen):
    """A frozen value, made by keyword.

    ``class X(Record, eq=False)`` is equal to itself alone, as where it holds arrays;
    ``order=True`` sorts by the fields in their order. ``replace(x, depth_mm=6.0)`` gives a changed
    copy.
    """
