"""A program at a terminal of its own."""
import fcntl
import os
import pty
import select
import subprocess
import termios
import time

from running import PANEWALK, PATIENCE


class Screen:
    """A program at a terminal, and what it printed."""

    def __init__(self, *arguments, state):
        self.ours, theirs = pty.openpty()
        termios.tcsetwinsize(theirs, (24, 80))
        self.process = subprocess.Popen(
            [PANEWALK, *arguments], stdin=theirs, stdout=theirs, stderr=theirs,
            start_new_session=True, preexec_fn=lambda: fcntl.ioctl(0, termios.TIOCSCTTY, 0),
            env={**os.environ, "STATE_DIRECTORY": state, "NO_COLOR": "1"})
        os.close(theirs)
        self.text = ""

    def until(self, words, start=0):
        """Reads on until the words are there after `start`; returns where they end."""
        end = time.monotonic() + PATIENCE
        while words not in self.text[start:]:
            if time.monotonic() > end:
                raise AssertionError(f"no {words!r} in {self.text[start:]!r}")
            if select.select([self.ours], [], [], 0.1)[0]:
                try:
                    self.text += os.read(self.ours, 65536).decode("utf-8", "replace")
                except OSError as error:
                    raise AssertionError(f"no {words!r} in {self.text[start:]!r}") from error
        return self.text.index(words, start) + len(words)

    def type(self, text):
        os.write(self.ours, text.encode())

    def close(self):
        if self.process.poll() is None:
            self.process.kill()
        self.process.wait()
        os.close(self.ours)
