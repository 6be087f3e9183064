"""Keep the checksums in the README of each data folder true.

Run after a change of data: python -m bloomline.reference.checksums shared
"""

from __future__ import annotations

import argparse
import hashlib
import re
from pathlib import Path

_BLOCK = re.compile(r"(## Checksums \(SHA-256\)\n\n```\n)(.*?)(```\n)", re.DOTALL)


def folder_checksums(folder: Path) -> dict[str, str]:
    """Return the SHA-256 of every data file of a folder, by name, without its README."""
    return {
        path.name: hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.iterdir())
        if path.is_file() and path.name not in {"README.md", "__init__.py"}
    }


def stated_checksums(readme: Path) -> dict[str, str]:
    """Return the checksums a README states, by file name; empty when it has no such part."""
    block = _BLOCK.search(readme.read_text(encoding="utf-8"))
    if block is None:
        return {}
    pairs = (line.split(maxsplit=1) for line in block[2].splitlines() if line.strip())
    return {name: digest for digest, name in pairs}


def refresh(folder: Path) -> bool:
    """Write the checksums of a folder into its README; tell whether anything changed."""
    readme = folder / "README.md"
    text = readme.read_text(encoding="utf-8")
    lines = "".join(f"{digest}  {name}\n" for name, digest in folder_checksums(folder).items())
    fresh = _BLOCK.sub(lambda block: block[1] + lines + block[3], text)
    if fresh != text:
        readme.write_text(fresh, encoding="utf-8")
    return fresh != text


def main() -> None:
    """Command line: refresh every folder that has a README with checksums."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("shared", type=Path)
    for readme in sorted(parser.parse_args().shared.glob("*/README.md")):
        if stated_checksums(readme) or _BLOCK.search(readme.read_text(encoding="utf-8")):
            print(f"{readme.parent.name}: {'refreshed' if refresh(readme.parent) else 'true'}")


if __name__ == "__main__":
    main()
