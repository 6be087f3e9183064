"""Plugins of pydantic: none are looked for, since bloomline's models want none.

Pydantic reads the list of entry points of every package that is installed beside it, and asks
whether one brings a plugin: some hundredths of a quick command, by how many packages there are.
"""

from __future__ import annotations

import os


def seek_no_plugins() -> None:
    """Let pydantic look for no plugins in this process and those that it starts.

    It asks as its first model is made. Whoever has set the variable has chosen.
    """
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
