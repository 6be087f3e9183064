"""Rebuild resources/translations from the words in the code.

Run in a checkout: python -m bloomline.ui.build_translations [--check]
The words in the code are English already; `bloomline_en.ts` holds what they can't say, the two
forms of words that follow a number. "%n pot(s)" gets its forms by itself; any other new one is
put there unfinished: fill both forms in by hand and run again. Every other
`bloomline_LANGUAGE.ts` in the folder holds all words.
"""

from __future__ import annotations

import argparse
import re
import subprocess
import sys
import sysconfig
from pathlib import Path
from tempfile import TemporaryDirectory
from xml.etree import ElementTree

PLURALS_ONLY = "bloomline_en"
_OPEN_FORMS = re.compile(
    r"<source>([^<]*\(s\)[^<]*)</source>(\s*(?:<comment>[^<]*</comment>\s*)?)"
    r'<translation type="unfinished">(\s*(?:<numerusform></numerusform>\s*){2})</translation>'
)


def sources(package: Path) -> list[Path]:
    """The modules that hold words for the eye, in a fixed order."""
    return sorted(each for room in ("draw", "ui") for each in (package / room).rglob("*.py"))


def update(ts: Path, package: Path) -> None:
    """Bring a .ts file up to the words in the code; keeps what is translated."""
    only = ["-pluralonly"] if ts.stem == PLURALS_ONLY else []
    _tool(
        "lupdate",
        *only,
        *("-silent", "-no-obsolete", "-locations", "none", "-source-language", "en"),
        *("-target-language", ts.stem.partition("_")[2]),
        *[str(each) for each in sources(package)],
        "-ts",
        str(ts),
    )


def fill_regular(ts: Path) -> None:
    """Give words with "(s)" that have no forms yet their two: without it, and with an s."""

    def filled(found: re.Match[str]) -> str:
        one, many = found[1].replace("(s)", ""), found[1].replace("(s)", "s")
        forms = iter((one, many))
        body = re.sub(
            "<numerusform></numerusform>",
            lambda _: f"<numerusform>{next(forms)}</numerusform>",
            found[3],
        )
        return f"<source>{found[1]}</source>{found[2]}<translation>{body}</translation>"

    text = ts.read_text(encoding="utf-8")
    ts.write_text(_OPEN_FORMS.sub(filled, text), encoding="utf-8", newline="\n")


def unfinished(ts: Path) -> list[str]:
    """Words of a .ts file that have no translation, as they stand in the code."""
    missing = []
    for message in ElementTree.parse(ts).iter("message"):
        translation = message.find("translation")
        forms = [] if translation is None else translation.findall("numerusform")
        texts = [each.text for each in forms] or [getattr(translation, "text", None)]
        is_open = translation is None or translation.get("type") == "unfinished"
        if is_open or not all(texts):
            missing.append(message.findtext("source", ""))
    return missing


def release(ts: Path, out: Path) -> None:
    """Write the .qm file of a .ts file."""
    _tool("lrelease", "-silent", str(ts), "-qm", str(out))


def _tool(name: str, *arguments: str) -> None:
    # Beside the interpreter, where pip puts it, whether or not the environment is active.
    tool = Path(sysconfig.get_path("scripts")) / f"pyside6-{name}"
    subprocess.run([str(tool), *arguments], check=True)


def build(folder: Path, package: Path) -> list[str]:
    """Rebuild all of a folder; return what is still to be said in English."""
    english = folder / f"{PLURALS_ONLY}.ts"
    for ts in sorted({english, *folder.glob("bloomline_*.ts")}):
        update(ts, package)
        if ts == english:
            fill_regular(ts)
        release(ts, ts.with_suffix(".qm"))
    return unfinished(english)


def stale(folder: Path, package: Path) -> list[str]:
    """Names of files that a rebuild would change."""
    with TemporaryDirectory() as made:
        fresh = Path(made)
        for ts in folder.glob("bloomline_*.ts"):
            (fresh / ts.name).write_bytes(ts.read_bytes())
        build(fresh, package)
        return sorted(
            each.name
            for each in fresh.iterdir()
            if not (folder / each.name).exists()
            or (folder / each.name).read_bytes() != each.read_bytes()
        )


def main() -> int:
    """Return 0 when all is up to date and every English plural is there."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--check", action="store_true", help="change nothing, tell what is stale")
    package = Path(__file__).resolve().parent.parent
    folder = package.parent / "resources" / "translations"
    if parser.parse_args().check:
        missing, old = unfinished(folder / f"{PLURALS_ONLY}.ts"), stale(folder, package)
    else:
        missing, old = build(folder, package), []
    for words in missing:
        print(f"no English forms: {words}", file=sys.stderr)
    for name in old:
        print(f"not up to date: {name}", file=sys.stderr)
    return 1 if missing or old else 0


if __name__ == "__main__":
    sys.exit(main())
