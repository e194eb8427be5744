"""The build: what to buy and what to have ready.

- ``as_built_rules``: rules on what was built.
- ``judged_log``: which steps are done, and whether readings lie where they should.
- ``log_entries``: one entry of the bench log.
- ``log_text``: a bench log as plain text.
- ``part_use``: one use of a part, and the kinds of parts.
- ``paint_uses``: how much paint faces and light boxes take.
- ``model_uses``: every use of a part, read off pieces, circuits and loom.
- ``parts``: the parts list, counted from all uses.
- ``buying``: what to buy, in packs, at the maker's own prices.
- ``ageing``: how LEDs fade, and how much light colours take in.
- ``film_rows``: film laid in rows on the sheets at hand.
- ``stock_rules``: rules about what is at hand, PAR001 on.
"""
