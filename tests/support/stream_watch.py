"""Follows the streams of one daemon at a receiver for as long as one likes: what is kept grows only by what
is out of order."""
import dataclasses
import select
import threading
import time

import udp_recorder
from running import read_light



@dataclasses.dataclass(frozen=True)
class Gap:
    """`missing` packets between two of a universe; times in nanoseconds since 1970. `restarts` where the
    sequence begins anew: with 0 or 1."""

    universe: int
    missing: int
    before: int
    after: int
    restarts: bool


@dataclasses.dataclass(frozen=True)
class Pause:
    """Longer between two packets of a universe than was said to be usual."""

    universe: int
    before: int
    after: int

    @property
    def milliseconds(self):
        return (self.after - self.before) / 1e6


@dataclasses.dataclass
class Stream:
    sequence: int = 0
    time: int = 0
    ended: int = 0
    black: bool = True
    packets: int = 0
    ends: bool = False  # whether its protocol can say that it does


class StreamWatch:
    """`make` gives a bound socket; stop() and start() are a receiver that ends and comes back."""

    def __init__(self, make, usual_ms):
        self.make, self.usual = make, usual_ms * 1_000_000
        self.streams, self.gaps, self.pauses = {}, [], []
        self.packets = 0
        self.start()

    def start(self):
        self.socket = self.make()
        self.socket.setblocking(False)
        self.ends = False
        self.thread = threading.Thread(target=self._listen, daemon=True)
        self.thread.start()

    def stop(self):
        if self.ends:
            return
        self.ends = True
        self.thread.join()
        self.socket.close()

    def _listen(self):
        while not self.ends:
            if not select.select([self.socket], [], [], 0.1)[0]:
                continue
            while not self.ends:
                try:
                    datagram = udp_recorder.receive(self.socket)
                except OSError:
                    break
                light = read_light(datagram)
                if light:
                    self.take(light)

    def take(self, light):
        self.packets += 1
        key = (light.cid, light.universe)
        stream = self.streams.get(key)
        if stream is None:
            stream = self.streams[key] = Stream(ends=light.kind == "e131")
        elif stream.ended < 3:
            self.compare(stream, light)
        # E1.31-2018 6.2.6: three packets with Stream_Terminated end it.
        stream.ended = stream.ended + 1 if light.ended else 0
        stream.sequence, stream.time, stream.black = light.sequence, light.time, light.black
        stream.packets += 1

    def compare(self, stream, light):
        # Art-Net 4, ArtDmx: 1 to 255; ANSI E1.31-2018 Table 4-1: 0 to 255.
        if light.kind == "artnet":
            missing = (light.sequence - stream.sequence - 1) % 255
        else:
            missing = (light.sequence - stream.sequence - 1) % 256
        if missing:
            self.gaps.append(Gap(light.universe, missing, stream.time, light.time, light.sequence <= 1))
        if stream.ended or light.ended:
            return
        if light.time - stream.time > self.usual:
            self.pauses.append(Pause(light.universe, stream.time, light.time))

    def newest(self):
        """Universe → its last stream."""
        found = {}
        for (_, universe), stream in self.streams.items():
            if universe not in found or stream.time > found[universe].time:
                found[universe] = stream
        return found


class Window:
    """with Window(windows, 3): …  notes the time from now to so many seconds after the block."""

    def __init__(self, windows, after):
        self.windows, self.after = windows, after

    def __enter__(self):
        self.entry = [time.time_ns(), 1 << 62]
        self.windows.append(self.entry)
        return self

    def __exit__(self, *_):
        self.entry[1] = time.time_ns() + int(self.after * 1e9)
