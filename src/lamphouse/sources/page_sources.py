"""Sources of the page in the browser: protocols, safety headers, accessibility."""

from lamphouse.sources.source_entry import Source

PAGE_SOURCES: dict[str, Source] = {
    "RFC9110": Source(citation="RFC 9110, HTTP Semantics: the Host field names who is asked."),
    "RFC6454": Source(citation="RFC 6454, The Web Origin Concept."),
    "RFC5737": Source(
        citation="RFC 5737, IPv4 Address Blocks Reserved for Documentation: 192.0.2.0/24.",
    ),
    "FETCH-METADATA": Source(citation="W3C, Fetch Metadata Request Headers: Sec-Fetch-Site."),
    "MALLOPT": Source(citation="Linux manual pages, mallopt(3): M_ARENA_MAX."),
    "CSP3": Source(citation="W3C, Content Security Policy Level 3."),
    "WCAG22": Source(citation="W3C, Web Content Accessibility Guidelines 2.2, level AA."),
    "XDG-DIRS": Source(
        citation="XDG Base Directory Specification: what a program remembers goes into "
        "XDG_STATE_HOME, else ~/.local/state.",
    ),
}
