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
- ``program_size``: how much flash and RAM a program takes.
- ``program_text``: words and numbers as they stand in a program.
- ``drivers``: what stands between a pin and the strings of a group.
- ``pin_plan``: which group hangs on which pin.
- ``astable``: a timer chip with two resistors and a capacitor.
- ``astable_plan``: which patterns timer chips can play.
- ``timer_ring``: a timer chip for each lamp, in a ring.
- ``astable_deck``: an astable as a SPICE deck.
- ``ring_deck``: a ring of timers as a SPICE deck.
- ``load_over_time``: what the model draws second by second.
- ``flash_safety``: how fast, how bright and how large to the eye it flashes.
- ``pattern_rules``: rules about single patterns, BLK002 on.
- ``time_line_rules``: rules about the whole time line, BLK001 and BLK005.
- ``pin_rules``: rules about pins and memory, BLP002 to BLP004 and BLP006.
- ``timekeeping``: how well controllers keep time, BLP013.
- ``controller_rules``: the other rules about controllers.
"""
