"""The whole chain: a design goes in, everything computed from it comes out.

- ``result``: the plan, one record that holds every step's result.
- ``make``: runs the chain.
- ``kept``: results kept between runs, so that what has not changed is not computed again.
"""
