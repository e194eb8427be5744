"""Whether its supply suits a controller: BLP005."""

from collections.abc import Iterable, Sequence

from lamphouse.catalogue.controllers import ControllerType
from lamphouse.catalogue.timer_chips import TimerChip
from lamphouse.design.controller import Controller
from lamphouse.design.supply import Supply
from lamphouse.findings import Severity, Told, rule
from lamphouse.units import Quantity, show

MOST_REGULATOR_W = 1.0
"""Heat that a small linear regulator gets rid of without a cooler [PRACTICE]."""


LEAST_OVER_V = 1.5
"""What a linear regulator needs above what it gives [PRACTICE]."""


REGULATED_V = 5.0
"""What a regulator gives."""


def feeds(supply: Supply, part: ControllerType | TimerChip) -> bool:
    """Tell whether a part stands a supply at both of its ends."""
    low, high = supply.ends_V
    return part.least_V <= low and high <= part.most_V


@rule("BLP005", Severity.STOP, "A controller that its supply does not suit", can_be_accepted=False)
def wrong_voltage(
    controllers: Sequence[Controller], *, supply: Supply, types: Sequence[ControllerType]
) -> Iterable[Told]:
    """Look for controllers and timer chips fed with too much or too little.

    What it checks
        The supply, at both ends of its tolerance, is within what the controller stands; with
        ``regulator: yes`` it is enough for a regulator of 5 V above it, which sheds no more than
        1 W.

    Why it matters
        Above its limit a controller is destroyed at the first plugging in. Below it the program
        starts and stops by chance, unless a brown-out detector holds it.

    Example
        ::

            groups:
              steady: {in: desk, pattern: {kind: beacon, period: 2 s}}
            controllers:
              chip: {type: "8-bit AVR, 28 pins"}

    Mend
        Write ``regulator: yes``, take a supply or a controller that the finding names.

    Source
        Data sheets; [PRACTICE] for the regulator.
    """
    low, high = supply.ends_V
    given = " to ".join(show(volts, Quantity.VOLTAGE, digits=3) for volts in (low, high))
    for one in controllers:
        part = one.controller_type or one.chip
        if part is None:
            continue
        stands = f"{part.least_V:g} to {part.most_V:g} V"
        if one.regulated:
            heat_W = (high - REGULATED_V) * part.own_A
            if low < REGULATED_V + LEAST_OVER_V:
                yield Told(
                    where=one.where,
                    message=f"a regulator of {REGULATED_V:g} V wants {LEAST_OVER_V:g} V above it, "
                    f"and the supply has {given}",
                    remedy="write regulator: no"
                    if feeds(supply, part)
                    else f"take a supply of {REGULATED_V + LEAST_OVER_V + 0.5:g} V or more, or of "
                    f"{stands}",
                )
            elif heat_W > MOST_REGULATOR_W:
                yield Told(
                    where=one.where,
                    message=f"a linear regulator would shed {heat_W:.1f} W between {given} and "
                    f"{REGULATED_V:g} V, of at most {MOST_REGULATOR_W:g} W without a cooler",
                    remedy="feed it from a supply of its own, or write regulator: no and put a "
                    "bought step-down converter in its lead",
                )
        elif not feeds(supply, part):
            others = [kind.name for kind in types if feeds(supply, kind)]
            other = f', or take "{others[0]}"' if others and one.controller_type else ""
            mend = (
                "write regulator: yes"
                if low >= REGULATED_V + LEAST_OVER_V
                else f"take a supply of {stands}"
            )
            yield Told(
                where=one.where,
                message=f"'{part.name}' stands {stands}, and the supply has {given}",
                remedy=mend + other,
            )
