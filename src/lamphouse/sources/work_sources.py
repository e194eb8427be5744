"""Sources of the order of work, its schedule and its calendar."""

from lamphouse.sources.source_entry import Source

WORK_SOURCES: dict[str, Source] = {
    "CPM": Source(
        citation="J. E. Kelley and M. R. Walker, Critical-path planning and scheduling, "
        "Proceedings of the Eastern Joint Computer Conference, 1959.",
        note="Read through textbooks; three printed examples are met (tests/reference/scheduling).",
    ),
    "PERT": Source(
        citation="D. G. Malcolm, J. H. Roseboom, C. E. Clark and W. Fazar, Application of a "
        "technique for research and development program evaluation, Operations Research 7, 1959.",
        note="Mean (a + 4 m + b)/6, deviation (b - a)/6; it sees one path alone, and so ends too "
        "early where others are nearly as long.",
    ),
    "RCPSP-SGS": Source(
        citation="R. Kolisch, Serial and parallel resource-constrained project scheduling methods "
        "revisited, European Journal of Operational Research 90, 1996.",
        note="Read through later papers on the same schemes.",
    ),
    "RCPSP-FBI": Source(
        citation="V. Valls, F. Ballestin and S. Quintanilla, Justification and RCPSP: a technique "
        "that pays, European Journal of Operational Research 165, 2005.",
        note="Read through later papers that use it.",
    ),
    "RFC5545": Source(
        citation="RFC 5545, Internet Calendaring and Scheduling Core Object Specification "
        "(iCalendar), 2009.",
    ),
}
"""Every source of this kind by its key."""
