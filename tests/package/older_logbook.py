"""older_logbook.py FILE: a logbook as the first Panewalk wrote it, made by the sqlite3 module of Python."""
import os
import re
import sqlite3
import sys

HEADER = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "unit", "logbook",
                      "first_schema.hpp")

with open(HEADER, encoding="utf-8") as file:
    schema, entries = re.findall(r'R"\((.*?)\)"', file.read(), re.DOTALL)
connection = sqlite3.connect(sys.argv[1])
connection.executescript(f"{schema}{entries}PRAGMA application_id = 1349408619;"
                         "PRAGMA user_version = 1")
connection.close()
