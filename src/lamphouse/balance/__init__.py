"""Balance across the model: looks to currents to the fewest resistor values.

- ``alike``: strings that keep one resistor between them, and the boxes they light.
- ``neighbour_light``: what strings give to openings of boxes beside their own.
- ``settings``: what each resistor value would make of alike strings.
- ``stabbing``: the fewest values that serve every span, with a proof.
- ``fewest_values``: the choice of values under all conditions, by an integer programme.
- ``mates``: strings that must stay near one another in brightness.
- ``balance_rules``: looks that no resistor brings about.
- ``ways_out``: what would help where no resistor does, each computed.
- ``led_currents``: the currents of LEDs in strings, as their light is solved with.
- ``levelling``: the front door: a design with its circuits and glows in, new values out.
"""
