"""The whole chain: a design goes in, everything computed from it comes out.

- ``result``: the plan, one record that holds every step's result.
- ``make``: runs the chain.
- ``shared_holes``: the passages between boxes put onto the walls that are cut.
- ``sheeted``: the pieces of a plan on stock sheets, laid out for a pack.
- ``time_lined``: what blinks, what it shows to the eye, what it draws over time.
- ``programmed``: every controller: pins, drivers, memory and program, or a timer chip's parts.
- ``stranded``: every strand: its run, its bundle, its tip, and the one table that names it.
- ``control_parts``: what controllers are built from, for the parts list.
- ``painted``: the paintings, proved for a pack.
- ``followed``: a design that follows the model as it was built.
- ``followed_changes``: what a figure as built changes.
- ``logged_steps``: steps as the bench log names them.
- ``judged_readings``: readings at the bench judged, with what to do next.
- ``ordered``: the order of work with what each gate should show, and the evenings.
- ``kept``: results kept between runs, so that what has not changed is not computed again.
- ``placed``: everything in its place in the room.
- ``under_floor``: what hangs on the loom, and what its wires resist.
- ``boarded``: the boards, judged in a check and laid out for a pack.
- ``spreading``: what most builds of each sub-assembly come to.
- ``resistor_stock``: which resistors of the drawer are free for which sub-assembly.
- ``wirings``: every sub-assembly as it is soldered.
- ``fault_finding``: the fault finder for one sub-assembly, and readings as written.
- ``bench_readings``: what a meter should read, for a pack.
- ``pictured``: the openings of a box as pictures.
- ``live_panel``: a panel kept solved while its items are dragged.
- ``printed_opening``: openings with a print, as the colour room wants them.
- ``artworked``: what to print for an opening so that it reads right when lit.
- ``judged_prints``: every print of a design judged.
- ``print_ways``: films, gels and LEDs ranked for an artwork.
- ``print_spread``: how sure the reading of a print is.
- ``second_opinion``: their luminances found again by random walks.

Suggestions
-----------
- ``balanced_plan``: the model before and after its resistors were balanced.
- ``suggest``: the front door: how to light a box for a wanted look.
- ``asking``: what a maker asks for, found by name.
- ``suggestion``: the records of a suggestion.
- ``suggestion_ranking``: choices in order, with their prices.
- ``coloured_starts``: LEDs, gels and tints that give a look its colour.
- ``colour_choices``: ways to a wanted colour and luminance of one opening.
- ``choice_fields``: the openings of a choice as fields to be painted.
- ``suggestion_words``: a choice's reason and price in one line each.
- ``variations``: what may be changed about a box besides its LEDs.
- ``choosing``: one choice, with its circuit designed and its glow solved.
- ``led_floor``: where an LED with its wires can be glued.
- ``led_rows``: LEDs at places as the rows a maker writes.
"""
