"""The one error of this room: why a picture cannot be traced, and what would help."""


class TraceError(ValueError):
    """A picture that cannot be traced honestly.

    Attributes
    ----------
    what : str
        What is wrong with the picture, with the figures.
    remedy : str
        What to do about it.
    """

    def __init__(self, what: str, *, remedy: str) -> None:
        super().__init__(f"{what}; {remedy}")
        self.what = what
        self.remedy = remedy
