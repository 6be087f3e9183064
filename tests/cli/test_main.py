from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace
from typing import get_args

import pytest

from bloomline import __version__, collecting
from bloomline.cli import forecast, output
from bloomline.cli.main import main
from bloomline.cli.options import MATERIALS, SITES
from bloomline.model.yard import Material, Site

COMMANDS = ["forecast", "climate", "season", "chart", "check", "places", "cultivars", "schema"]


def bloomline(*arguments: str, **options):
    return subprocess.run(
        [sys.executable, "-m", "bloomline", *arguments],
        capture_output=True,
        timeout=120,
        check=False,
        **options,
    )


def loaded(code: str) -> set[str]:
    """Names of modules in a process after some code, whole and top-level."""
    script = f"import sys\n{code}\nprint(*sys.modules, *{{n.split('.')[0] for n in sys.modules}})"
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, timeout=120, check=True
    )
    return set(done.stdout.splitlines()[-1].split())


def test_one_forecast_reads_no_yard() -> None:
    names = loaded(
        "from bloomline.cli.main import main\n"
        "main(['forecast', '--place', 'Rothamsted', '--cultivar', 'Thalia'])"
    )
    assert "bloomline.plan.forecast.one_planting" in names
    assert not names & {"bloomline.model.yard", "PySide6", "pyqtgraph"}


def test_version_and_help(capsys) -> None:
    assert main(["--version"]) == 0
    assert capsys.readouterr().out == f"bloomline {__version__}\n"
    assert main(["--help"]) == 0
    out = capsys.readouterr().out
    assert all(f"\n    {command} " in out for command in COMMANDS)


@pytest.mark.parametrize("command", COMMANDS)
def test_each_command_has_help_with_an_example(capsys, command: str) -> None:
    assert main([command, "--help"]) == 0
    out = capsys.readouterr().out
    assert f"\n  bloomline {command}" in out
    assert max(len(line) for line in out.splitlines()) <= 100


def test_a_misspelt_command_is_recognised(capsys) -> None:
    assert main(["forcast"]) == 2
    assert "did you mean forecast?" in capsys.readouterr().err


def test_without_a_window_the_other_ways_are_named(capsys, monkeypatch) -> None:
    monkeypatch.setitem(sys.modules, "bloomline.ui.app", None)
    assert main([]) == 2
    assert main(["yard.bloomline"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert "the window can't be opened here" in err
    assert "bloomline season yard.bloomline" in err
    assert "bloomline chart yard.bloomline" in err


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="other systems have a display")
def test_without_a_display_it_says_so(capsys, monkeypatch) -> None:
    for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(name, raising=False)
    assert main([]) == 2
    assert "the window needs a display" in capsys.readouterr().err
    # One that is named and can't be reached is none.
    monkeypatch.setenv("DISPLAY", ":99")
    monkeypatch.setenv("WAYLAND_DISPLAY", "no-such-display")
    assert main([]) == 2
    assert "the window needs a display" in capsys.readouterr().err


@pytest.mark.skipif(os.name != "posix", reason="only there a shell closes a stream")
@pytest.mark.parametrize("closed", [">&-", "2>&-", ">&- 2>&-", "| true"])
def test_closed_streams_are_no_error_of_the_program(checkout, closed) -> None:
    yard = next((checkout / "demo").glob("hollyhock-*.bloomline"))
    for words in (f"season '{yard}'", "cultivars --format csv", "--help"):
        command = f"'{sys.executable}' -m bloomline {words} {closed}"
        done = subprocess.run(
            ["sh", "-c", command], capture_output=True, text=True, cwd=checkout, check=False
        )
        assert (done.returncode, done.stderr) == (0, ""), words


def test_bare_and_with_a_file_it_opens_the_window(monkeypatch) -> None:
    opened: list[Path | None] = []

    def run(path: Path | None) -> int:
        opened.append(path)
        return 0

    monkeypatch.setitem(sys.modules, "bloomline.ui.app", SimpleNamespace(run=run))
    assert main([]) == 0
    assert main(["yard.bloomline"]) == 0
    assert opened == [None, Path("yard.bloomline")]


def test_choices_are_those_of_the_model() -> None:
    assert get_args(Material) == MATERIALS
    assert get_args(Site) == SITES


def test_an_error_of_the_program_itself_has_no_traceback(capsys, monkeypatch) -> None:
    def broken(args):
        raise ZeroDivisionError("oh")

    monkeypatch.setattr(forecast, "run", broken)
    assert main(["forecast"]) == 3
    err = capsys.readouterr().err
    assert err.startswith("bloomline: an error in the program itself: ZeroDivisionError: oh")
    with pytest.raises(ZeroDivisionError):
        main(["forecast", "--debug"])


def test_ctrl_c_ends_quietly(capsys, monkeypatch) -> None:
    def stopped(args):
        raise KeyboardInterrupt

    monkeypatch.setattr(forecast, "run", stopped)
    assert main(["forecast"]) == 130
    assert capsys.readouterr().err == "bloomline: stopped\n"


@pytest.mark.parametrize(
    ("value", "safe"),
    [
        ("=1+1", "'=1+1"),
        ("@x", "'@x"),
        ("+cmd", "'+cmd"),
        ("-cmd", "'-cmd"),
        ("\tx", "'\tx"),
        ("＝1+1", "'＝1+1"),
        ("-5", "-5"),
        ("plain", "plain"),
        (-5.0, -5.0),
        (None, None),
    ],
)
def test_cells_that_a_spreadsheet_would_run_are_quoted(value, safe) -> None:
    assert output.cell(value) == safe


def test_tables_carry_no_control_characters() -> None:
    (_, _, line) = output.table(("a",), [("\x1b[31mred\n",)])
    assert "\x1b" not in line


def test_help_loads_nothing_heavy() -> None:
    names = loaded("from bloomline.cli.main import main\nmain(['--help'])")
    assert not names & {"numpy", "pydantic", "scipy", "PySide6", "pyqtgraph"}


def test_a_forecast_loads_no_qt_and_no_scipy() -> None:
    names = loaded(
        "from bloomline.cli.main import main\n"
        "code = main(['forecast', '--place', 'De Bilt', '--cultivar', 'Thalia'])\n"
        "assert code == 0, code"
    )
    assert "numpy" in names
    assert not names & {"scipy", "PySide6", "shiboken6", "pyqtgraph"}


def test_output_is_utf_8_whatever_the_locale() -> None:
    environment = {**os.environ, "LC_ALL": "C", "LANG": "C", "PYTHONIOENCODING": "ascii"}
    done = bloomline("places", "--near", "47.38,8.57", "--limit", "1", env=environment)
    assert done.returncode == 0
    assert "Zürich" in done.stdout.decode("utf-8")


def test_a_reader_that_leaves_early_is_no_error(tmp_path: Path) -> None:
    process = subprocess.Popen(
        [sys.executable, "-m", "bloomline", "places", "--limit", "9999", "--format", "json"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert process.stdout is not None
    assert process.stderr is not None
    assert process.stdout.readline() == b"[\n"
    process.stdout.close()
    assert process.stderr.read() == b""
    process.stderr.close()
    assert process.wait(timeout=120) == 0


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full here")
@pytest.mark.may_skip
def test_a_full_disk_is_told() -> None:
    with open("/dev/full", "wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "bloomline", "places", "zurich"],
            stdout=full,
            stderr=subprocess.PIPE,
            timeout=120,
            check=False,
        )
    assert done.returncode == 3
    assert done.stderr.startswith(b"bloomline: the result can't be written: ")
    assert done.stderr.count(b"\n") == 1


def test_exit_codes_reach_the_shell(tmp_path: Path) -> None:
    assert bloomline("schema").returncode == 0
    assert bloomline("places", "qqzzxx").returncode == 1
    assert bloomline("forecast").returncode == 2
    assert bloomline("season", str(tmp_path / "none.bloomline")).returncode == 3


def threads_of(code: str, **environment: str) -> str:
    """What OpenBLAS is told, as NumPy is loaded, in a process that runs some code."""
    watched = f"""
import os, sys
from importlib.abc import MetaPathFinder

class Watch(MetaPathFinder):
    def find_spec(self, name, path, target=None):
        if name == "numpy":
            print("told", os.environ.get("OPENBLAS_NUM_THREADS"), file=sys.__stdout__)

sys.meta_path.insert(0, Watch())
{code}
"""
    inherited = {name: each for name, each in os.environ.items() if "NUM_THREADS" not in name}
    done = subprocess.run(
        [sys.executable, "-c", watched],
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
        env=inherited | environment,
    )
    return next(line for line in done.stdout.splitlines() if line.startswith("told"))


ONE_FORECAST = """
from bloomline.cli.main import main
sys.argv[1:] = ["forecast", "--place", "De Bilt", "--cultivar", "Tulipa 'Apeldoorn'"]
main()
"""


@pytest.mark.parametrize("code", [ONE_FORECAST, "import bloomline.ui.app"])
def test_matrix_products_take_one_thread_unless_the_user_says_more(code: str) -> None:
    assert threads_of(code) == "told 1"
    assert threads_of(code, OPENBLAS_NUM_THREADS="2") == "told 2"
    assert threads_of(code, OMP_NUM_THREADS="2") == "told None"


def test_a_process_does_not_look_for_cycles_once_more_as_it_ends(monkeypatch):
    at_the_end = []
    monkeypatch.setattr(collecting.atexit, "register", at_the_end.append)
    for name in ("freeze", "set_threshold"):
        monkeypatch.setattr(collecting.gc, name, lambda *_: None)
    collecting.collect_seldom()
    assert at_the_end == [collecting.gc.freeze]
