"""The tolerances every test names, so that a loosened one is seen."""

EXACT = 1e-9
"""Closed forms and definitions."""
SINGLE = 1e-6
"""Sums carried in single precision, relative."""
TABLE = 0.5
"""Half of the last printed digit; multiply by the digit's size."""
PHYSICS = 1e-3
"""A model against an independent solution of the same physics, relative."""
BENCH = 0.02
"""What a bench meter and a part's own spread allow, relative."""
