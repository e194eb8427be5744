"""Sources of everything else: parts, circuits, cutting, light in boxes, safety, numbers."""

from lamphouse.sources.source_entry import Source

TRADE_SOURCES: dict[str, Source] = {
    "PRACTICE": Source(citation="Common practice of the trade, no single source."),
    "MEMORY": Source(
        citation="From memory.",
        note="Not confirmed against a document; may guide, never refuses anything.",
    ),
    "TYPICAL": Source(
        citation="Typical of the class of part, as its data sheets read.",
        note="No one part; measure yours and put the figures into the project's parts folder.",
    ),
    "IEC60063": Source(
        citation="IEC 60063, Preferred number series for resistors and capacitors.",
        note="Lists read from an open package; the standard itself was not bought.",
    ),
    "IEC60062": Source(
        citation="IEC 60062, Marking codes for resistors and capacitors.",
        note="Read through data sheets that quote it.",
    ),
    "IEC60115-8": Source(
        citation="IEC 60115-8, Fixed surface mount resistors: sizes, rated dissipation, derating.",
        note="Read through data sheets; the dissipation of 0402 is from memory.",
    ),
    "INCH1959": Source(
        citation="International yard and pound agreement, 1959: one inch is 25.4 mm exactly.",
    ),
    "ASTM-B258": Source(
        citation="ASTM B258, Standard nominal diameters of solid round wires: "
        "d = 0.127 mm x 92^((36-n)/39).",
    ),
    "IACS": Source(
        citation="International Annealed Copper Standard: 1.7241e-8 ohm m at 20 degC.",
        note="The number IEC 60028 for it is from memory.",
    ),
    "ASME-B94.11M": Source(
        citation="ASME B94.11M, Twist drills: number sizes in inches.",
        note="Read from a public-domain table (CircuitousRoot, 2007).",
    ),
    "ISO235": Source(
        citation="ISO 235 and BS 328, parallel shank jobber drills: metric steps.",
        note="Read through an encyclopaedia page.",
    ),
    "ISO216": Source(
        citation="ISO 216, Writing paper: A4 is 210 x 297 mm; each size is half the one before, "
        "rounded down.",
    ),
    "SQLITE": Source(
        citation="SQLite documentation: PRAGMA synchronous, journal_mode, integrity_check; "
        "write-ahead logging.",
        note="What it promises holds where the disk does not lie about what it has written.",
    ),
    "ISO32000": Source(citation="ISO 32000-1, 8.3.2.3: the PDF user unit is 1/72 inch."),
    "ISO129-1": Source(
        citation="ISO 129-1, Presentation of dimensions: extension and dimension lines, the size "
        "above the line, read from the bottom or the right.",
        note="Read as an excerpt; the arrowhead of 30 degrees is from memory.",
    ),
    "ISO3098": Source(
        citation="ISO 3098, Lettering: nominal heights from 1.8 mm.",
        note="From memory.",
    ),
    "ISO5455": Source(
        citation="ISO 5455, Scales: 50:1, 20:1, 10:1, 5:1, 2:1, 1:1, 1:2, 1:5, 1:10 and so on.",
        note="From memory.",
    ),
    "IEC60617": Source(
        citation="IEC 60617, Graphical symbols for diagrams: resistor 04-01-01, light-emitting "
        "diode 05-03-02.",
        note="From memory.",
    ),
    "MAGNETS": Source(citation="Product safety warnings on small magnets, from memory."),
    "ISO273": Source(
        citation="ISO 273, Fasteners: clearance holes for bolts and screws; medium series.",
        note="Read through two tables that agree (M1.6 to M3).",
    ),
    "ISO261": Source(citation="ISO 261, ISO general purpose metric screw threads: pitches."),
    "ISO5456-3": Source(
        citation="ISO 5456-3, Technical drawings, projection methods: axonometric representations; "
        "isometric, with the three axes 120 degrees apart and at one scale.",
        note="From memory; the geometry is in the tests.",
    ),
    "3MF": Source(citation="3D Manufacturing Format, core specification 1.3."),
    "STL": Source(citation="Binary stereolithography: 80 bytes, a count, 50 bytes a triangle."),
    "BEND": Source(
        citation="Sheet metal practice: bend allowance = angle (r + K t), setback = tan(angle / 2) "
        "(r + t), deduction = 2 setback - allowance.",
        note="A published example, 90 deg, r = t = 0.125 in, K 0.44, gives 0.2827 in.",
    ),
    "ISO128": Source(
        citation="ISO 128-2, Technical product documentation: line types, and widths in steps of "
        "the square root of 2.",
        note="The width 0.13 mm, and dashes and gaps in line widths, are from memory.",
    ),
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
    "TUBE-ROWS": Source(
        citation="Round brass tube as model shops sell it, in steps of outside diameter.",
        note="Outside diameters and walls from memory: measure yours.",
    ),
    "SHOCKLEY": Source(
        citation="Shockley's diode equation with series resistance; thermal voltage k/q T from "
        "the exact SI constants.",
    ),
    "GUM": Source(
        citation="JCGM 100:2008, Guide to the expression of uncertainty in measurement, 4.3.7: "
        "of a quantity known by its bounds alone, every value between them is equally likely.",
        note="Clause from memory.",
    ),
    "FRITSCH": Source(
        citation="Fritsch, Shafer and Crowley, Algorithm 443: solution of the transcendental "
        "equation w exp(w) = x, Communications of the ACM 16, 1973: an iteration of fourth order.",
        note="From memory; tested against another implementation.",
    ),
    "STAR-MESH": Source(
        citation="Rosen, A new network theorem, Journal of the IEE 62, 1924: a star of n "
        "conductances equals a mesh of n (n - 1) / 2.",
        note="From memory; proved against other solvers in the tests.",
    ),
    "RECIPROCITY": Source(
        citation="Carson, A generalization of the reciprocal theorem, Bell System Technical "
        "Journal 3, 1924: in a network of resistances, a current in at one place gives at another "
        "the voltage that the same current there gives at the first.",
        note="From memory; proved against random draws in the tests.",
    ),
    "BAYES": Source(
        citation="Bayes, An essay towards solving a problem in the doctrine of chances, "
        "Philosophical Transactions 53, 1763.",
    ),
    "SHANNON": Source(
        citation="Shannon, A mathematical theory of communication, Bell System Technical Journal "
        "27, 1948: entropy, and the rate of what is told.",
        note="From memory; proved by counting in the tests.",
    ),
    "MAHALANOBIS": Source(
        citation="Mahalanobis, On the generalised distance in statistics, Proceedings of the "
        "National Institute of Sciences of India 2, 1936.",
        note="From memory.",
    ),
    "ABRAMOWITZ": Source(
        citation="Abramowitz and Stegun, Handbook of mathematical functions, National Bureau of "
        "Standards, 1964, 26.2.17: the normal distribution by a polynomial, to 7.5e-8.",
        note="From memory; tested against another implementation.",
    ),
    "SPICE3": Source(
        citation="Quarles, Newton, Pederson and Sangiovanni-Vincentelli, SPICE 3 version 3f3 "
        "user's manual, University of California, Berkeley, 1993: elements, models, options.",
        note="From memory; decks are read by another solver in the tests.",
    ),
    "NAGEL": Source(
        citation="Nagel, SPICE2: a computer program to simulate semiconductor circuits, "
        "memorandum ERL-M520, University of California, Berkeley, 1975: junction limiting.",
        note="From memory; proved against other solvers in the tests.",
    ),
    "SELV": Source(
        citation="IEC 61140 and IEC 60364-4-41: safety extra-low voltage is at most 120 V d.c.; "
        "touchable without basic protection in the dry at most 60 V d.c.",
        note="This tool's own ceiling is 24 V, well below both.",
    ),
    "USB": Source(
        citation="USB 2.0 and 3.x, Battery Charging 1.2, Type-C: port currents and voltages.",
        note="The voltages 4.75 V, 5.25 V and 4.40 V and the 10 uF at plugging in are from memory.",
    ),
    "BS3737": Source(
        citation="BS 3737 (withdrawn), Standard wire gauge: a table in inches.",
        note="Read through public tables that agree.",
    ),
    "WIRE-TO-BOARD": Source(
        citation="1.25 mm, 2.0 mm and 2.54 mm crimp wire-to-board plugs as their data sheets read.",
        note="From memory. Currents are for the thickest wire the contact takes; those of three "
        "and more pins are reduced to 80 percent, as all may carry at once.",
    ),
    "IEC60757": Source(
        citation="IEC 60757:2021, Code for designation of colours: two letters each.",
        note="Read through pages that quote it; red and black for plus and minus are common "
        "practice, no source.",
    ),
    "WEISZFELD": Source(
        citation="E. Weiszfeld, Sur le point pour lequel la somme des distances de n points donnes "
        "est minimum, Tohoku Math. J. 43 (1937) 355-386; on a given point: Y. Vardi and C.-H. "
        "Zhang, Proc. Natl. Acad. Sci. 97 (2000) 1423-1426.",
        note="Both from memory; proved in the tests against closed forms and another optimiser.",
    ),
    "CIRCLE-PACKING": Source(
        citation="R. L. Graham, B. D. Lubachevsky, K. J. Nurmela and P. R. J. Ostergard, Dense "
        "packings of congruent circles in a circle, Discrete Math. 181 (1998) 139-154.",
        note="Ratios up to 20 circles read from two public tables, to three decimals; the fourth "
        "from memory, rounded up.",
    ),
    "WIRE-AWG": Source(
        citation="Diameters [ASTM-B258]; resistance of solid copper [IACS]; enamel as for the next "
        "size up in IEC 60317-0-1, grade 1 (largest overall diameter).",
        note="Insulated outside diameters are typical. Current: 10 A/mm2, this tool's own limit "
        "for wires bundled in a closed model; a handbook's chassis-wiring column allows about "
        "17 A/mm2 in open air, its power-transmission column 2.8 A/mm2.",
    ),
    "WIRE-SWG": Source(
        citation="Diameters [BS3737]; resistance of solid copper [IACS]; largest overall diameter "
        "of grade 1 enamel: IS 13730-0-1 (the text of IEC 60317-0-1).",
        note="Enamel read from a cable maker's table. Current: 10 A/mm2, see [WIRE-AWG].",
    ),
    "WIRE-ENAMELLED": Source(
        citation="IEC 60317-0-1, grade 1: nominal copper and largest overall diameters; "
        "resistance of solid copper [IACS].",
        note="0.1 mm read from a winding-wire maker's page, others from memory beside the table "
        "of [WIRE-SWG]. Current: 10 A/mm2, see [WIRE-AWG].",
    ),
    "WIRE-BUNCHED": Source(
        citation="IEC 60228 class 5, and VDE 0295 below 0.5 mm2: largest resistance of plain "
        "bunched copper at 20 degC.",
        note="Read through catalogue pages. Outside diameters are typical; current: 6 A/mm2, "
        "common practice for equipment wire.",
    ),
    "SHEET-AS-SOLD": Source(
        citation="Thicknesses and sheet sizes as hobby shops sell them.",
        note="Sheets differ by several percent from their name; measure yours with a calliper.",
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
    "STRINGS": Source(
        citation="H. C. Hottel's crossed strings: exchange of diffuse light between faces that run "
        "on without end.",
        note="The name is from memory; checked against the closed form for two opposite strips.",
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
    "LED-CLASS": Source(
        citation="Typical of the class: forward curves of a diode with series resistance through "
        "readings published for small LEDs (white 2.70 V at 2.5 mA, red 1.90 V at 3.3 mA) and "
        "data-sheet values of 0603 parts (white 2.8 V, red 40 mcd, green 120 mcd, blue 50 mcd at "
        "5 mA).",
        note="White flux lies between a data sheet (0.8 lm at 5 mA) and a good part (2 lm). "
        "Luminous flux differs by a factor of two from part to part: measure yours and put "
        "the figures into the project's parts folder. Sizes of domes are from memory.",
    ),
    "AXIAL-RESISTORS": Source(
        citation="Axial film resistors of 1/8, 1/4 and 1/2 W as their data sheets read.",
        note="From memory.",
    ),
    "IEC60097": Source(
        citation="IEC 60097, Grid systems for printed circuits: a pitch of 2.54 mm.",
        note="Read through pages that quote it.",
    ),
    "LEAD-FORMING": Source(
        citation="Lead forming of axial parts: straight from the body for one lead diameter and at "
        "least 0.8 mm, then bent with a radius of one diameter for leads thinner than 0.8 mm.",
        note="Read from the public notes of a college's soldering course, after IPC-A-610.",
    ),
    "IPC2221": Source(
        citation="IPC-2221, Generic standard on printed board design: electrical clearance, outer "
        "conductors, uncoated, up to 30 V: 0.1 mm.",
        note="The clearance is from memory.",
    ),
    "SI-LUMEN": Source(
        citation="SI Brochure, 9th edition: the luminous efficacy of 540 THz light is 683 lm/W.",
    ),
    "DEVELOPMENT": Source(
        citation="Closed forms of developed surfaces: of a cylinder the length is mid-plane radius "
        "times angle; of a cone the sector's angle is that of the wall times the sine of its "
        "slope.",
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
    "RFC4180": Source(citation="RFC 4180, Common format and MIME type for CSV files."),
    "CSV-FORMULA": Source(
        citation="OWASP Application Security Verification Standard 5.0, requirement 1.2.10: a cell "
        "that begins with a formula sign gets a single quote in front.",
        note="Read as an excerpt.",
    ),
    "RFC8259": Source(citation="RFC 8259, The JSON data interchange format."),
    "HSE-SOLDER": Source(
        citation="Health and Safety Executive, INDG248, Solder fume and you: rosin flux fume is a "
        "top cause of asthma at work; keep the head out of the plume, use extraction.",
        note="Read through the Executive's page for solderers.",
    ),
    "BUTTON-CELLS": Source(
        citation="16 CFR part 1263 (button cell and coin batteries); a swallowed cell can burn "
        "through a child's gullet in two hours.",
        note="Read through reports of the rule.",
    ),
    "IEC62471": Source(
        citation="IEC 62471, Photobiological safety of lamps and lamp systems: the retinal "
        "blue-light hazard, and risk groups by the time one may look.",
        note="Read through laboratories' summaries.",
    ),
    "WCAG-FLASH": Source(
        citation="Web Content Accessibility Guidelines, success criterion 2.3.1: nothing flashes "
        "more than three times in any one second.",
    ),
    "BT1702": Source(
        citation="Recommendation ITU-R BT.1702-3 (2023), Guidance for the reduction of "
        "photosensitive epileptic seizures caused by television.",
        note="Read through the guidelines that quote it.",
    ),
    "CROSSING-RATE": Source(
        citation="Handbooks of highway-rail grade crossings: lights flash 45 to 65 times a minute.",
    ),
    "AVR-TIMER": Source(
        citation="Data sheets of 8-bit AVRs, the 16-bit timer and its compare interrupt.",
    ),
    "MICROPYTHON-PWM": Source(
        citation="MicroPython documentation, machine.PWM: duty_u16 from 0 to 65535, freq in Hz.",
        note="From memory, and as its interpreter takes it.",
    ),
    "CONTROLLERS": Source(
        citation="Typical small controllers and switching transistors, as their data sheets read.",
        note="Memory and pins as the compiler's device files have them; the rest from memory: "
        "inner oscillators within 10 % as they leave the factory, crystals within 50 ppm.",
    ),
    "TIMER-CHIP": Source(
        citation="Data books of 555-type timers: high for 0.693 (RA + RB) C, low for 0.693 RB C; "
        "as a monostable high for 1.1 R C.",
        note="0.693 is ln 2, and 1.1 ln 3; the figures of the rows are typical, from memory.",
    ),
    "ESICUP": Source(
        citation="ESICUP irregular strip packing instances, with the best known lengths of the "
        "sparrow repository (arXiv 2509.13329, table 3).",
        note="Records read at commit a4bfbbe of 2026-05-07.",
    ),
    "IEC61558-2-6": Source(
        citation="IEC 61558-2-6, Safety isolating transformers and supplies with them.",
        note="Number and title from memory.",
    ),
    "IEC60086": Source(
        citation="IEC 60086-2, Primary batteries: sizes and designations.",
        note="Diameters and heights read in Linden's Handbook of Batteries, table 4.9a; the "
        "coin's from its code.",
    ),
    "CELLS": Source(
        citation="Typical cells of their class: sizes of IEC 60086-2 where it has one, capacity as "
        "a band over several general pages.",
        note="Open voltages over discharge and resistances are from memory, of the class and of no "
        "maker: measure yours, or read its data sheet.",
    ),
    "LI-ION": Source(
        citation="Practice of single lithium-ion cells: charged to 4.20 V, cut off above 4.25 to "
        "4.28 V and below 2.5 to 3.0 V by a protection circuit of their own.",
        note="Read on a data page of protection boards.",
    ),
    "PEUKERT": Source(
        citation="W. Peukert, 1897: t = H (C / (I H))^k for a lead battery of capacity C at the "
        "H-hour rate.",
        note="Read through general pages with worked cases.",
    ),
    "FUSES": Source(
        citation="Typical fuses of their class: hold and trip current in still air, trip about "
        "twice the hold current; a melting fuse opens at 2.1 times its rating (IEC 60127).",
        note="Two rows of resettable fuses read on data pages; resistances, the loss of some 1 % "
        "per kelvin (83 % left at 40 degC, 65 % at 60 degC) and the 2.1 are from memory.",
    ),
    "PROTECTORS": Source(
        citation="Typical forward drops of 1 A diodes and resistance of a small transistor.",
        note="From memory; read the data sheet of yours.",
    ),
    "SOFTENING": Source(
        citation="Impact polystyrene: deflection under heat 70 to 84 degC, Vicat 84 to 100 degC, "
        "0.12 to 0.22 W/(m K).",
        note="Read on three general material pages, which disagree; the least is used. Acrylic "
        "and foam board are from memory.",
    ),
    "CHURCHILL-CHU": Source(
        citation="S. W. Churchill and H. H. S. Chu, Int. J. Heat Mass Transfer 18 (1975) 1323: "
        "natural convection from an upright plate, laminar.",
        note="Read through lecture notes that quote it.",
    ),
    "FINS": Source(
        citation="Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, section 3.6: very "
        "long fin and annular fin.",
        note="From memory; the solutions follow from the differential equation.",
    ),
    "ARUCO": Source(
        citation="OpenCV 5, module objdetect: predefined dictionary of 4 x 4 markers, 100 of them "
        "(Apache 2.0).",
        note="The words were written out by the library; a test compares every marker with it.",
    ),
    "ISO7810": Source(
        citation="ISO/IEC 7810, Identification cards, size ID-1: 85.60 x 53.98 mm, corners of "
        "3.18 mm, 0.76 mm thick.",
        note="Sizes as widely quoted; tolerances and radius from memory, not bought.",
    ),
    "ZHANG": Source(
        citation="Z. Zhang, A flexible new technique for camera calibration, IEEE Transactions on "
        "Pattern Analysis and Machine Intelligence 22, 2000.",
        note="From memory: tilted views of one flat pattern fix the lens.",
    ),
    "HUBER": Source(
        citation="P. J. Huber, Robust estimation of a location parameter, Annals of Mathematical "
        "Statistics 35, 1964.",
        note="From memory.",
    ),
    "BT601": Source(
        citation="ITU-R BT.601: brightness is 0.299 red, 0.587 green and 0.114 blue.",
        note="From memory.",
    ),
    "EXIF": Source(
        citation="CIPA DC-008, Exchangeable image file format for digital still cameras: Exif.",
        note="Tag numbers from memory; turns are checked against an image library's.",
    ),
    "T81": Source(
        citation="ITU-T T.81, Digital compression of continuous-tone still images (JPEG).",
        note="Markers from memory; sizes are checked against an image library's.",
    ),
    "OTSU": Source(
        citation="N. Otsu, A threshold selection method from gray-level histograms (1979).",
        note="The citation is from memory.",
    ),
    "KASA": Source(
        citation="I. Kasa, A circle fitting procedure and its error analysis (1976).",
        note="The citation is from memory.",
    ),
    "BELLMAN": Source(
        citation="R. Bellman, On the approximation of curves by line segments using dynamic "
        "programming (1961).",
        note="The citation is from memory.",
    ),
}
