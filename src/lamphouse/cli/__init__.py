"""The command line: arguments in, text or JSON out, no arithmetic.

- ``main``: the command ``lamphouse`` and its exit codes.
- ``commands``: new, check, pack, stock, doctor, schema, upgrade.
- ``glowing``: glow.
- ``suggesting``: suggest.
- ``balancing``: balance.
- ``faulting``: fault.
- ``proving``: prove.
- ``tracing``: card, trace.
- ``trace_words``: the answer of trace as lines for a terminal.
- ``screen``: answers as text for a terminal.
- ``doctoring``: which outside programs are there, and which proofs need them.
"""
