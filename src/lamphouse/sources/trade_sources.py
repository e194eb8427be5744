"""Sources of everything else: the trade, cutting, drawing, safety, pictures, numbers."""

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
    "INCH1959": Source(
        citation="International yard and pound agreement, 1959: one inch is 25.4 mm exactly.",
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
    "TUBE-ROWS": Source(
        citation="Round brass tube as model shops sell it, in steps of outside diameter.",
        note="Outside diameters and walls from memory: measure yours.",
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
    "ABRAMOWITZ": Source(
        citation="Abramowitz and Stegun, Handbook of mathematical functions, National Bureau of "
        "Standards, 1964, 26.2.17: the normal distribution by a polynomial, to 7.5e-8.",
        note="From memory; tested against another implementation.",
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
    "SHEET-AS-SOLD": Source(
        citation="Thicknesses and sheet sizes as hobby shops sell them.",
        note="Sheets differ by several percent from their name; measure yours with a calliper.",
    ),
    "DEVELOPMENT": Source(
        citation="Closed forms of developed surfaces: of a cylinder the length is mid-plane radius "
        "times angle; of a cone the sector's angle is that of the wall times the sine of its "
        "slope.",
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
    "ESICUP": Source(
        citation="ESICUP irregular strip packing instances, with the best known lengths of the "
        "sparrow repository (arXiv 2509.13329, table 3).",
        note="Records read at commit a4bfbbe of 2026-05-07.",
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
