"""One thread of a process, stopped where it is while the others go on.

held_thread.py PID NAME   holds the thread of that name until it is gone
"""
import ctypes
import os
import sys

SEIZE, INTERRUPT, DETACH = 0x4206, 0x4207, 17  # <sys/ptrace.h>
ANY_THREAD = 0x40000000  # __WALL of <sys/wait.h>


class HeldThread:
    def __init__(self, pid, name):
        self.thread = next(int(task) for task in os.listdir(f"/proc/{pid}/task")
                           if self.name_of(pid, task) == name)
        self.libc = ctypes.CDLL(None, use_errno=True)
        self.call(SEIZE)
        self.call(INTERRUPT)
        self.wait()

    @staticmethod
    def name_of(pid, task):
        with open(f"/proc/{pid}/task/{task}/comm", encoding="ascii") as file:
            return file.read().rstrip("\n")

    def call(self, request):
        if self.libc.ptrace(request, self.thread, None, None) != 0:
            raise OSError(ctypes.get_errno(), "ptrace")

    def wait(self):
        """Until it stands, or is gone."""
        os.waitpid(self.thread, ANY_THREAD)

    def let_go(self):
        self.call(DETACH)


if __name__ == "__main__":
    HeldThread(int(sys.argv[1]), sys.argv[2]).wait()
