"""Patterns on one time line, the programs that play them, and whether they are safe to look at.

- ``track``: what one source group does, in ticks and steps of lightness.
- ``beats``: patterns with a period as tracks.
- ``chance``: patterns that live by chance as tracks.
- ``lagging``: how an old lamp follows, and curves made straight pieces.
- ``laid_time``: the front door: groups and scenes laid out as a time table.
- ``time_table``: every group in every scene.
- ``playing``: the rules of play, and what is seen when a table is played.
- ``slower``: a time table with one group played slower.
- ``program_data``: a time table as the whole numbers a program holds.
- ``micropython_program``: a time table as ``main.py`` for a small controller board.
- ``avr_program``: a time table as ``main.c`` for an 8-bit AVR.
- ``program_text``: words and numbers as they stand in a program.
- ``load_over_time``: what the model draws second by second.
- ``flash_safety``: how fast, how bright and how large to the eye it flashes.
- ``pattern_rules``: rules about single patterns, BLK002 on.
- ``time_line_rules``: rules about the whole time line, BLK001 and BLK005.
"""
