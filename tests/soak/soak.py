#!/usr/bin/env python3
"""soak.py [MINUTES] [--out FOLDER] [--seed N] [--preload LIBRARY]: everything at once for so long, an hour
unless told.

`panewalk serve` streams to three receivers in network namespaces of their own (E1.31 by unicast and by
multicast, Art-Net) while the page is used, phones come and go, readers never read, checks and searches are
answered, the site is read again good and broken, links flap, receivers end and come back, hostile packets
come in bursts and a scan runs beside it. Once a second what the daemon holds is written to FOLDER/samples.csv.

Exit status 0: memory did not grow, files and threads are those of the start, each packet that did not come is
explained, and it ended dark and terminated. Otherwise 1, and the report says what was not so. Under 15 minutes
the heap has not settled, and memory may be told to grow. --preload is for a library that makes it fail.
"""
import argparse
import csv
import json
import os
import random
import signal
import socket
import subprocess
import sys
import time

import running
import verdict
from meter import held
from network_daemon import CLIENTS, SERVER, NetworkDaemon, use_addresses
from running import controller, make_site, prop, wait_for
from stream_watch import StreamWatch
from troubles import Everything
from udp_recorder import open_socket
from yards import Yard

E131, ARTNET = 5568, 6454
PERIOD = 25  # milliseconds: 40 frames a second
ROOM = 64 << 20  # octets that may wait for a receiver
KEPT = 2500  # milliseconds; E1.31-2018 6.7.1: a receiver takes this for the end
STEADY = 8  # seconds


class Place:
    """A network with its receiver. `windows` are when it could not hear."""

    def __init__(self, network, port, usual_ms, groups=()):
        self.network, self.port, self.groups = network, port, groups
        self.windows = []
        self.watch = StreamWatch(self.open, usual_ms)

    def open(self):
        with self.network.entered():
            made = open_socket("0.0.0.0", self.port, [], ROOM)
        for universe in self.groups:  # E1.31-2018 Table 9-10
            made.setsockopt(socket.IPPROTO_IP, socket.IP_ADD_MEMBERSHIP, socket.inet_aton(
                f"239.255.{universe >> 8}.{universe & 255}") + socket.inet_aton(self.network.there))
        return made


class SoakYard:
    def __init__(self, seconds):
        networks = [Yard(name, number, seconds) for number, name in enumerate(("bench", "jetty", "yard"), 1)]
        self.places = [Place(networks[0], E131, 2 * PERIOD), Place(networks[1], E131, KEPT, (2, 3, 4)),
                       Place(networks[2], ARTNET, KEPT)]
        self.reloads, self.silences = [], []
        self.scanned = self.write("scanned", "the same")
        self.write_site("the same")
        self.daemon = None

    def write_site(self, kind):
        if kind == "gone":
            os.remove(self.site)
            return
        self.site = self.write("site", kind)
        if kind == "broken":
            with open(self.site, "a", encoding="utf-8") as file:
                file.write("}")

    def write(self, folder, kind):
        bench, _, yard = (place.network for place in self.places)
        first = 20 if kind == "moved" else 10
        return make_site(
            folder,
            [controller("bench", "e131", bench.there, repeat="every frame",
                        supply={"volts": 12, "amps": 8}),
             controller("jetty", "e131", "multicast", interface="jetty"),
             controller("yard", "artnet", yard.there)],
            [prop("slip-window", "bench", 1), prop("loft-windows", "jetty", 2),
             prop("door-ring", "jetty", 4), prop("gable-line", "yard", first, nulls=1),
             prop("eaves-line", "yard", first + 1)])

    def close(self):
        for place in self.places:
            place.watch.stop()
            place.network.close()


class Counters:
    """Those of GET /api/light; a new site begins them anew."""

    NAMES = ("frames", "missed_frames", "packets", "dropped_packets")

    def __init__(self):
        self.last = dict.fromkeys(self.NAMES, 0)
        self.total = dict.fromkeys(self.NAMES, 0)
        self.most_late = 0.0

    def take(self, told):
        for name in self.NAMES:
            more = told[name] - self.last[name]
            self.total[name] += more if more >= 0 else told[name]
            self.last[name] = told[name]
        self.most_late = max(self.most_late, told["late"]["most_ms"])


def sample_for(seconds, everything, daemon, counters, out):
    """A row a second."""
    samples = []
    with open(out, "w", encoding="ascii", newline="") as file:
        writer = None
        begun = time.monotonic()
        while time.monotonic() - begun < seconds and daemon.process.poll() is None:
            told = everything.call("GET", "/api/light")
            counters.take(told)
            now = held(daemon.pid)
            row = {"seconds": round(time.monotonic() - begun, 2), **now.__dict__, "entries": everything.entries,
                   "logbook": os.path.getsize(os.path.join(os.environ["XDG_STATE_HOME"], "panewalk",
                                                           "logbook.sqlite")),
                   **counters.total, "late_ms": told["late"]["most_ms"]}
            if writer is None:
                writer = csv.DictWriter(file, row)
                writer.writeheader()
            writer.writerow(row)
            file.flush()
            samples.append(row)
            time.sleep(1 - (time.monotonic() - begun) % 1)  # what this machine had no time for is left out
    return samples


def at_rest(daemon):
    """What it holds without clients, once its listeners have asked whom they ask and joined what they join."""
    files = []

    def stays():
        files.append(held(daemon.pid).files)
        time.sleep(1)
        return len(files) > STEADY and len(set(files[-STEADY:])) == 1
    wait_for(stays, "open files that stay as they are", 120)
    return held(daemon.pid).__dict__


def settled(daemon, first):
    """What it holds once every client has gone. A reload while the scan had the ports made it listen by other
    sockets; one more begins anew."""
    daemon.signal(signal.SIGHUP)
    try:
        wait_for(lambda: held(daemon.pid).files <= first["files"], "the files of the start", 90)
    except AssertionError:
        for name in sorted(os.listdir(f"/proc/{daemon.pid}/fd"), key=int):
            print(f"open: {name} {os.readlink(f'/proc/{daemon.pid}/fd/{name}')}")
        print(subprocess.run(["ss", "-anptu"], capture_output=True, text=True, check=False).stdout)
    return held(daemon.pid).__dict__


def away_of(yard, place):
    """When nothing need come: Art-Net does not tell that a stream has ended."""
    return place.windows + (yard.silences + yard.reloads if place.port == ARTNET else [])


def judge(yard, everything, samples, first, last, status, counters):
    problems = [f"while it ran: {line}" for line in sorted(set(everything.wrong))]
    if status != 0:
        problems.append(f"the daemon ended with {running.show_end(status)}")
    problems += verdict.Growth(samples).problems() + verdict.back_to_the_start(first, last)
    for place in yard.places:
        name, watch = place.network.name, place.watch
        # Art-Net has no word for the end of a stream: one that is lit again at once begins anew without it.
        restarts = yard.reloads + (yard.silences if place.port == ARTNET else [])
        problems += verdict.lost_packets(name, watch.gaps, place.windows, restarts,
                                         counters.total["dropped_packets"])
        problems += verdict.missed_frames(name, watch.pauses, away_of(yard, place), PERIOD,
                                          counters.total["missed_frames"])
        newest = watch.newest()
        latest = max((stream.time for stream in newest.values()), default=0)
        problems += verdict.dark_and_ended(name, {universe: stream for universe, stream in newest.items()
                                                  if latest - stream.time < KEPT * 1_000_000})
        if not watch.packets:
            problems.append(f"{name}: nothing came")
    return problems


def report(yard, everything, samples, first, last, counters, problems):
    print(f"{samples[-1]['seconds'] / 60:.1f} minutes, seed {everything.seed}")
    for what, count in sorted(everything.seen.items()):
        print(f"  {what}: {count}")
    private = [each["private"] for each in samples]
    share = (samples[-1]["processor"] - samples[0]["processor"]) / samples[-1]["seconds"]
    print(f"memory of its own: {private[0]} KiB at first, {private[-1]} KiB at last, {max(private)} KiB at "
          f"most; resident {samples[-1]['resident']} KiB; logbook {samples[-1]['entries']} entries, "
          f"{samples[-1]['logbook'] >> 10} KiB")
    print(f"  {verdict.Growth(samples)}, after {verdict.ENTRY} KiB an entry")
    print(f"open files {first['files']} → {last['files']} (at most {max(s['files'] for s in samples)}), "
          f"threads {first['threads']} → {last['threads']}, processor {share:.1%} of a core")
    print(f"told: {', '.join(f'{n} {c}' for n, c in counters.total.items())}, latest frame "
          f"{counters.most_late} ms")
    for place in yard.places:
        watch = place.watch
        away = away_of(yard, place) + yard.reloads
        bare = [pause.milliseconds for pause in watch.pauses if not verdict.within(pause, away)]
        print(f"{place.network.name}: {watch.packets} packets; {len(place.windows)} times away; "
              f"{len(watch.gaps)} gaps, {sum(not verdict.within(g, away) for g in watch.gaps)} with no trouble "
              f"to explain them; intervals over {watch.usual // 1_000_000} ms else: {len(bare)}, the longest "
              f"{max(bare, default=0):.0f} ms")
    for problem in problems:
        print(f"NOT SO: {problem}")
    print("soak: " + ("failed" if problems else "passed"))


def keep_records(path, yard):
    """For whoever wants to know what came when: nanoseconds since 1970."""
    records = {"reloads": yard.reloads, "silences": yard.silences, "daemon": yard.daemon.lines}
    for place in yard.places:
        records[place.network.name] = {"windows": place.windows,
                                       "gaps": [gap.__dict__ for gap in place.watch.gaps],
                                       "pauses": [pause.__dict__ for pause in place.watch.pauses]}
    with open(path, "w", encoding="utf-8") as file:
        json.dump(records, file, indent=1)


def soak(options):
    seconds = options.minutes * 60
    use_addresses(SERVER, *CLIENTS)
    yard = SoakYard(seconds + 600)
    environment = {**os.environ, **({"LD_PRELOAD": options.preload} if options.preload else {})}
    daemon = yard.daemon = NetworkDaemon(yard.site, env=environment)
    everything, counters = Everything(yard, options.seed), Counters()
    try:
        everything.call("POST", "/api/light", {"props": ["slip-window"], "pattern": "chase"})
        wait_for(lambda: yard.places[0].watch.packets > 40, "it streams")
        everything.call("GET", "/api/network")
        everything.warm_up()
        first = at_rest(daemon)
        everything.start()
        samples = sample_for(seconds, everything, daemon, counters, os.path.join(options.out, "samples.csv"))
        everything.stop()
        last = settled(daemon, first)
        counters.take(everything.call("GET", "/api/light"))
        status = daemon.end(signal.SIGTERM)
        time.sleep(1)  # what is on its way arrives
    finally:
        everything.stops.set()
        daemon.__exit__()
        yard.close()
    problems = judge(yard, everything, samples, first, last, status, counters)
    keep_records(os.path.join(options.out, "records.json"), yard)
    report(yard, everything, samples, first, last, counters, problems)
    return 1 if problems else 0


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("minutes", nargs="?", type=float, default=60)
    parser.add_argument("--out", default=".")
    parser.add_argument("--seed", type=int, default=random.randrange(1 << 16))
    parser.add_argument("--preload")
    options = parser.parse_args()
    os.makedirs(options.out, exist_ok=True)
    running.use_own_state_folder()
    return soak(options)


if __name__ == "__main__":
    sys.exit(main())
