"""Yards: network namespaces at the other end of a cable (a veth pair) from the test's own."""
import contextlib
import ctypes
import os
import socket
import subprocess
import sys

from running import wait_for

CLONE_NEWNET = 0x40000000  # Linux, linux/sched.h; Python has it from 3.12 on
LIBC = ctypes.CDLL(None, use_errno=True)


def ip(*arguments, inside=()):
    path = os.environ["PATH"] + ":/usr/sbin:/sbin"
    subprocess.run([*inside, "ip", *arguments], check=True, env={**os.environ, "PATH": path})


class Yard:
    """Card `name` with 10.79.N.1 here; there a card `far` with 10.79.N.2, and multicast goes to it."""

    def __init__(self, name, number, seconds=600):
        self.name, self.here, self.there = name, f"10.79.{number}.1", f"10.79.{number}.2"
        self.broadcast = f"10.79.{number}.255"
        self.holder = subprocess.Popen(["unshare", "--net", "sleep", str(seconds)])
        self.inside = ["nsenter", "--net", "--target", str(self.holder.pid)]
        wait_for(lambda: os.readlink(f"/proc/{self.holder.pid}/ns/net") !=
                 os.readlink("/proc/self/ns/net"), "the other namespace")
        ip("link", "add", name, "type", "veth", "peer", "name", "far", "netns",
           str(self.holder.pid))
        ip("address", "add", f"{self.here}/24", "dev", name)
        ip("link", "set", name, "up")
        ip("address", "add", f"{self.there}/24", "brd", "+", "dev", "far", inside=self.inside)
        for card in ("lo", "far"):
            ip("link", "set", card, "up", inside=self.inside)
        ip("route", "add", "224.0.0.0/4", "dev", "far", inside=self.inside)

    @contextlib.contextmanager
    def entered(self):
        """A socket belongs to the namespace in which it was made."""
        ours = os.open("/proc/self/ns/net", os.O_RDONLY)
        theirs = os.open(f"/proc/{self.holder.pid}/ns/net", os.O_RDONLY)
        try:
            if LIBC.setns(theirs, CLONE_NEWNET) != 0:
                raise OSError(ctypes.get_errno(), "setns")
            yield
        finally:
            LIBC.setns(ours, CLONE_NEWNET)
            os.close(ours)
            os.close(theirs)

    def socket(self, *arguments):
        """Belongs to the yard."""
        with self.entered():
            return socket.socket(*arguments)

    def sender(self):
        """A UDP socket that may broadcast."""
        made = self.socket(socket.AF_INET, socket.SOCK_DGRAM)
        made.setsockopt(socket.SOL_SOCKET, socket.SO_BROADCAST, 1)
        return made

    def run(self, *command):
        """A program in the yard."""
        return subprocess.Popen([*self.inside, *command], stdout=subprocess.PIPE, text=True,
                                stderr=sys.stderr)

    def close(self):
        self.holder.kill()
        self.holder.wait()
        path = os.environ["PATH"] + ":/usr/sbin:/sbin"
        subprocess.run(["ip", "link", "delete", self.name], check=False, stderr=subprocess.DEVNULL,
                       env={**os.environ, "PATH": path})
