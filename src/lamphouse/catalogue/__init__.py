"""What can be bought or measured: each row with its unit, its source and its date.

- ``cells``: readers of one cell, from the maker's text into base units.
- ``parts_rules``: what is told when a parts file holds something that cannot be used.
- ``tables``: the loader, which refuses a row without unit, source and date.
- ``sheet_stock``: plastic, card and board by thickness.
- ``sheet_light``: how much light goes through a sheet material.
- ``sheet_heat``: how well a sheet material leads heat, and where it softens.
- ``wall_coats``: paints, foils and tapes that keep light in.
- ``finishes``: what the inside of a light box is painted or lined with.
- ``film_types``: diffusers, gels, tints and printable film.
- ``fibre_types``: plastic optical fibre.
- ``led_types``: LEDs by package and colour, with their forward curve.
- ``electric_parts``: wires, plugs, resistor packages and the preferred numbers.
- ``cell_types``: cells and small batteries.
- ``protection``: fuses, and what blocks a reversed supply.
- ``dyes``: which part of the light a coloured film takes in, in words.
- ``light_spread``: how light is spread by angle: the haze of a film, the beam of an LED by points.
- ``measured_spectra``: spectra the maker measured.
- ``photo_readings``: readings of a photograph taken through a film.
- ``spectral_data``: published spectra: the standard observer, lights, LED illuminants.
- ``screw_threads``: small metric screws with their holes.
- ``controllers``: controllers that play programs.
- ``switches``: transistors that switch a source group.
- ``timer_chips``: timers of the 555 kind.
- ``tube_types``: thin round tube for ferrules and collars.
- ``drills``: number drills and metric steps.
- ``shelf``: all tables together, the maker's own rows laid over the built-in ones.
"""
