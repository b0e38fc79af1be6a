"""Make `python3 manage.py ...` work on a machine that has Python and nothing else.

Standard library only: this runs before Django, or anything else, is installed.

1. When this Python already has what the command needs, nothing is done.
2. On Debian and Ubuntu, missing system packages are installed with apt-get, as root or with a sudo that asks for no
   password; otherwise the one line to run is printed.
3. `.venv` is made beside manage.py, or mended, and the requirements are installed into it. A stamp in `.venv`
   remembers for which requirements that was done, so that the next start takes no time.
4. manage.py starts again with the Python of `.venv`.
"""

import argparse
import ctypes
import fcntl
import hashlib
import importlib.util
import operator
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator, MutableMapping, Sequence
from importlib import metadata
from pathlib import Path
from subprocess import DEVNULL, PIPE, STDOUT, CompletedProcess
from typing import NamedTuple, NoReturn

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
REQUIREMENTS = ROOT / "requirements.txt"
TEST_REQUIREMENTS = ROOT / ".ci" / "requirements-dev.txt"

# These work on made-up data, so they may run on the key that everyone can read.
DEMO_COMMANDS = {"agree", "bench", "demo", "play", "test", "work"}
RESTARTED = "BOOTSTRAP_RESTARTED"
APT_INSTALL = ["apt-get", "install", "-y", "--no-install-recommends", "-o", "DPkg::Lock::Timeout=120"]
COMPARISONS = {"==": operator.eq, "!=": operator.ne, ">=": operator.ge, "<=": operator.le}
COMPARISONS |= {">": operator.gt, "<": operator.lt}


class Library(NamedTuple):
    """A shared library that the printed pages are set with, and the Debian package that brings it."""

    file: str
    package: str


PRINT_LIBRARIES = [
    Library("libpango-1.0.so.0", "libpango-1.0-0"),
    Library("libpangoft2-1.0.so.0", "libpangoft2-1.0-0"),
    Library("libharfbuzz-subset.so.0", "libharfbuzz-subset0"),
]


def prepare(argv: Sequence[str]) -> None:
    """Return when this Python can run the command in `argv`; otherwise start again in `.venv`, or stop and say why."""
    command = argv[1] if len(argv) > 1 else "help"
    restarted = os.environ.pop(RESTARTED, None)  # programs that the command starts are no restarts
    set_environment(command, argv[2:], os.environ)
    requirements = TEST_REQUIREMENTS if command == "test" else REQUIREMENTS
    if command == "test" and not restarted:
        offer_browser()
    missing = list(missing_requirements(requirements))
    if not missing:
        return
    if restarted:
        stop(f".venv was made ready, and still lacks {', '.join(missing)}. Delete .venv and try again.")
    try:
        install_system_packages()
        with REQUIREMENTS.open() as held:
            fcntl.flock(held, fcntl.LOCK_EX)  # two commands started at once make one .venv, one after the other
            make_environment(requirements)
    except KeyboardInterrupt:
        stop("\nStopped. The same command goes on from here.")
    restart()


def set_environment(command: str, options: Sequence[str], environ: MutableMapping[str, str]) -> None:
    """Set what the command line decides and the settings read, for they load before a command sees its options."""
    if command in DEMO_COMMANDS:
        environ.setdefault("DEMO", "1")
    if command == "demo":
        parser = argparse.ArgumentParser(add_help=False, allow_abbrev=False)
        parser.add_argument("--database-url", default="")
        chosen = parser.parse_known_args(options)[0].database_url
        if chosen:
            environ["DATABASE_URL"] = chosen


def missing_requirements(file: Path) -> Iterator[str]:
    """Yield the names of the distributions that `file` asks for and this Python lacks, or has in a wrong version."""
    for line in file.read_text().splitlines():
        text = line.partition("#")[0].strip()
        if text.startswith("-r "):
            yield from missing_requirements(file.parent / text[3:].strip())
        elif text and ";" not in text and not is_installed(text):
            yield re.split(r"[\[<>=!~ ]", text)[0]


def is_installed(requirement: str) -> bool:
    """Whether this Python has a distribution that meets a requirement such as `pint>=0.25.3,<0.27`."""
    name = re.split(r"[\[<>=!~ ]", requirement)[0]
    try:
        installed = release(metadata.version(name))
    except metadata.PackageNotFoundError:
        return False
    bounds = re.findall(r"(==|!=|>=|<=|>|<)\s*([\d.]+)", requirement)
    return all(COMPARISONS[sign](installed, release(version)) for sign, version in bounds)


def release(version: str) -> tuple[int, ...]:
    """Return the numbers of a version without closing zeros, so that 27 and 27.0 are equal.

    >>> release("5.2.19"), release("27.0"), release("2.9.0.post0")
    ((5, 2, 19), (27,), (2, 9))
    """
    numbers = re.match(r"\d+(\.\d+)*", version)
    parts = [int(part) for part in numbers[0].split(".")] if numbers else []
    while parts and parts[-1] == 0:
        parts.pop()
    return tuple(parts)


def install_system_packages() -> None:
    """Install what Debian keeps apart from Python: the maker of environments, which must be there, and Pango."""
    needed = [] if importlib.util.find_spec("ensurepip") else [venv_package()]
    wanted = [library.package for library in PRINT_LIBRARIES if not loads(library.file)]
    if not needed and not wanted:
        return
    if apt_install(needed + wanted):
        importlib.invalidate_caches()
        return
    say_install_line(needed + wanted)
    if needed:
        stop("Without it no environment can be made here. Run that line, then this command again.")
    say("Going on without: the site runs, but it cannot make printed pages.")


def offer_browser() -> None:
    """Install Chromium where that is allowed; without it the tests that use a browser are skipped."""
    if shutil.which("chromium"):
        return
    say("The tests in a browser use Chromium, about 700 MB.")
    if apt_install(["chromium"]):
        return
    say_install_line(["chromium"])
    say("Going on without: the tests that use a browser are skipped.")


def venv_package() -> str:
    """Return the Debian package that lets this Python make environments."""
    return f"python{sys.version_info.major}.{sys.version_info.minor}-venv"


def loads(library: str) -> bool:
    """Whether a shared library can be loaded."""
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def apt_install(packages: Sequence[str]) -> bool:
    """Install Debian packages, and return whether they are there now; never asks for a password."""
    prefix = root_prefix()
    if prefix is None or not shutil.which("apt-get") or os.environ.get("INSTALL_PACKAGES") == "no":
        return False
    say(f"Installing {' '.join(packages)} with apt-get.")
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    run([*prefix, "apt-get", "update"], env=quiet)
    result = run([*prefix, *APT_INSTALL, *packages], env=quiet)
    if result.returncode:
        say("apt-get could not do that:\n" + last_lines(result.stdout))
    return result.returncode == 0


def root_prefix() -> list[str] | None:
    """Return what to put before a command that needs root, or None when there is no way without a password."""
    if os.geteuid() == 0:
        return []
    sudo = shutil.which("sudo")
    if sudo and run([sudo, "-n", "true"]).returncode == 0:
        return [sudo, "-n", "--preserve-env=DEBIAN_FRONTEND"]
    return None


def make_environment(requirements: Path) -> None:
    """Make `.venv`, or mend it, and install into it what is not yet stamped as installed."""
    python = str(VENV / "bin" / "python")
    stamped = is_stamped(requirements)
    works = run([python, "-c", "import django" if stamped else "import pip"]).returncode == 0
    if stamped and works:
        return
    if not works:
        say("Making an environment in .venv.")
        made = run([sys.executable, "-m", "venv", "--clear", str(VENV)])
        if made.returncode:
            stop("The environment could not be made:\n" + last_lines(made.stdout))
    say(f"Installing what {requirements.relative_to(ROOT)} lists into .venv. The first time takes a minute or so.")
    options = ["--quiet", "--disable-pip-version-check", "--no-input"]
    installed = run([python, "-m", "pip", "install", *options, "-r", str(requirements)])
    if installed.returncode:
        stop("pip could not install the requirements.\n" + advice(installed.stdout) + last_lines(installed.stdout))
    for file in covered_by(requirements):
        stamp(file).write_text(fingerprint(file))


def covered_by(requirements: Path) -> list[Path]:
    """Return the requirement files that an installation of `requirements` covers."""
    return [REQUIREMENTS] if requirements == REQUIREMENTS else [REQUIREMENTS, requirements]


def is_stamped(requirements: Path) -> bool:
    """Whether `.venv` was last filled from the requirement files as they read now."""
    files = covered_by(requirements)
    return all(stamp(file).exists() and stamp(file).read_text() == fingerprint(file) for file in files)


def stamp(requirements: Path) -> Path:
    """Return the file in `.venv` that remembers an installation of `requirements`."""
    return VENV / f"installed-{requirements.stem}"


def fingerprint(requirements: Path) -> str:
    """Return a digest that changes with the requirements and with the version of Python."""
    text = f"{sys.version_info[:2]} {requirements.read_text()}"
    return hashlib.sha256(text.encode()).hexdigest()


def restart() -> NoReturn:
    """Start manage.py again, as it was called, with the Python of `.venv`."""
    python = str(VENV / "bin" / "python")
    sys.stdout.flush()
    os.execve(python, [python, *sys.orig_argv[1:]], {**os.environ, RESTARTED: "1"})  # noqa: S606 - a fixed program


def run(command: Sequence[str], env: MutableMapping[str, str] | None = None) -> CompletedProcess[str]:
    """Run a command without input and keep what it prints; a program that is not there counts as one that failed."""
    try:
        return subprocess.run(  # noqa: S603 - commands of this module only
            command, stdin=DEVNULL, stdout=PIPE, stderr=STDOUT, text=True, errors="replace", env=env, check=False
        )
    except OSError as error:
        return CompletedProcess(command, 127, str(error))


def advice(output: str) -> str:
    """Return a sentence on what to do about a failed download, as far as what pip printed tells."""
    if re.search(r"name resolution|NewConnectionError|unreachable|timed out|ProxyError|Retrying", output):
        return "The package index did not answer: is this machine offline? Try again with a connection.\n"
    if "No space left" in output:
        return "The disk is full: the site takes about 250 MB, with the tests 700 MB.\n"
    return ""


def last_lines(output: str) -> str:
    """Return the end of what a program printed, set in."""
    return "\n".join("    " + line for line in output.strip().splitlines()[-8:])


def say_install_line(packages: Sequence[str]) -> None:
    """Print the line that installs Debian packages."""
    say("Missing on this machine. On Debian or Ubuntu this line installs it:")
    say(f"    sudo apt-get install --no-install-recommends {' '.join(packages)}")


def say(text: str) -> None:
    """Print a line for the person at the keyboard, apart from what the command itself prints."""
    sys.stderr.write(text + "\n")
    sys.stderr.flush()


def stop(text: str) -> NoReturn:
    """End with a message and no traceback."""
    sys.exit(text)
