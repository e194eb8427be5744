"""Fibres: how strands are packed, lit, routed, cut, marked and shared among their sources.

- ``tightening``: a packing drawn tighter without ever an overlap.
- ``equal_packings``: packings of few equal circles, found before.
- ``packing``: strands in the smallest round bore.
- ``apparent_source``: the bright face that strands look into.
- ``coupling``: light from that face into the cores.
- ``strand_light``: what a strand loses, and how bright its tip is.
- ``swing``: the bends of a strand between its hole and its ferrule.
- ``source_places``: where sources stand behind their panels.
- ``runs``: every strand from its hole to its ferrule.
- ``run_rules``: room to bend, a way, one group to a hole.
- ``bundle``: strands in a ferrule before their source.
- ``bundle_rules``: tips alike, a tube that fits, balance with the panels.
- ``dealing``: points dealt to groups so that neighbours differ.
- ``sharing``: the open strands of a sub-assembly shared out.
- ``strand_table``: the one table of strands.
"""
