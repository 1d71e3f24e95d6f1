"""The man page before mandoc and groff, and the completions in bash, zsh and fish themselves: typed at a
terminal, with the Tab key."""
import os
import pty
import select
import shutil
import signal
import subprocess
import tempfile
import time
import unittest

from running import PANEWALK, PATIENCE, SOURCE, main

# Typed in the source's top folder, what it becomes. The names are those of config/boathouse.json.
TYPED = [
    ("panewalk li", "panewalk light "),
    ("panewalk map config/bo", "panewalk map config/boathouse.json "),
    ("panewalk map config/boathouse.json sl", "panewalk map config/boathouse.json slip-window "),
    ("panewalk light config/boathouse.json slip-window ch",
     "panewalk light config/boathouse.json slip-window chase "),
    ("panewalk light config/boathouse.json slip-window --le",
     "panewalk light config/boathouse.json slip-window --level "),
    ("panewalk map --as s", "panewalk map --as svg "),
    ("panewalk map --as=s", "panewalk map --as=svg "),
    ("panewalk map --as csv config/boathouse.json sl",
     "panewalk map --as csv config/boathouse.json slip-window "),
    ("panewalk serve --listen 127.0.0.1:8017 config/bo",
     "panewalk serve --listen 127.0.0.1:8017 config/boathouse.json "),
    ("panewalk power config/boathouse.json --pattern rai",
     "panewalk power config/boathouse.json --pattern rail-by-rail "),
    ("panewalk logbook config/boathouse.json --prop=door",
     "panewalk logbook config/boathouse.json --prop=door-ring "),
    ("panewalk serve config/boathouse.json --fault slip-window:da",
     "panewalk serve config/boathouse.json --fault slip-window:data-open="),
    ("panewalk wire config/props/slip-window.json --keep",
     "panewalk wire config/props/slip-window.json --keep-start "),
]
COMMANDS = ["validate", "map", "wire", "power", "sheet", "light", "find", "serve", "scan", "demo",
            "logbook", "manual"]


def run(*command, status=0, text=None):
    done = subprocess.run(command, input=text, capture_output=True, text=True, timeout=60, check=False,
                          cwd=SOURCE, env={**os.environ, "LC_ALL": "C.UTF-8"})
    assert done.returncode == status, (command, done.returncode, done.stdout[-500:], done.stderr)
    return done.stdout


class Folder(unittest.TestCase):
    """A folder with the program on the PATH and what each shell completes with."""

    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.mkdtemp()
        os.symlink(PANEWALK, os.path.join(cls.folder, "panewalk"))
        for form in ("man", "bash", "zsh", "fish"):
            with open(cls.path(form), "w", encoding="utf-8") as file:
                file.write(run(PANEWALK, "manual", "--as", form))

    @classmethod
    def tearDownClass(cls):
        shutil.rmtree(cls.folder)

    @classmethod
    def path(cls, name):
        return os.path.join(cls.folder, name)


class ManPage(Folder):
    def test_mandoc_and_groff_find_nothing(self):
        self.assertEqual(run("mandoc", "-T", "lint", self.path("man")), "")
        done = subprocess.run(["groff", "-mdoc", "-ww", "-Tutf8", "-z", self.path("man")],
                              capture_output=True, text=True, timeout=60, check=True)
        self.assertEqual(done.stdout + done.stderr, "")

    def test_it_reads_well_in_80_columns(self):
        page = run("mandoc", "-T", "ascii", "-O", "width=78", self.path("man"))
        while "\b" in page:  # bold and underlined letters
            at = page.index("\b")
            page = page[:at - 1] + page[at + 1:]
        heads = [line for line in page.split("\n")[1:-2] if line and not line.startswith(" ")]
        self.assertEqual(heads, ["NAME", "SYNOPSIS", "DESCRIPTION", "COMMANDS", "ENVIRONMENT", "FILES",
                                 "EXIT STATUS", "EXAMPLES", "SAFETY", "SEE ALSO"])
        for command in COMMANDS:
            self.assertIn(f"\n   {command}\n", page)
        self.assertIn("""
   map
     Print where each pixel sits and on which channel it is.

     SITE    The site file.

     PROP    The prop's name.

     --as table | csv | json | svg
             How to print it; svg is a picture seen from the front.  Without
             it: table.

     Positions are in millimetres""", page)
        self.assertIn("""
EXIT STATUS
     0       Done.

     1       Failed while running.

     2       Wrong usage.

     3       The input has faults.
""", page)


class Text(Folder):
    def test_the_plain_manual_is_every_help(self):
        parts = run(PANEWALK, "manual").split("\n" + "-" * 78 + "\n\n")
        helps = [run(PANEWALK, "--help")] + [run(PANEWALK, each, "--help") for each in COMMANDS]
        self.assertEqual(parts, helps)

    def test_names(self):
        site = "config/boathouse.json"
        self.assertEqual(run(PANEWALK, "manual", "--names", "props", site).split(),
                         ["slip-window", "loft-windows", "door-ring", "gable-line", "eaves-line"])
        patterns = run(PANEWALK, "manual", "--names", "patterns", site).split()
        shipped = {name.removesuffix(".json") for name in os.listdir(os.path.join(SOURCE, "patterns"))}
        self.assertEqual(set(patterns), shipped | {"rail-by-rail"})
        faults = run(PANEWALK, "manual", "--names", "faults", site).split()
        self.assertEqual(len(faults), 5 * 24)
        self.assertIn("gable-line:packing=", faults)
        self.assertIn("gable-line:mirrored", faults)
        self.assertIn("eaves-line:surprise", faults)

    def test_nothing_is_said_of_a_site_that_cannot_be_read(self):
        done = subprocess.run([PANEWALK, "manual", "--names", "props", "no-such.json"],
                              capture_output=True, text=True, timeout=60, check=False)
        self.assertEqual((done.returncode, done.stdout, done.stderr), (3, "", ""))

    def test_names_of_nothing(self):
        done = subprocess.run([PANEWALK, "manual", "--names", "props"], capture_output=True, text=True,
                              timeout=60, check=False)
        self.assertEqual((done.returncode, done.stderr),
                         (2, "--names requires SITE\nRun with --help for more information.\n"))


class Shells(Folder):
    def at_terminal(self, command, files, keys):
        """What the line is after the keys: Control-O writes it to a file."""
        for name, text in files.items():
            with open(self.path(name), "w", encoding="utf-8") as file:
                file.write(text)
        saved = self.path("saved")
        pid, terminal = pty.fork()
        if pid == 0:
            os.chdir(SOURCE)
            path = self.folder + ":" + os.environ["PATH"]
            os.execvpe(command[0], command, {**os.environ, "PATH": path, "ZDOTDIR": self.folder,
                                             "TERM": "xterm", "LC_ALL": "C.UTF-8"})
        shown, lines = b"", []
        try:
            shown = self.read_until(terminal, lambda seen: b"ready> " in seen)
            for line in keys:
                # Control-U clears the line.
                os.write(terminal, b"\x15" + line.encode() + b"\t\x0f")
                shown += self.read_until(terminal, lambda _: os.path.exists(saved))
                with open(saved, encoding="utf-8") as file:
                    lines.append(file.read())
                os.remove(saved)
        finally:
            os.kill(pid, signal.SIGKILL)
            os.waitpid(pid, 0)
            os.close(terminal)
        return lines

    def read_until(self, terminal, done):
        shown, end = b"", time.monotonic() + PATIENCE
        while not done(shown):
            self.assertLess(time.monotonic(), end, shown)
            if select.select([terminal], [], [], 0.05)[0]:
                shown += os.read(terminal, 4096)
        return shown

    def test_bash(self):
        rc = (f"source {self.path('bash')}\nPS1='ready> '\n"
              f"save() {{ printf %s \"$READLINE_LINE\" >{self.path('new')}\n"
              f"mv {self.path('new')} {self.path('saved')}; }}\nbind -x '\"\\C-o\": save'\n")
        lines = self.at_terminal(["bash", "--noprofile", "--rcfile", self.path("rc"), "-i"], {"rc": rc},
                                 [typed for typed, _ in TYPED])
        self.assertEqual(lines, [becomes for _, becomes in TYPED])

    def test_zsh(self):
        rc = (f"autoload -U compinit\ncompinit -D -u\nsource {self.path('zsh')}\nPS1='ready> '\n"
              f"save() {{ print -rn -- $BUFFER >{self.path('new')}\n"
              f"mv {self.path('new')} {self.path('saved')} }}\nzle -N save\nbindkey '^O' save\n")
        lines = self.at_terminal(["zsh", "-d", "-i"], {".zshrc": rc}, [typed for typed, _ in TYPED])
        # Where a value follows, zsh writes "=" and takes it away again for a blank.
        self.assertEqual(lines, [becomes.replace("--level ", "--level=") for _, becomes in TYPED])

    def fish(self, line):
        script = (f"set -x PATH {self.folder} $PATH; source {self.path('fish')}; "
                  f"complete -C '{line}'")
        return [each.split("\t")[0] for each in run("fish", "--no-config", "-c", script).splitlines()]

    def test_fish(self):
        for typed, becomes in TYPED:
            self.assertEqual(self.fish(typed), [becomes.split(" ")[-2 if becomes[-1] == " " else -1]])

    def test_every_choice(self):
        choices = ["table", "csv", "json", "svg"]
        self.assertEqual(sorted(self.fish("panewalk map --as ")), sorted(choices))
        self.assertEqual(self.bash("panewalk map --as "), choices)
        self.assertEqual(self.bash("panewalk "), COMMANDS)
        self.assertEqual(sorted(self.fish("panewalk ")), sorted(COMMANDS))
        self.assertEqual(self.bash("panewalk logbook --kind "), ["bench", "walk", "find"])
        self.assertEqual(self.bash("panewalk map config/boathouse.json "),
                         ["slip-window", "loft-windows", "door-ring", "gable-line", "eaves-line"])
        self.assertEqual(self.bash("panewalk map no-such.json "), [])

    def bash(self, line):
        words = " ".join(f"'{word}'" for word in line.split(" "))
        script = (f"PATH={self.folder}:$PATH; source {self.path('bash')}; COMP_WORDS=({words}); "
                  f"COMP_CWORD={line.count(' ')}; _panewalk; printf '%s\\n' \"${{COMPREPLY[@]}}\"")
        return run("bash", "--noprofile", "--norc", "-c", script).split()

    def test_what_a_checker_says_of_the_bash_script(self):
        self.assertEqual(run("shellcheck", "-s", "bash", self.path("bash")), "")


class Words(unittest.TestCase):
    def said(self, *arguments):
        done = subprocess.run([PANEWALK, *arguments], stdin=subprocess.DEVNULL, capture_output=True,
                              text=True, check=False)
        return done.returncode, done.stdout, done.stderr

    def test_a_word_that_is_no_command(self):
        self.assertEqual(self.said("lgiht"),
                         (2, "", 'no command is named "lgiht"; did you mean "light"?\n'))

    def test_help_is_help(self):
        self.assertEqual(self.said("help"), self.said("--help"))
        self.assertEqual(self.said("help")[0], 0)


if __name__ == "__main__":
    main()
