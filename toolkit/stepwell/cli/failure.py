"""What the command line can't go on with, told in one sentence and a mend."""

from __future__ import annotations


class UsageProblem(Exception):  # noqa: N818 - it is told to people as what it is, a problem with how the tool was called
    """The call can't be carried out: exit code 2. ``mend`` says what to do instead."""

    def __init__(self, message: str, mend: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.mend = mend
