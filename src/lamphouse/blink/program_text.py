"""Words and numbers as they stand in a program's text: ASCII, in rows."""

from collections.abc import Sequence


def plain_words(words: str) -> str:
    """Give words in ASCII on one line, fit for a comment of Python or C."""
    kept = "".join(sign if 32 <= ord(sign) < 127 else "?" for sign in words)
    return kept.replace("*/", "* /").replace("/*", "/ *")


def in_rows(numbers: Sequence[str], *, each: int = 12) -> str:
    """Give numbers in rows of so many, a comma after every one."""
    rows = (numbers[start : start + each] for start in range(0, len(numbers), each))
    return "\n".join(f"    {', '.join(row)}," for row in rows)
