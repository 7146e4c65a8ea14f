"""Where words go: results to standard output, progress and complaints to standard error."""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TextIO

from stepwell.render.text.look import Look, look_of
from stepwell.render.text.wrap import columns, plain_ascii, tame, wrap


@dataclass(slots=True, kw_only=True)
class Console:
    """``out`` and ``err`` with the look of each. Progress is shown only if ``err`` is a terminal."""

    out: TextIO
    err: TextIO
    look: Look
    err_look: Look
    live: bool = False
    gone: bool = field(default=False, init=False)
    _shown: int = field(default=0, init=False)

    def write(self, text: str) -> None:
        """Print a result that has been laid out for ``look`` already."""
        self.clear()
        self._send(lambda: self.out.write(text))

    def write_document(self, text: str) -> None:
        """Print a document for another program: UTF-8 with bare newlines, whatever the terminal's own
        code."""
        self.clear()
        buffer = getattr(self.out, "buffer", None)
        if buffer is None:
            self._send(lambda: self.out.write(text))
        else:
            self._send(lambda: buffer.write(text.encode()))

    def _send(self, write: Callable[[], object]) -> None:
        """Write and flush. A reader who has gone (``stepwell check | head``) is no fault; the exit code
        stays true."""
        if self.gone:
            return
        try:
            self.out.flush()
            write()
            self.out.flush()
        except OSError as error:
            # Windows says "invalid argument" where other systems say "broken pipe".
            if error.errno not in (errno.EPIPE, errno.EINVAL):
                raise
            self.gone = True
            _send_nowhere(self.out)

    def note(self, text: str) -> None:
        """Print one sentence about what was done."""
        lines = "\n".join(wrap(text, self.look.width)) + "\n"
        self.write(lines if self.look.full else plain_ascii(lines))

    def complain(self, text: str, mend: str = "") -> None:
        """Print a problem and its mend to standard error."""
        self.clear()
        lines = list(wrap(text, self.err_look.width, "stepwell: ", "    "))
        if mend:
            lines += wrap(mend, self.err_look.width, "    ")
        words = "\n".join(lines) + "\n"
        self.err.write(words if self.err_look.full else plain_ascii(words))
        self.err.flush()

    def progress(self, text: str) -> None:
        """Show what is being done on the one line that the next call overwrites; nothing in a pipe."""
        if not self.live:
            return
        line = tame(text)
        if not self.err_look.full:
            line = plain_ascii(line)
        room = self.err_look.width - 1
        while columns(line) > room:
            line = line[:-1]
        wide = columns(line)
        self.err.write("\r" + line + " " * max(0, self._shown - wide))
        self.err.flush()
        self._shown = wide

    def clear(self) -> None:
        """Take the line of progress away."""
        if self._shown:
            self.err.write("\r" + " " * self._shown + "\r")
            self.err.flush()
            self._shown = 0


def console_of(out: TextIO, err: TextIO, environ: Mapping[str, str]) -> Console:
    """A console on two streams."""
    windows = sys.platform == "win32"
    return Console(
        out=out,
        err=err,
        look=look_of(out, environ, windows=windows),
        err_look=look_of(err, environ, windows=windows),
        live=err.isatty() and environ.get("TERM") != "dumb",
    )


def _send_nowhere(stream: TextIO) -> None:
    """Let what is still buffered go nowhere, so that the interpreter does not complain when it ends."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, stream.fileno())
    except (OSError, ValueError):
        return
    finally:
        os.close(nowhere)
