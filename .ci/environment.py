"""Makes and keeps the project's own Python environment in `.venv`. Standard library only.

`demo/run.py` and `tests/run.py` call `ensure`; it returns the Python to use. The first call takes
a minute, later calls with nothing changed a few hundredths of a second.
"""

from __future__ import annotations

import contextlib
import ctypes
import hashlib
import importlib.util
import json
import os
import platform
import shutil
import subprocess
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Literal, NoReturn

Kind = Literal["run", "test"]

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
LOCKS: dict[Kind, Path] = {
    "run": ROOT / ".ci" / "requirements.lock",
    "test": ROOT / ".ci" / "requirements-test.lock",
}
OLDEST_PYTHON = (3, 11)
SETUP_FAILED = 3

# What Qt loads from the system on Linux, and the Debian and Ubuntu package that holds it.
QT_LIBRARIES = {
    "libglib-2.0.so.0": "libglib2.0-0",
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libfontconfig.so.1": "libfontconfig1",
    "libdbus-1.so.3": "libdbus-1-3",
}
# Painting needs the platform plugin too, which loads libraries of its own.
QT_TRIAL = "from PySide6 import QtGui, QtSvg, QtWidgets; QtGui.QGuiApplication([])"


def ensure(kind: Kind) -> Path:
    """Return the Python of an up-to-date `.venv`, made or mended first where needed.

    Raises:
        SystemExit: with code 3, after saying on standard error what is missing.
    """
    if sys.version_info[:2] < OLDEST_PYTHON:
        wanted = ".".join(map(str, OLDEST_PYTHON))
        fail(f"bloomline needs Python {wanted} or newer; this is {platform.python_version()}.")
    _need_venv_module()
    _need_qt_libraries()
    python = venv_program("python")
    if not _is_current(kind):
        with _only_one_at_a_time():
            # Another run may have made it while this one waited.
            if not _is_current(kind):
                _build(kind, python)
    return python


def venv_program(name: str) -> Path:
    """Return the path of a program in `.venv`."""
    if os.name == "nt":
        return VENV / "Scripts" / f"{name}.exe"
    return VENV / "bin" / name


def fail(message: str) -> NoReturn:
    """Say what is wrong and stop."""
    print(message, file=sys.stderr)
    sys.exit(SETUP_FAILED)


def say(message: str) -> None:
    """Tell the person how the set-up goes on; standard output is left to the result."""
    print(message, file=sys.stderr, flush=True)


# Is what is there still right?


def _home() -> dict[str, str]:
    """What makes an existing `.venv` useless when it changes."""
    return {
        "python": platform.python_version(),
        "prefix": sys.base_prefix,
        "machine": platform.machine(),
        # The editable install remembers where the checkout is.
        "checkout": str(ROOT),
    }


def _digest(kind: Kind) -> str:
    """Of all that decides what is installed; rules for the linters don't."""
    import tomllib

    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    parts = {
        "home": _home(),
        "lock": LOCKS[kind].read_text(encoding="utf-8"),
        "project": project["project"],
        "setuptools": project["tool"]["setuptools"],
    }
    return hashlib.sha256(json.dumps(parts, sort_keys=True).encode()).hexdigest()


def _stamp(kind: Kind) -> Path:
    return VENV / f"bloomline-{kind}.stamp"


def _read(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return ""


def _is_current(kind: Kind) -> bool:
    return venv_program("python").exists() and _read(_stamp(kind)) == _digest(kind)


def _build(kind: Kind, python: Path) -> None:
    home = json.dumps(_home(), sort_keys=True)
    home_file = VENV / "bloomline-home.json"
    if not python.exists() or _read(home_file) != home:
        say(f"Making {VENV} and installing into it. This takes about a minute, once.")
        _run([sys.executable, "-m", "venv", "--clear", str(VENV)], "make the environment")
        home_file.write_text(home, encoding="utf-8")
    else:
        say(f"Bringing {VENV} up to date.")
    pip = [str(python), "-m", "pip", "--disable-pip-version-check", "--no-input", "install"]
    # Python compiles what it imports when it does; compiling all that is there doubles the time.
    checked = ["--no-compile", "--require-hashes", "--only-binary=:all:"]
    _run(
        [*pip, "--quiet", *checked, "--requirement", str(LOCKS[kind])],
        "install the packages that bloomline stands on (this needs the network)",
    )
    _run(
        [*pip, "--quiet", "--no-deps", "--no-build-isolation", "--editable", str(ROOT)],
        "install bloomline itself",
    )
    _try_qt(python)
    # The test lock holds all that the run lock does.
    done: Sequence[Kind] = ("run", "test") if kind == "test" else ("run",)
    for each in done:
        _stamp(each).write_text(_digest(each), encoding="utf-8")


def _run(command: Sequence[str], aim: str) -> None:
    done = subprocess.run(command, cwd=ROOT, check=False, stdin=subprocess.DEVNULL)
    if done.returncode != 0:
        fail(f"Could not {aim}. The lines above say why; the command was:\n{' '.join(command)}")


@contextlib.contextmanager
def _only_one_at_a_time() -> Iterator[None]:
    """Two runs started together must not both make the environment."""
    try:
        import fcntl
    except ImportError:  # Windows
        yield
        return
    # Beside .venv rather than in it, since making .venv empties it.
    with (ROOT / ".venv.lock").open("w", encoding="utf-8") as handle:
        fcntl.flock(handle, fcntl.LOCK_EX)
        yield


# What the system has to bring


def _need_venv_module() -> None:
    if _has_venv():
        return
    if sys.base_prefix == "/usr" and shutil.which("apt-get"):
        _need_packages(
            [f"python3.{sys.version_info.minor}-venv"],
            "Python's venv module, which makes the environment, is not installed.",
        )
        importlib.invalidate_caches()
    if not _has_venv():
        fail(
            f"The Python at {sys.executable} has no venv and ensurepip modules. Install the package"
            " of your system that holds them, or use a Python that has them."
        )


def _has_venv() -> bool:
    return all(importlib.util.find_spec(name) for name in ("venv", "ensurepip"))


def _need_qt_libraries() -> None:
    if not sys.platform.startswith("linux"):
        return
    missing = [name for name in QT_LIBRARIES if not _loads(name)]
    if missing:
        _need_packages(
            [QT_LIBRARIES[name] for name in missing],
            f"Qt, which draws the pictures and the window, needs {', '.join(missing)}.",
        )


def _loads(library: str) -> bool:
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def _try_qt(python: Path) -> None:
    """The list above may lack something on a system it was not tried on."""
    done = subprocess.run(
        [str(python), "-c", QT_TRIAL],
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
        check=False,
        capture_output=True,
        text=True,
    )
    if done.returncode != 0:
        fail(
            f"Qt is installed but does not start:\n{done.stderr.strip()}\n"
            "On Debian and Ubuntu this brings all that it needs:\n"
            f"  {_apt_line(list(QT_LIBRARIES.values()))}"
        )


def _need_packages(packages: list[str], reason: str) -> None:
    """Install them as root on Debian; otherwise say which, and the line that does it."""
    line = _apt_line(packages)
    if shutil.which("apt-get") is None:
        fail(f"{reason}\nInstall what holds it; on Debian and Ubuntu that is:\n  {line}")
    if os.geteuid() != 0:
        fail(f"{reason}\nThis installs it:\n  sudo {line}")
    say(f"{reason} Installing {' '.join(packages)}.")
    install = ["apt-get", "install", "--yes", "--no-install-recommends", *packages]
    if _apt(install) or (_apt(["apt-get", "update"]) and _apt(install)):
        return
    fail(f"{reason}\nInstalling it did not work. Try:\n  apt-get update && {line}")


def _apt(command: list[str]) -> bool:
    done = subprocess.run(
        command,
        env={**os.environ, "DEBIAN_FRONTEND": "noninteractive"},
        check=False,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
    )
    return done.returncode == 0


def _apt_line(packages: list[str]) -> str:
    return f"apt-get install --no-install-recommends {' '.join(packages)}"
