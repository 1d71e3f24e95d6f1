"""What a process holds of this machine, as the kernel tells: proc(5)."""
import dataclasses
import os

from running import processor_seconds


@dataclasses.dataclass(frozen=True)
class Held:
    """Memory in KiB. `private` is what no other process shares, so what the process asked for itself."""

    resident: int
    proportional: int
    private: int
    files: int
    threads: int
    processor: float


def smaps(pid):
    """/proc/[pid]/smaps_rollup, in KiB."""
    with open(f"/proc/{pid}/smaps_rollup", encoding="ascii") as file:
        pairs = (line.split(":") for line in file.readlines()[1:])
        return {name: int(value.split()[0]) for name, value in pairs}


def open_files(pid):
    return len(os.listdir(f"/proc/{pid}/fd"))


def held(pid):
    memory = smaps(pid)
    return Held(memory["Rss"], memory["Pss"], memory["Private_Dirty"], open_files(pid),
                len(os.listdir(f"/proc/{pid}/task")), processor_seconds(pid))
