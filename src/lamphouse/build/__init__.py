"""The build: what to buy and what to have ready.

- ``log_entries``: one entry of the bench log.
- ``log_text``: a bench log as plain text.
- ``parts``: the parts list, counted from the plan's pieces, strands and circuits.
"""
