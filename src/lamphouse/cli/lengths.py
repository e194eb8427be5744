"""Lengths and sizes as options take them: always with their unit."""

from typing import Any

import click


class Length(click.ParamType[float]):
    """A length with its unit."""

    name = "length"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        """Read a length above 0. [mm]."""
        from lamphouse import units

        if isinstance(value, float):
            return value
        try:
            length = units.parse(value, units.Quantity.LENGTH)
        except units.UnitError as fault:
            self.fail(str(fault), param, ctx)
        if not 0.0 < length < 10_000.0:
            self.fail(f"{value} is no length of a part; write 0.75 mm", param, ctx)
        return length


class Size(click.ParamType[tuple[float, float]]):
    """A width and a height with their unit."""

    name = "size"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[float, float]:
        """Read two lengths above 0. [mm]."""
        from lamphouse import units

        if isinstance(value, tuple):
            return value
        try:
            width, height = units.parse_many(value, units.Quantity.LENGTH, count=2)
        except units.UnitError as fault:
            self.fail(str(fault), param, ctx)
        if not 0.0 < min(width, height) <= max(width, height) < 10_000.0:
            self.fail(f"{value} is no size of a print; write 168 x 216 mm", param, ctx)
        return width, height


LENGTH, SIZE = Length(), Size()
