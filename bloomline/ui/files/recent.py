"""The files that were open lately, the latest first."""

from __future__ import annotations

import os
from pathlib import Path

from bloomline.ui.files.memory import ProgramSettings

MOST_RECENT = 12
_KEY = "recent_files"


class RecentFiles:
    """Remembers files; ones that are gone stay listed, so that a drive may come back."""

    def __init__(self, settings: ProgramSettings) -> None:
        self._settings = settings

    def paths(self) -> list[Path]:
        """The files, the latest first."""
        raw = self._settings.value(_KEY, [])
        if isinstance(raw, str):
            raw = [raw]
        return [Path(text) for text in raw or [] if isinstance(text, str) and text][:MOST_RECENT]

    def add(self, path: Path) -> None:
        """Put a file at the top."""
        full = Path(os.path.abspath(path))
        self._keep([full, *(each for each in self.paths() if each != full)])

    def clear(self) -> None:
        """Forget all."""
        self._keep([])

    def _keep(self, paths: list[Path]) -> None:
        self._settings.setValue(_KEY, [os.fsdecode(each) for each in paths[:MOST_RECENT]])
