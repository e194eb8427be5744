"""The Gorge Power Station demo: a museum model of any number of modules, in its maker's words.

- ``module_text``: what a module is made of, and how its text is filled in.
- ``halls``: the modules with walls and vaults: control room, turbine hall, tunnel.
- ``yards``: the modules with fires, masts and windows: boiler house, switchyard, offices.
- ``model_text``: the whole file: head, loom, groups, scenes and controllers round the modules.
"""
