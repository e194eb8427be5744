"""One opening's whole chain, from LED to adapted eye, against the same steps by another package.

The chain: the LED's power times paint and layers folded at each wavelength, X Y Z, x and y, CCT
and Duv, CIELAB and CIECAM16, lit, unlit and lit in the room. Reference, in the same run: the
layers' transmittance handed to the open package colour-science (dev extra), which does X Y Z, CCT
and Duv by Ohno, CIELAB and CIECAM16 of the lit colour alone.

Run: ``python benchmarks/lit_colour.py``
"""

import statistics
import time
import warnings
from collections.abc import Callable

import numpy as np

from lamphouse.catalogue.shelf import built_in
from lamphouse.colour.chain import Part, Way, cavity_gain, radiance, seen
from lamphouse.colour.colour_words import name_of
from lamphouse.colour.film_spectra import film_spectrum, finish_spectrum
from lamphouse.colour.lamp_spectra import lamp_spectrum
from lamphouse.colour.layers import pile, seen_from_face
from lamphouse.colour.observer import chromaticity, photopic, room_light
from lamphouse.colour.spectrum import GRID_NM
from lamphouse.colour.temperature import temperature

RUNS, LOOPS = 7, 50
LIMIT_MS = 1.0
SHELF = built_in()
LAMP = lamp_spectrum(SHELF.led_types["white 0603"]).values
FILMS = [
    film_spectrum(SHELF.film_types[name]).sheet
    for name in ("opal film 60", "amber gel", "amber gel", "print film")
]
PAINT = finish_spectrum(SHELF.finishes["bare brown card"])
ROOM = room_light("daylight").values


def ours() -> tuple[float, ...]:
    """Do the whole chain once."""
    stack = pile(FILMS)
    grey = float(photopic(LAMP, stack.transmittance))
    gain = cavity_gain(PAINT, back=stack.rear_reflectance, open_share=0.2)
    way = Way(passed=stack.transmittance, grey_passed=grey, gain=gain, grey_gain=0.45)
    power = radiance([Part(lamp=LAMP, luminance_cd_m2=40.0, direct=0.6)], way=way)
    face = seen_from_face(stack, behind=0.1 * PAINT)
    eye = seen(power, face=face, room=ROOM, room_lx=50.0)
    white = temperature(eye.lit)
    name_of(eye.lit)
    three = np.stack([eye.lit, eye.unlit, eye.both])
    looks, labs = eye.look(three), eye.lab(three)
    return (
        *chromaticity(eye.lit),
        white.cct_K if white else 0.0,
        *labs[0],
        float(looks.colourfulness[0]),
    )


def theirs() -> Callable[[], object]:
    """Prepare the same steps, of the lit colour alone, by the other package."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour
    shape = colour.SpectralShape(380, 780, 5)
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape)
    passed = pile(FILMS).transmittance
    white = np.array([95.047, 100.0, 108.883])

    def run() -> object:
        power = colour.SpectralDistribution(LAMP * passed, GRID_NM)
        xyz = colour.sd_to_XYZ(power, observer, k=683)
        xy = colour.XYZ_to_xy(xyz)
        scaled = xyz / xyz[1] * 50.0
        return (
            xy,
            colour.temperature.XYZ_to_CCT_Ohno2013(xyz),
            colour.XYZ_to_Lab(scaled / 100.0),
            colour.XYZ_to_CIECAM16(scaled, white, 4.0, 20.0),
        )

    return run


def per_run_ms(work: Callable[[], object]) -> float:
    """Give the process time of one run, the mean of a loop."""
    begin = time.process_time()
    for _ in range(LOOPS):
        work()
    return (time.process_time() - begin) / LOOPS * 1e3


def main() -> None:
    """Print both times and their ratio."""
    other = theirs()
    ours()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        other()
        pairs = [(per_run_ms(ours), per_run_ms(other)) for _ in range(RUNS)]
    own_ms = statistics.median(own for own, _ in pairs)
    ratio = statistics.median(own / reference for own, reference in pairs)
    print(
        f"one opening, lamp to eye: {own_ms:.3f} ms process (wanted under {LIMIT_MS:g}), "
        f"{ratio:.3f} of colour-science's for the lit colour alone"
    )


if __name__ == "__main__":
    main()
