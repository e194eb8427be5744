"""The pin table as a list: from group over pin and driver to the pins of plugs."""

from collections.abc import Iterator

from lamphouse.blink.drivers import Driver
from lamphouse.blink.pin_plan import PlugPin
from lamphouse.plan.programmed import Controllers
from lamphouse.plan.result import Plan

Row = tuple[str | float | None, ...]
HEAD = (
    *("controller", "type", "pin", "group", "lit_while", "driver", "transistor"),
    *("pin_ohm", "gate_ohm", "pull_ohm", "most_mA", "pin_mA", "plug_pins"),
)


def pins(plan: Plan) -> tuple[tuple[str, ...], Iterator[Row]]:
    """List every switched group with its pin."""
    return HEAD, _rows(plan.controllers) if plan.controllers else iter(())


def _rows(controllers: Controllers) -> Iterator[Row]:
    for one in controllers.programs:
        for channel in one.pins.channels:
            yield (
                one.controller.name,
                one.kind.name,
                channel.pin,
                channel.group,
                "high" if channel.driver.lit_high else "low",
                *_driver(channel.driver, most_A=channel.current_A, plugs=channel.plugs),
            )
    for timer in controllers.timers:
        for timed in timer.groups.channels:
            load = timed.load
            yield (
                timer.controller.name,
                timer.groups.timer.chip.name,
                timed.end,
                load.group,
                timed.lit_while,
                *_driver(timed.driver, most_A=load.strings.current_A, plugs=load.plugs),
            )


def _driver(driver: Driver, *, most_A: float, plugs: tuple[PlugPin, ...]) -> Row:
    parts = [part.name for part in (driver.switch, driver.ahead) if part]
    return (
        str(driver.kind),
        " and ".join(parts),
        driver.pin_ohm,
        driver.gate_ohm,
        driver.pull_ohm,
        most_A * 1e3,
        driver.pin_A * 1e3,
        "; ".join(f"{plug.sub_assembly} {plug.pin}" for plug in plugs),
    )
