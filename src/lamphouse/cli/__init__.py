"""The command line: arguments in, text or JSON out, no arithmetic.

- ``main``: the command ``lamphouse`` and its exit codes.
- ``commands``: new, check, pack, stock, doctor, schema, upgrade.
- ``glowing``: glow.
- ``colouring``: colour.
- ``artworking``: artwork.
- ``artwork_words``: the answer of artwork as lines for a terminal.
- ``suggesting``: suggest.
- ``balancing``: balance.
- ``faulting``: fault.
- ``logging_bench``: log.
- ``photographing``: photo.
- ``proving``: prove.
- ``opening``: open, the page in a browser.
- ``ordering``: steps.
- ``parting``: parts, drawer.
- ``tracing``: card, trace.
- ``trace_pictures``: which options of trace go together; its pictures read.
- ``lengths``: lengths and sizes as options take them.
- ``trace_words``: the answer of trace as lines for a terminal.
- ``screen``: answers as text for a terminal.
- ``opening``: the sub-command open.
- ``doctoring``: which outside programs are there, and which proofs need them.
"""
