"""The command `bloomline`: finds the command that is meant, runs it, tells what went wrong."""

from __future__ import annotations

import argparse
import difflib
import io
import os
import sys
from collections.abc import Sequence
from importlib import import_module
from pathlib import Path
from typing import NoReturn

from bloomline import __version__
from bloomline.cli.output import say
from bloomline.collecting import collect_seldom
from bloomline.errors import BloomlineError, UsageError
from bloomline.plugins import seek_no_plugins
from bloomline.threads import multiply_alone
from bloomline.words import marked, tr, use_language, wanted_language
from bloomline.words.region import use_habits_of_environment

_COMMANDS = (
    "forecast",
    "climate",
    "season",
    "weather",
    "compare",
    "work",
    "rota",
    "stage",
    "records",
    "succession",
    "fill",
    "chart",
    "check",
    "layout",
    "labels",
    "card",
    "find",
    "buy",
    "places",
    "cultivars",
    "kinds",
    "schema",
)
"""By the names of their modules, of which only the one that is meant is read."""
INTERRUPTED = 130

_ABOUT = marked("""\
Plan a yard of bulb pots: when each cultivar flowers at your place, how sure that is, and which
weeks stay bare.""")
_EPILOG = marked("""\
examples:
  bloomline forecast --place Rothamsted --cultivar "Red Emperor" --planted 2025-11-01
  bloomline season yard.bloomline
  bloomline chart yard.bloomline --out season.png

bloomline COMMAND --help says more about a command.
Exit codes: 0 done, 1 something found or some rows bad, 2 bad use, 3 bad input.
""")


class _Parser(argparse.ArgumentParser):
    """Says in one sentence what is wrong, and where help is."""

    def error(self, message: str) -> NoReturn:
        say(tr("{message_words}; see {prog} --help", message_words=message, prog=self.prog))
        raise SystemExit(2)


def _formatter(prog: str) -> argparse.HelpFormatter:
    return argparse.RawDescriptionHelpFormatter(prog, max_help_position=28, width=98)


def build_parser(names: Sequence[str] = _COMMANDS) -> argparse.ArgumentParser:
    """The parser of some commands."""
    parser = _Parser(
        prog="bloomline",
        description=tr(_ABOUT),
        epilog=tr(_EPILOG),
        formatter_class=_formatter,
        allow_abbrev=False,
        usage="bloomline [FILE] | bloomline COMMAND …",
    )
    parser.add_argument("--version", action="version", version=f"bloomline {__version__}")
    parser.add_argument("--debug", action="store_true", help=tr("show where an error arose"))
    commands = parser.add_subparsers(
        title=tr("commands"), metavar="COMMAND [options]", dest="command", prog="bloomline"
    )
    for name in names:
        import_module(f"bloomline.cli.{name}").add_parser(commands)
    for each in commands.choices.values():
        each.add_argument("--debug", action="store_true", help=argparse.SUPPRESS)
    return parser


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    arguments = list(sys.argv[1:] if argv is None else argv)
    if argv is None:  # a process of our own, not a caller's
        collect_seldom()
        multiply_alone()
        seek_no_plugins()
    _open_closed_streams()
    _write_utf8()
    use_language(wanted_language())
    use_habits_of_environment()
    try:
        code = _dispatch(arguments)
        sys.stdout.flush()
        return code
    except SystemExit as stop:
        return stop.code if isinstance(stop.code, int) else 0
    except BloomlineError as error:
        if "--debug" in arguments:
            raise
        say(str(error))
        return error.exit_code
    except KeyboardInterrupt:
        say("stopped")
        return INTERRUPTED
    except BrokenPipeError:
        # Whoever read the result has seen enough; what is left must not be flushed at exit.
        _drop_output()
        return 0
    except OSError as error:
        if "--debug" in arguments:
            raise
        _drop_output()
        say(tr("the result can't be written: {strerror}", strerror=error.strerror or error))
        return 3
    except MemoryError:
        say(tr("there is not enough memory for this"))
        return 3
    except Exception as error:
        if "--debug" in arguments:
            raise
        say(
            tr(
                "an error in the program itself: {name__}: {error}; run again with "
                "--debug and report what it shows",
                name__=type(error).__name__,
                error=error,
            )
        )
        return 3


def _dispatch(arguments: list[str]) -> int:
    first = next((each for each in arguments if each != "--debug"), None)
    if first is None:
        return _open_window(None)
    if not first.startswith("-") and first not in _COMMANDS:
        return _open_window(_yard_file(first, _COMMANDS))
    # The parser of all takes as long as the rest of a quick command.
    parser = build_parser((first,) if first in _COMMANDS else _COMMANDS)
    args = parser.parse_args(arguments)
    if args.command is None:
        return _open_window(None)
    code: int = args.run(args)
    return code


def _yard_file(text: str, names: Sequence[str]) -> Path:
    """The yard file that stands in place of a command. Raises UsageError."""
    path = Path(text)
    if path.suffix == ".bloomline" or os.sep in text or path.exists():
        return path
    near = difflib.get_close_matches(text, names, n=2)
    hint = (
        tr("; did you mean {near}?", near=tr(" or ").join(near))
        if near
        else tr("; commands are {names}", names=", ".join(names))
    )
    raise UsageError(tr("no command and no file called “{text}”{hint}", text=text, hint=hint))


def _open_window(path: Path | None) -> int:
    from bloomline.cli.display import has_display

    why = tr("the window needs a display, and there is none here that can be reached")
    if has_display():
        try:
            from bloomline.ui.app import run
        except ImportError as error:  # a library of the system that Qt needs may be missing
            why = tr("the window can't be opened here ({error})", error=error)
        else:
            return run(path)
    file = path or "FILE"
    say(
        tr(
            "{why}; use 'bloomline season {file}' and 'bloomline chart {file} "
            "--out season.png', and 'bloomline --help' for all commands",
            why=why,
            file=file,
        )
    )
    return UsageError.exit_code


def _open_closed_streams() -> None:
    """Let what is written to a stream that the caller has closed go nowhere."""
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, "w", encoding="utf-8"))  # noqa: SIM115


def _write_utf8() -> None:
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors="backslashreplace", newline="\n")


def _drop_output() -> None:
    try:
        sink = os.open(os.devnull, os.O_WRONLY)
        os.dup2(sink, sys.stdout.fileno())
        os.close(sink)
    except (OSError, ValueError):
        pass
