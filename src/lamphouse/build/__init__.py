"""The build: what to buy and what to have ready.

- ``parts``: the parts list, counted from the plan's pieces, strands and circuits.
"""
