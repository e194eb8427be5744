"""Spectra to colour: what lamps, layers and a room's light look like to an adapted eye.

- ``spectrum``: spectra on one grid, and readings brought onto it.
- ``observer``: what the standard eye makes of a spectrum.
- ``display``: colours for screens, what no screen shows, and other whites.
- ``lab``: CIELAB, and the same as chroma and hue.
- ``difference``: how different two colours look.
- ``temperature``: correlated colour temperature.
- ``appearance``: how colours look to an adapted eye.
- ``kubelka_munk``: scattering layers, and the smooth surface of a body.
- ``layers``: layers laid on one another, wavelength by wavelength.
"""
