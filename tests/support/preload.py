"""Libraries that a test puts before those of the program, from tests/support."""
import os
import subprocess

from running import SOURCE


def compile_library(name):
    """tests/support/NAME.cpp as a shared library in this folder; returns its path."""
    library = os.path.abspath(f"{name}.so")
    subprocess.run(
        [os.environ.get("CXX", "g++"), "-std=c++20", "-O1", "-fPIC", "-shared", "-o", library,
         os.path.join(SOURCE, "tests", "support", f"{name}.cpp")], check=True, timeout=200)
    return library
