"""Bytes onto the disk, whole or not at all.

- ``refusal``: the one error of this room, in plain words with what to do.
- ``claim``: names for unfinished work beside a target, and the sweeping of what a killed run left.
- ``atomic``: one file, replaced whole.
- ``folder``: one folder of our own making, replaced whole; nothing of the maker's is deleted.
- ``reading``: a file read, never a pipe or a device.
- ``file_names``: file names that every system takes, made from any words.
"""
