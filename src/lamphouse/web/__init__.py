"""The page: the same project file, plan and drawings, in a browser on this machine.

The browser holds no truth: each edit is a change of the maker's text, made and undone here.

- ``server``: finds a port, starts the program behind the page, opens the browser.
- ``one_heap``: one heap for all threads.
- ``app``: every address of the page, put together.
- ``guard``: who may ask, from where, how much and how often; what a browser may load.
- ``keys``: the keys by which a browser is known: the owner's, and those of paired phones.
- ``workbench``: one open project: its text, reading, plan, history, and who listens.
- ``stamps``: what tells files as they are from what they were.
- ``shelf_of_projects``: the projects that are open, and those opened last.
- ``edits``: edits as they come from the page, made in the text.
- ``jobs``: long work with progress, which can be stopped.
- ``drawn``: drawings of the pack put into a page.
- ``completing``: what only a pack shows, added to the plan of an open project.
- ``sweeping``: one value of the project tried over a range.
- ``spread_work``: the work that is left, spread over evenings.
- ``log_of_project``: the bench log of an open project, as the page reads and writes it.
- ``pairing``: a code in a picture, good for one phone and a few minutes.
- ``reading_bodies``: bodies of requests read as what is expected.
- ``showing``: templates and what they need everywhere.
- ``starting``: the first screen: open, new, demos.
- ``answering``: what the page is told after a change.
- ``mend_button``: a finding's mend made by a button.
- ``page_frame``: the frame around every view, and the addresses all views share.
- ``page_views``: one module for each view.
"""
