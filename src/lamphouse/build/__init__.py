"""The build: what to buy and what to have ready.

- ``as_built_rules``: rules on what was built.
- ``judged_log``: which steps are done, and whether readings lie where they should.
- ``log_entries``: one entry of the bench log.
- ``log_text``: a bench log as plain text.
- ``part_use``: one use of a part, and the kinds of parts.
- ``sheet_parts``: sheets and offcuts as parts of a drawer.
- ``paint_uses``: how much paint faces and light boxes take.
- ``model_uses``: every use of a part, read off pieces, circuits and loom.
- ``parts``: the parts list, counted from all uses.
- ``buying``: what to buy, in packs, at the maker's own prices.
- ``ageing``: how LEDs fade, and how much light colours take in.
- ``film_rows``: film laid in rows on the sheets at hand.
- ``stock_rules``: rules about what is at hand, PAR001 on.

Order of work
-------------
- ``steps``: the records of steps, edges and gates.
- ``made_things``: what steps come from.
- ``task_book``: tasks with what they belong to, so that rules find them.
- ``step_times``: how long steps take and things dry.
- ``panel_steps``: the steps of a panel.
- ``box_steps``: the steps of a light box.
- ``wiring_steps``: the steps of a sub-assembly's wiring.
- ``model_steps``: the steps of the model as a whole.
- ``gate_words``: what a gate should show.
- ``step_edges``: what a rule of before and after is, and asking all of them.
- ``panel_edges``: rules at a panel, each with its reason.
- ``box_edges``: rules at a light box.
- ``wiring_edges``: rules of the wiring.
- ``gate_edges``: gates: nothing is hidden before its test.
- ``work_order``: all of it in one valid order, the maker's own steps among it.
- ``order_rules``: rules about own steps, ORD001 on.

Evenings
--------
- ``schedule``: steps spread over evenings.
- ``themes``: work that suits together.
- ``one_theme``: jobs gathered by theme.
- ``resource_schedule``: jobs that share scarce resources, in the least time.
- ``slot_calendar``: time cut into slots, as bits of whole numbers.
- ``critical_path``: what decides the end, and estimates of three times.
- ``effort``: how many hours it may take.
"""
