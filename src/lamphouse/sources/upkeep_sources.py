"""Sources of ageing, prices and workbooks."""

from lamphouse.sources.source_entry import Source

UPKEEP_SOURCES: dict[str, Source] = {
    "TM-21": Source(
        citation="ANSI/IES TM-21, Projecting long-term luminous flux maintenance of LED light "
        "sources: B exp(-alpha t), L70 = ln(B / 0.7) / alpha, at most six times the hours tested.",
        note="Read through the society's own article on a metric for lumen maintenance; the limit "
        "for fewer than twenty samples is left out.",
    ),
    "BLUE-WOOL": Source(
        citation="CIE 157:2004, Control of damage to museum objects by optical radiation, with the "
        "blue wool scale of ISO 105-B; exposures to a just noticeable change without ultraviolet.",
        note="Neither was bought. That each class takes two to three times the last was read in "
        "a conservation institute's guide; the exposures themselves are from memory.",
    ),
    "ISO4217": Source(citation="ISO 4217, Codes for the representation of currencies."),
    "ECMA-376": Source(
        citation="ECMA-376, Office Open XML file formats: SpreadsheetML.",
        note="Read through files that other programs write; the result is opened by another "
        "library in the tests.",
    ),
}
