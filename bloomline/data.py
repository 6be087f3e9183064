"""Where the program's data lies, in a checkout, an editable install or a wheel."""

from __future__ import annotations

from importlib import resources
from pathlib import Path
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable


def data_root(kind: Literal["resources", "shared"]) -> Traversable:
    """Return the folder that holds the window's resources or the shared reference data.

    A wheel carries both folders as packages of their own. In a bare checkout (or when the
    current folder is a checkout that shadows an installed wheel) they lie beside the package.
    """
    try:
        return resources.files(f"bloomline._{kind}")
    except ModuleNotFoundError:
        return Path(__file__).resolve().parent.parent / kind
