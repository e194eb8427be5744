"""Published renderers as witnesses of the glow: the same box, said in their words.

``path_tracer``
    A box for Mitsuba 3.
``radiance``
    A box for Radiance.
``sighting``
    What a renderer found at an opening.
"""
