"""What a soak's records say. Pure: values in, sentences out.

Memory is that which the process asked for itself (Private_Dirty), less what the logbook's entries take: they
are all kept in memory. A heap settles while everything happens for the first time, so the first quarter does
not count. Searches that are freed and made again take it up and down by 2 MiB; the most that it held in each of
16 parts of the run is steadier (14 to 15.3 MiB in a quarter of an hour). What may grow then is WALK for the
heap's own steps, and RATE for each hour: with 6 hours a night that
makes 45 MiB in a season of 30 nights, which a board of 512 MiB does not miss. Neither the line through the
last three quarters nor the difference of two medians may be more.
"""
import statistics

WALK = 1024  # KiB
BLOCKS = 16  # of a run
RATE = 256  # KiB an hour
# KiB for an entry of the logbook: of 4508, of searches and checks, 2588 KiB were in use (malloc_stats(3)), as many
# as after a new start with them.
ENTRY = 0.6


def slope(points):
    """Least squares; points are (x, y)."""
    x_mean = statistics.fmean(x for x, _ in points)
    y_mean = statistics.fmean(y for _, y in points)
    spread = sum((x - x_mean) ** 2 for x, _ in points)
    return sum((x - x_mean) * (y - y_mean) for x, y in points) / spread if spread else 0.0


def without_entries(samples):
    """(hours, KiB) of samples that have `seconds`, `private` and `entries`."""
    first = samples[0]["entries"]
    return [(each["seconds"] / 3600, each["private"] - ENTRY * (each["entries"] - first))
            for each in samples]


def highest(points):
    """The most of each part of the run, at its middle."""
    parts = [points[i * len(points) // BLOCKS:(i + 1) * len(points) // BLOCKS] for i in range(BLOCKS)]
    return [(statistics.fmean(x for x, _ in part), max(y for _, y in part)) for part in parts if part]


class Growth:
    def __init__(self, samples):
        points = highest(without_entries(samples))
        quarter = len(points) // 4
        late = points[quarter:]
        self.hours = late[-1][0] - late[0][0]
        self.rate = slope(late)
        self.second = statistics.median(y for _, y in points[quarter:2 * quarter])
        self.last = statistics.median(y for _, y in points[3 * quarter:])
        self.most = WALK + RATE * self.hours

    def __str__(self):
        return (f"{self.rate:+.0f} KiB an hour over the last three quarters; median of the second quarter "
                f"{self.second:.0f} KiB, of the last {self.last:.0f} KiB; may grow by {self.most:.0f} KiB")

    def problems(self):
        found = []
        if self.rate * self.hours > self.most:
            found.append(f"memory grows: {self}")
        elif self.last - self.second > self.most:
            found.append(f"memory has grown: {self}")
        return found


def back_to_the_start(first, last):
    """Open files and threads once every client has gone."""
    return [f"{what}: {first[name]} at the start, {last[name]} at the end"
            for name, what in (("files", "open files"), ("threads", "threads")) if last[name] > first[name]]


def lost_packets(name, gaps, windows, restarts, dropped):
    """Gaps that no trouble explains. `windows` are the times when this receiver could not hear, `restarts`
    when a sequence may begin anew, and `dropped` what the daemon told that it dropped itself."""
    bare = [gap for gap in gaps if not within(gap, windows) and not (gap.restarts and within(gap, restarts))]
    missing = sum(gap.missing for gap in bare)
    if missing <= dropped:
        return []
    return [f"{name}: {missing} packets are missing in {len(bare)} gaps that nothing explains ({dropped} were "
            f"dropped by the daemon); the first: {bare[0]}"]


def missed_frames(name, pauses, windows, period_ms, missed):
    """A pause of n periods is n - 1 frames, which the daemon must have told as missed. 2 ms are for the way
    of a packet to its receiver."""
    bare = [pause for pause in pauses if not within(pause, windows)]
    by_universe = {}
    for pause in bare:
        frames = int((pause.milliseconds - 2) // period_ms) - 1
        by_universe[pause.universe] = by_universe.get(pause.universe, 0) + max(0, frames)
    worst = max(by_universe.values(), default=0)
    if worst <= missed:
        return []
    return [f"{name}: {worst} frames of a universe did not come, {missed} were told as missed; the longest: "
            f"{max(bare, key=lambda pause: pause.milliseconds)}"]


def within(span, windows):
    return any(begin <= span.after and span.before <= end for begin, end in windows)


def dark_and_ended(name, streams):
    """The last stream of each universe that was sent at the end."""
    return [f"{name}: universe {universe} did not end dark and terminated: {stream}"
            for universe, stream in sorted(streams.items())
            if not stream.black or (stream.ends and stream.ended != 3)]
