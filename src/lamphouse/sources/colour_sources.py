"""Sources of colour, of light on surfaces, and of pictures."""

from lamphouse.sources.source_entry import Source

COLOUR_SOURCES: dict[str, Source] = {
    "SRGB": Source(
        citation="IEC 61966-2-1, sRGB: V = 12.92 L up to L = 0.0031308, else "
        "1.055 L^(1/2.4) - 0.055.",
        note="Read through public copies of its formula.",
    ),
    "CIE-1931": Source(
        citation="CIE 1931 2 degree standard observer, ISO/CIE 11664-1, in steps of 5 nm.",
        note="Read from the open package colour-science 0.4.7; the standard was not bought.",
    ),
    "CIE-15": Source(
        citation="CIE 015:2018, Colorimetry: sums in steps of 5 nm, illuminants A, D50, D65, FL2, "
        "FL11 and the LED illuminants B1 to B5, BH1, RGB1, V1, V2.",
        note="Spectra read from the open package colour-science 0.4.7; x and y of the LED "
        "illuminants agree with the printed ones to 5e-5.",
    ),
    "CIE-167": Source(
        citation="CIE 167:2005, Recommended practice for tabulating spectral data: Sprague's "
        "interpolation of even readings, cubic splines of uneven ones.",
        note="Read through the documentation of an open package, whose curve ours equals; the "
        "widest gap is ours.",
    ),
    "ISO11664-4": Source(citation="ISO/CIE 11664-4, CIE 1976 L*a*b* colour space."),
    "ISO11664-6": Source(
        citation="ISO/CIE 11664-6, CIEDE2000 colour-difference formula.",
        note="Written after Sharma, Wu and Dalal, Color Research and Application 30, 2005, whose "
        "34 pairs it gives.",
    ),
    "EG-432": Source(
        citation="SMPTE EG 432-1, primaries of digital cinema with D65 white; code 12 of H.273.",
        note="Primaries from memory, confirmed in an open package.",
    ),
    "BRADFORD": Source(
        citation="Linear Bradford adaptation, ICC.1:2022, annex E.",
        note="Matrix confirmed in an open package.",
    ),
    "CIE-248": Source(
        citation="CIE 248:2022, The CIE 2016 colour appearance model for colour management "
        "systems: CIECAM16, and its adaptation CAT16.",
        note="Matrix and formulas confirmed in an open package.",
    ),
    "OHNO-2013": Source(
        citation="Ohno, Practical use and calculation of CCT and Duv, Leukos 10, 2014: triangle "
        "near the black body's line, parabola off it.",
        note="Method from memory; an open package's figures agree to 0.1 K at 6500 K.",
    ),
    "C78-377": Source(
        citation="ANSI C78.377, Chromaticity of solid state lighting products: whites lie within "
        "0.006 of the black body's line in Duv.",
        note="From memory.",
    ),
    "CIE-TN-001": Source(
        citation="CIE TN 001:2014, Chromaticity difference specification for light sources: "
        "circles of n steps with radius 0.0011 n in u', v'.",
        note="From memory.",
    ),
    "OHNO-2005": Source(
        citation="Ohno, Spectral design considerations for white LED color rendering, Optical "
        "Engineering 44, 2005: LED spectra as (g + 2 g^5) / 3 of a Gaussian g.",
        note="Formula confirmed in an open package.",
    ),
    "SAUNDERSON": Source(
        citation="Saunderson, Calculation of the color of pigmented plastics, JOSA 32, 1942.",
        note="Formula from memory; the share from inside agrees with integrated Fresnel equations.",
    ),
    "PNG": Source(
        citation="Portable Network Graphics (PNG) Specification, third edition, W3C.",
        note="Chunks and filters are from memory; the files are read back by other programs.",
    ),
    "REFLECTANCE": Source(
        citation="Lighting tables: white 0.8, light grey 0.4, mid grey 0.2; bright aluminium 0.85, "
        "silver film 0.95.",
        note="Read on pages of a lamp maker and of a lighting research centre.",
    ),
    "FRESNEL": Source(
        citation="Fresnel's equations at right angles: a face of index n throws back "
        "((n - 1) / (n + 1))^2, and two faces with all reflections between them 2 r / (1 + r).",
    ),
    "HAZE-METER": Source(
        citation="ASTM D1003: haze is the share of the light a sheet passes that it turns aside by "
        "more than 2.5 degrees.",
        note="From memory.",
    ),
    "STOKES-PILE": Source(
        citation="G. G. Stokes, On the intensity of the light reflected from or transmitted "
        "through a pile of plates (1862): reflections between layers added up.",
        note="The citation is from memory; the formulas are checked against KUBELKA-MUNK.",
    ),
    "KUBELKA-MUNK": Source(
        citation="P. Kubelka, New contributions to the optics of intensely light-scattering "
        "materials (1948): reflectance and transmittance of a layer from scatter and absorption.",
        note="The citation is from memory; the formulas are the solution of two equations.",
    ),
    "ISO12646": Source(
        citation="ISO 12646, Displays for colour proofing: white within 10 percent of the centre; "
        "IEC 61966-2-1: 80 cd/m2 white in a room of 64 lx.",
        note="Read through pages that quote them.",
    ),
    "MURRAY-DAVIES": Source(
        citation="A. Murray, Monochrome reproduction in photoengraving, Journal of the Franklin "
        "Institute 221, 1936.",
        note="Formula read in a textbook of colour science.",
    ),
    "YULE-NIELSEN": Source(
        citation="J. A. C. Yule and W. J. Nielsen, The penetration of light into paper and its "
        "effect on halftone reproduction, TAGA Proceedings, 1951.",
        note="Formula and the range of n, 1 to 2, read in a textbook of colour science.",
    ),
    "DEMICHEL": Source(
        citation="M. E. Demichel, Procede 26, 1924: overprints of screens share the area by "
        "chance.",
        note="From memory; the shares follow from independence.",
    ),
    "CLAPPER-YULE": Source(
        citation="F. R. Clapper and J. A. C. Yule, The effect of multiple internal reflections on "
        "the densities of half-tone prints on paper, J. Opt. Soc. Am. 43, 1953.",
        note="Formula from memory; it is the sum over all reflections.",
    ),
    "TETRAHEDRAL": Source(
        citation="J. Sakamoto and H. Itooka, tetrahedral interpolation of colour tables, US patent "
        "4275413, 1981 (expired).",
        note="From memory; checked by functions that it must give exactly.",
    ),
    "CIE94": Source(
        citation="CIE 116-1995, Industrial colour-difference evaluation: weights of chroma and "
        "hue 1 + 0.045 C* and 1 + 0.015 C*, lightness 2 to 1 for textiles.",
        note="From memory.",
    ),
    "ISO3664": Source(
        citation="ISO 3664, Graphic technology and photography, Viewing conditions: prints under "
        "D50.",
        note="From memory.",
    ),
    "ISO18619": Source(
        citation="ISO 18619, Image technology colour management, Black point compensation.",
        note="Its scaling by light from memory; the standard was not bought.",
    ),
}
