"""Bytes onto the disk, whole or not at all.

- ``refusal``: the one error of this room, in plain words with what to do.
- ``claim``: names for unfinished work beside a target, and the sweeping of what a killed run left.
- ``atomic``: one file, replaced whole.
- ``folder``: one folder of our own making, replaced whole; nothing of the maker's is deleted.
- ``log_places``: where a project's bench log and its photographs lie.
- ``log_photos``: photographs of the bench log, copied into the folder beside it.
- ``pictures_folder``: pictures of parts, in a folder beside the project's file.
- ``bench_log``: the bench log: entries are added, never changed, and none is lost.
- ``holding``: what a drawer holds of one part.
- ``drawer_layout``: the tables of a drawer's file.
- ``drawer``: parts that several projects share, and what is promised to each.
- ``drawer_text``: a drawer as text, and back.
- ``drawer_place``: where the drawer is kept.
- ``history``: every change of a file with its inverse, and where in them one stands.
- ``recent``: the projects opened last.
- ``reading``: a file read, never a pipe or a device.
- ``file_names``: file names that every system takes, made from any words.
"""
