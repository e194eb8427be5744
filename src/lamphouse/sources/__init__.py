"""Where numbers and formulas come from: one bibliography for code, catalogue, findings and docs.

A key is cited as ``[IEC60063]`` in docstrings and stands in the ``source`` column of the catalogue.

- ``source_entry``: the record of one entry.
- ``colour_sources``: sources of colour, of light on surfaces, and of pictures.
- ``page_sources``: sources of the page in the browser.
- ``upkeep_sources``: sources of ageing, prices and workbooks.
- ``work_sources``: sources of the order of work, its schedule and its calendar.
- ``light_sources``: sources of light in boxes and fibres.
- ``wiring_sources``: sources of circuits, from parts to supplies and controllers.
- ``trade_sources``: sources of everything else.
"""

from lamphouse.sources.colour_sources import COLOUR_SOURCES
from lamphouse.sources.light_sources import LIGHT_SOURCES
from lamphouse.sources.page_sources import PAGE_SOURCES
from lamphouse.sources.source_entry import Source as Source
from lamphouse.sources.trade_sources import TRADE_SOURCES
from lamphouse.sources.upkeep_sources import UPKEEP_SOURCES
from lamphouse.sources.wiring_sources import WIRING_SOURCES
from lamphouse.sources.work_sources import WORK_SOURCES

SOURCES: dict[str, Source] = (
    TRADE_SOURCES
    | LIGHT_SOURCES
    | WIRING_SOURCES
    | COLOUR_SOURCES
    | PAGE_SOURCES
    | UPKEEP_SOURCES
    | WORK_SOURCES
)
"""Every source by its key."""
