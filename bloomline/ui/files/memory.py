"""What the window remembers from one start to the next, as one small JSON file."""

from __future__ import annotations

import contextlib
import json
from pathlib import Path
from typing import Any, Protocol

from bloomline.errors import BloomlineError
from bloomline.files.atomic import read_limited, replace_file

_MAX_BYTES = 1024**2


class ProgramSettings(Protocol):
    """Anything that keeps values by name."""

    def value(self, key: str, default: Any = None) -> Any:
        """The value kept under a name."""

    def setValue(self, key: str, value: Any) -> None:
        """Keep a value under a name."""


class Memory:
    """Values by name in a file of the user's settings folder.

    What can't be read is taken as empty and what can't be written is not kept: neither may
    stand in the way of the work.
    """

    def __init__(self, file: Path | None = None) -> None:
        self._file = file or _own_file()
        self._values: dict[str, Any] | None = None

    def value(self, key: str, default: Any = None) -> Any:
        """The value kept under a name."""
        return self._read().get(key, default)

    def setValue(self, key: str, value: Any) -> None:
        """Keep a value (one that JSON can hold) under a name."""
        # Another window may have written meanwhile; only this value is ours.
        self._values = None
        values = self._read()
        if values.get(key) == value:
            return
        values[key] = value
        data = json.dumps(values, ensure_ascii=False, indent=1).encode()
        with contextlib.suppress(OSError, BloomlineError):
            self._file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            replace_file(self._file, data)

    def _read(self) -> dict[str, Any]:
        if self._values is None:
            found: object = None
            with contextlib.suppress(BloomlineError, ValueError, RecursionError):
                found = json.loads(read_limited(self._file, limit=_MAX_BYTES))
            self._values = found if isinstance(found, dict) else {}
        return self._values


def _own_file() -> Path:
    import platformdirs

    return platformdirs.user_config_path("bloomline", appauthor=False) / "window.json"
