"""Stands for a service manager: hears what sd_notify(3) says."""
import os
import re
import socket
import threading

from running import PATIENCE


class Manager:
    """What a service tells, in order."""

    def __init__(self, watchdog_usec=600_000):
        self.path = os.path.abspath("notify")
        if os.path.exists(self.path):
            os.unlink(self.path)
        self.socket = socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM)
        self.socket.bind(self.path)
        self.socket.settimeout(PATIENCE)
        self.environment = dict(os.environ, NOTIFY_SOCKET=self.path, WATCHDOG_USEC=str(watchdog_usec))
        self.told = []
        threading.Thread(target=self.listen, daemon=True).start()

    def listen(self):
        while True:
            try:
                self.told.append(self.socket.recv(4096).decode())
            except OSError:
                return

    def signs(self):
        return self.told.count("WATCHDOG=1")

    def states(self):
        return [re.sub(r"(?<=MONOTONIC_USEC=)\d+", "…", told)
                for told in self.told if told != "WATCHDOG=1"]

    def close(self):
        self.socket.close()
