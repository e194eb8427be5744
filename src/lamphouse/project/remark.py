"""A comment of the program's own above a key, in place of its older one."""

from lamphouse.project.splice import apply, line_end
from lamphouse.project.tree import Path
from lamphouse.project.write import sound_tree


def remarked(text: str, *, at: Path, mark: str, words: str) -> str:
    """Put a comment on a line of its own above a key.

    Parameters
    ----------
    text
        The whole file.
    at
        The key.
    mark
        What the comment begins with, its ``#`` included; an older one takes its place.
    words
        What it says, in one line.

    Raises
    ------
    ChangeError
        If the text is no sound project file.
    LookupError
        If nothing stands at the path.
    """
    tree = sound_tree(text)
    start = text.rfind("\n", 0, tree.spot(at).index) + 1
    line = text[start:]
    indent = line[: len(line) - len(line.lstrip(" "))]
    new = f"{indent}{mark} {' '.join(words.split())}{line_end(text)}"
    above = text.rfind("\n", 0, max(start - 1, 0)) + 1
    older = start and text[above:start].strip().startswith(mark)
    return apply(text, [(above if older else start, start, new)])
