"""Sources of light in boxes and fibres."""

from lamphouse.sources.source_entry import Source

LIGHT_SOURCES: dict[str, Source] = {
    "IEC60793-2-40": Source(
        citation="IEC 60793-2-40, table 1: plastic optical fibre categories A4a, A4b, A4c.",
        note="Read through a catalogue page that quotes the table.",
    ),
    "FIBRE-BEND": Source(
        citation="arXiv physics/0209058: under 10 percent loss in bent step-index fibre above a "
        "radius of 65 fibre radii.",
        note="Read as an excerpt.",
    ),
    "FIBRE-LOSS": Source(
        citation="Acrylic fibre loses about 0.1 to 0.2 dB in a metre of visible light; categories "
        "A4a to A4d of IEC 60793-2-40 at most 0.4 dB/m at 650 nm.",
        note="The typical figures are from memory, within a factor of two.",
    ),
    "GLOGE": Source(
        citation="D. Gloge, Bending loss in multimode fibers with graded and ungraded core index, "
        "Applied Optics 11 (1972) 2506-2513: modes lost in a bend go with core radius over bend "
        "radius.",
        note="From memory; the factor is taken from [FIBRE-BEND].",
    ),
    "RECIPROCITY": Source(
        citation="Carson, A generalization of the reciprocal theorem, Bell System Technical "
        "Journal 3, 1924: in a network of resistances, a current in at one place gives at another "
        "the voltage that the same current there gives at the first.",
        note="From memory; proved against random draws in the tests.",
    ),
    "SHEET-LIGHT": Source(
        citation="Typical of the material: scatter and absorption of [KUBELKA-MUNK] that give thin "
        "white sheet its usual transmittance.",
        note="From memory, as are the film types 'thin styrene' they were fitted to. Sheets differ "
        "by maker and colour: measure yours and put the figures into the project's parts folder.",
    ),
    "WALL-COATS": Source(
        citation="Typical optical density of one coat on plastic sheet. A sprayed black coat over "
        "primer on 0.5 mm sheet passes less than 1e-4: common practice, no source.",
        note="From memory. Brushed and thinned coats are uneven: measure yours, with a light meter "
        "before a lamp, with and without the coat.",
    ),
    "ADRIAN1989": Source(
        citation="W. Adrian, Visibility of targets: model for calculation, Lighting Research and "
        "Technology 21 (1989): luminance difference at threshold by surround and size, after "
        "the thresholds of Blackwell (1946).",
        note="Constants read from two public implementations that agree; the paper itself was not "
        "read.",
    ),
    "NEUTRAL-DENSITY": Source(
        citation="Definition of optical density: transmittance is 10 to the power of minus it.",
        note="The thickness and the reflectance are typical.",
    ),
    "FIBRE-ROWS": Source(
        citation="Diameter and numerical aperture [IEC60793-2-40] for 0.5, 0.75 and 1.0 mm; bend "
        "radius of 65 fibre radii [FIBRE-BEND]; clearance of the hole: common practice, no source.",
        note="0.25, 1.5 and 2.0 mm stand in no table of the standard and are typical.",
    ),
    "SI-LUMEN": Source(
        citation="SI Brochure, 9th edition: the luminous efficacy of 540 THz light is 683 lm/W.",
    ),
    "STOKES-FF": Source(
        citation="Exchange of diffuse light between two faces as a double integral over their "
        "edges, by Stokes' theorem (Sparrow's contour method).",
        note="Derived anew and checked against HOWELL; the name is from memory.",
    ),
    "HOWELL": Source(
        citation="Howell, A Catalog of Radiation Heat Transfer Configuration Factors: C-11 "
        "parallel rectangles, C-14 rectangles with a common edge, C-41 coaxial discs.",
        note="Values confirmed by quadrature and sampling; the catalogue numbers are from memory.",
    ),
    "VEACH1997": Source(
        citation="E. Veach, Robust Monte Carlo Methods for Light Transport Simulation (1997), "
        "chapter 9: several ways of drawing the same path, weighed by the balance heuristic.",
        note="The citation is from memory; that no light is lost or counted twice is tested.",
    ),
    "BURLEY2020": Source(
        citation="B. Burley, Practical Hash-based Owen Scrambling (2020): evenly spread points "
        "whose order and coordinates are permuted by hashing.",
        note="Citation and constants are from memory; the evenness of the points is tested.",
    ),
    "EVEN-STEPS": Source(
        citation="Points whose coordinates step by powers of the root of x^(d + 1) = x + 1, modulo "
        "1: the golden ratio's even spacing in d dimensions (additive recurrence).",
        note="From memory; what is computed with them is checked against other sums.",
    ),
    "CAVITY": Source(
        citation="The cavity equation of lighting handbooks: reflectance of the mouth of a cavity "
        "whose walls are all lit alike.",
        note="An integrating sphere obeys it exactly.",
    ),
    "EN1838": Source(
        citation="EN 1838:2013, Emergency lighting: within one colour of a sign the brightest "
        "place shows at most ten times the luminance of the darkest.",
        note="Read through two lighting guides that agree.",
    ),
}
