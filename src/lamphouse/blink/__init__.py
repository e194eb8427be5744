"""Patterns on one time line, the programs that play them, and whether they are safe to look at.

- ``track``: what one source group does, in ticks and steps of lightness.
- ``time_table``: every group in every scene.
"""
