"""Spectra to colour: what lamps, layers and a room's light look like to an adapted eye.

- ``spectrum``: spectra on one grid, and readings brought onto it.
- ``crossing``: where a function passes through zero.
- ``observer``: what the standard eye makes of a spectrum.
- ``display``: colours for screens, what no screen shows, and other whites.
- ``lab``: CIELAB, and the same as chroma and hue.
- ``difference``: how different two colours look.
- ``temperature``: correlated colour temperature.
- ``appearance``: how colours look to an adapted eye.
- ``kubelka_munk``: scattering layers, and the smooth surface of a body.
- ``lamp_spectra``: spectra of LEDs.
- ``film_spectra``: spectra of films, coats and finishes.
- ``photo_fit``: the spectrum of a film from a photograph.
- ``layers``: layers laid on one another, wavelength by wavelength.
- ``chain``: the whole way of one opening's light, to the eye in its room.
- ``colour_words``: colours of light in the trade's words.
- ``wanted_colour``: a wanted colour, read from words.

Prints
------
- ``halftone``: dots on white backing and on clear film.
- ``inks``: the four inks of a printer as dyes.
- ``print_chart``: the inks of one's own printer from a chart.
- ``print_film``: the same ink on paper and on a film.
- ``colour_cube``: a function of colour known on a grid and read in between.
- ``colour_search``: the nearest colour that can be made, for many at once.
- ``printer``: what a printer lays down for a picture, so that it is right on paper.
- ``artwork_look``: what a print looks like in front of its lamp, in a room, and unlit.
- ``palette``: the colours that stand for a picture.
- ``artwork_fit``: artwork changed so that it reads right when lit.
- ``print_rules``: what is said about prints.
"""
