"""Spoils yard files, tables and parcels in every way and counts what the readers say.

Run by hand: `python tests/benchmarks/fuzz_files.py --yards 6000 --tables 3000`. A spoilt file is
read (and then must be written and read back equal) or refused in words; anything else is a fault.
The yard is the demo yard, with its places for pots, and wishes, own kinds, a mixture, companions,
cupboard, prices and a task that is done; parcels are what copying pots puts on the clipboard.
"""

from __future__ import annotations

import argparse
import json
import random
import tempfile
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from bloomline.errors import BloomlineError
from bloomline.files.epw import read_epw
from bloomline.files.journal import JournalEntry, find_recoverable
from bloomline.files.parcels import dump_parcel, parse_parcel
from bloomline.files.prices_csv import read_prices
from bloomline.files.records_csv import read_records, write_records
from bloomline.files.requests_csv import read_requests
from bloomline.files.weather_csv import read_weather
from bloomline.files.weather_text import read_table
from bloomline.files.yardfile import dump_yard, load_yard, parse_yard
from bloomline.model.mixing import plain
from bloomline.model.parcel import parcel_of
from bloomline.model.yard import OwnCultivar, Yard
from bloomline.plan.carry.parcels import pasted
from bloomline.plan.kinds.mixtures import mixture_from
from bloomline.plan.kinds.table import read_kinds, take_kinds, write_kinds
from bloomline.reference.catalogue import load_catalogue

ROOT = Path(__file__).resolve().parent.parent.parent
DEMO = ROOT / "demo" / "hollyhock-lane.bloomline"
SLOW_S = 5.0

_ODD_VALUES: tuple[Any, ...] = (
    None,
    True,
    "",
    " ",
    "\u202e",
    "=1+1",
    "9999-12-31",
    -1,
    0,
    10**20,
    1e308,
    -0.0,
    [],
    {},
    [[]],
    {"": {}},
    "x" * 5000,
    "\ud800",
)
_ODD_BYTES = (b"\0", b"\xff", b"\xfe\xff", b'"', b"{", b"[" * 500, b"1e999", b"NaN", b"\r", b",;\t")
_ODD_CELLS = (
    "",
    "-",
    "1e999",
    "nan",
    "2025-02-30",
    "0000-00-00",
    "=1",
    '"',
    "\0",
    "1_0",
    "９",
    "−",
)


@dataclass
class Counts:
    """How many were read, refused in words, slow; and what went wrong otherwise."""

    read: int = 0
    refused: int = 0
    slowest_s: float = 0.0
    faults: list[str] = field(default_factory=list)

    def take(self, what: str, work: Callable[[], object]) -> None:
        """Do some reading and count how it ends."""
        begin = time.perf_counter()
        try:
            work()
        except BloomlineError:
            self.refused += 1
        except Exception:
            self.faults.append(f"{what}: {traceback.format_exc(limit=-3)}")
        else:
            self.read += 1
        took = time.perf_counter() - begin
        self.slowest_s = max(self.slowest_s, took)
        if took > SLOW_S:
            self.faults.append(f"{what}: took {took:.1f} s")

    def line(self, name: str) -> str:
        """What to print."""
        return (
            f"{name}: {self.read + self.refused + len(self.faults)} files, {self.read} read, "
            f"{self.refused} refused, {len(self.faults)} faults, slowest {self.slowest_s:.2f} s"
        )


def spoil_bytes(data: bytes, rng: random.Random) -> bytes:
    """Cut, double, turn over or overwrite some of a file."""
    out = bytearray(data)
    for _ in range(rng.randint(1, 4)):
        at = rng.randrange(len(out) + 1)
        to = min(len(out), at + rng.choice((1, 2, 8, 200)))
        way = rng.randrange(5)
        if way == 0:
            del out[at:to]
        elif way == 1:
            out[at:at] = out[at:to]
        elif way == 2 and at < len(out):
            out[at] ^= 1 << rng.randrange(8)
        elif way == 3:
            out[at:at] = rng.choice(_ODD_BYTES)
        else:
            del out[at:]
            out += rng.choice((b"", b"\n", b"}"))
    return bytes(out)


def spoil_object(document: dict[str, Any], rng: random.Random) -> bytes:
    """Give parts of a yard odd values, other keys, or another part's place."""
    for _ in range(rng.randint(1, 3)):
        holder: Any = document
        while True:
            keys = list(holder) if isinstance(holder, dict) else list(range(len(holder)))
            if not keys:
                break
            key = rng.choice(keys)
            inner = holder[key]
            if isinstance(inner, dict | list) and rng.random() < 0.8:
                holder = inner
                continue
            way = rng.randrange(4)
            if way == 0:
                holder[key] = rng.choice(_ODD_VALUES)
            elif way == 1 and isinstance(inner, int | float) and not isinstance(inner, bool):
                holder[key] = inner * rng.choice((-1, 0, 1e3, 1e9, 0.5))
            elif way == 2:
                del holder[key]
            elif isinstance(holder, dict):
                holder[f"{key}x"] = inner
            else:
                holder.append(inner)
            break
    return json.dumps(document).encode("utf-8", "surrogatepass")


def full_yard() -> bytes:
    """The demo yard with something of all that a yard can hold."""
    document = json.loads(DEMO.read_bytes())
    some = [kind for kind in load_catalogue() if kind.genus == "Tulipa"][:3]
    own = [
        OwnCultivar.model_validate({**dict(plain(kind)), "id": f"own-{kind.id}"}) for kind in some
    ]
    own.append(mixture_from("Evening", [(kind, 1.0) for kind in some], taken=[k.id for k in own]))
    document["own_cultivars"] = [json.loads(kind.model_dump_json()) for kind in own]
    pots = document["pots"]
    for kind, layer in zip(own, pots[0]["layers"], strict=False):
        layer["cultivar_id"] = kind.id
    pots[1]["companions"] = [
        {"id": "top", "companion_id": "winter-pansy", "count": 6, "planted": "2026-10-10"}
    ]
    document["wishes"] = [
        {
            "id": "door",
            "what": "scent",
            "first": "03-01",
            "last": "04-15",
            "pot_ids": [pots[0]["id"]],
        }
    ]
    document["cupboard"] = [{"cultivar_id": some[0].id, "count": 20, "note": "in the shed"}]
    document["prices"] = [{"cultivar_id": some[0].id, "pack": 10, "price": 4.5}]
    document["done"] = [{"task_key": "water:x:2027", "day": "2026-11-01"}]
    return dump_yard(Yard.model_validate_json(json.dumps(document)))


def fuzz_yards(count: int, *, seed: int = 1) -> Counts:
    """Read spoilt yard files; those that are read must come back from their own text."""
    rng, counts = random.Random(seed), Counts()
    data = full_yard()
    text = data.decode()
    for number in range(count):
        spoilt = spoil_bytes(data, rng) if number % 3 == 0 else spoil_object(json.loads(text), rng)
        counts.take(f"yard {number} of seed {seed}", lambda data=spoilt: _read_and_write(data))
    return counts


def _read_and_write(data: bytes) -> None:
    yard = parse_yard(data, name="spoilt")
    if parse_yard(dump_yard(yard), name="again") != yard:
        raise AssertionError("written and read again it is another yard")


def fuzz_parcels(count: int, *, seed: int = 1) -> Counts:
    """Read what a spoilt clipboard holds, and paste what could be read."""
    rng, counts = random.Random(seed), Counts()
    yard = parse_yard(full_yard(), name="full")
    catalogue = load_catalogue()
    parcel = parcel_of(yard, [pot.id for pot in yard.pots[:3]], with_records=True)
    data = dump_parcel(parcel)

    def paste(spoilt: bytes) -> None:
        read = parse_parcel(spoilt, name="clipboard")
        edit = pasted(
            read,
            index=None,
            pot_ids=[yard.pots[-1].id],
            cultivar_of=catalogue.get,
            in_catalogue=catalogue.__contains__,
        )
        after = edit(yard)
        if parse_yard(dump_yard(after), name="again") != after:
            raise AssertionError("pasted, written and read again it is another yard")

    for number in range(count):
        spoilt = spoil_bytes(data, rng) if number % 3 == 0 else spoil_object(json.loads(data), rng)
        counts.take(f"parcel {number} of seed {seed}", lambda spoilt=spoilt: paste(spoilt))
    return counts


def spoil_table(text: str, rng: random.Random) -> bytes:
    """Spoil cells, rows and separators of a table."""
    if rng.random() < 0.4:
        return spoil_bytes(text.encode(), rng)
    rows = [line.split(",") for line in text.splitlines()]
    for _ in range(rng.randint(1, 5)):
        row = rng.choice(rows)
        way = rng.randrange(4)
        if way == 0:
            row[rng.randrange(len(row))] = rng.choice(_ODD_CELLS)
        elif way == 1:
            row.append(rng.choice(_ODD_CELLS))
        elif way == 2 and len(row) > 1:
            row.pop()
        else:
            rows.insert(rng.randrange(len(rows)), list(row))
    lines = (rng.choice((",", ",", ",", ";")).join(row) for row in rows)
    return "\n".join(lines).encode("utf-8", "surrogatepass")


def fuzz_tables(count: int, *, seed: int = 1) -> Counts:
    """Read spoilt tables with each reader of tables."""
    rng, counts = random.Random(seed), Counts()
    yard = load_yard(DEMO).yard
    with tempfile.TemporaryDirectory() as folder:
        samples = _samples(Path(folder), yard)
        file = Path(folder) / "spoilt.csv"
        for number in range(count):
            name, text, read = samples[number % len(samples)]
            file.write_bytes(spoil_table(text, rng))
            counts.take(f"{name} {number} of seed {seed}", lambda read=read: read(file))
    return counts


def _samples(folder: Path, yard: Yard) -> list[tuple[str, str, Callable[[Path], object]]]:
    def name_of(cultivar_id: str) -> str:
        return cultivar_id

    kinds = folder / "kinds.csv"
    write_kinds(kinds, parse_yard(full_yard(), name="full").own_cultivars)
    file = folder / "records.csv"
    write_records(file, yard, name_of=name_of)
    days = [f"2025-{month:02d}-{day:02d}" for month in range(1, 13) for day in range(1, 29)]
    weather = "date,tmin_c,tmax_c\n" + "".join(f"{each},1.5,9.5\n" for each in days)
    hours = "LOCATION,Town,-,X,s,1,51.0,0.0,0.0,10.0\n" + "HEAD\n" * 7
    hours += "".join(
        f"2025,1,{day},{hour},0,flags,4.5,1\n" for day in range(1, 15) for hour in range(1, 25)
    )
    ids = [layer.cultivar_id for _, layer in yard.layers()]
    prices = "cultivar_id,pack,price\n" + "".join(f"{each},10,4.5\n" for each in sorted({*ids}))
    requests = "id,cultivar,planted\n" + "".join(
        f"{number},{each},2025-10-01\n" for number, each in enumerate(ids)
    )
    return [
        (
            "records",
            file.read_text("utf-8"),
            lambda path: read_records(path, yard, name_of=name_of),
        ),
        ("weather", weather, read_weather),
        ("weather as text", weather, read_table),
        ("hours", hours, read_epw),
        ("requests", requests, read_requests),
        ("prices", prices, lambda path: read_prices(path, currency="EUR")),
        ("kinds", kinds.read_text("utf-8"), lambda path: take_kinds(yard, read_kinds(path))),
    ]


def fuzz_journal(count: int, *, seed: int = 1) -> Counts:
    """Look for work left behind among spoilt entries: each is offered, told damaged or skipped."""
    rng, counts = random.Random(seed), Counts()
    head = b'{"format": "bloomline-journal", "version": 1, "path": null, "seen": null, "yard": '
    data = head + DEMO.read_bytes() + b"}"
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "journal").mkdir()
        file = Path(folder) / "journal" / "one.json"

        def look() -> list[JournalEntry]:
            return find_recoverable(Path(folder))

        for number in range(count):
            file.write_bytes(spoil_bytes(data, rng))
            counts.take(f"entry {number} of seed {seed}", look)
    return counts


def main() -> None:
    """Print the counts, and every fault."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--yards", type=int, default=6000)
    parser.add_argument("--tables", type=int, default=3000)
    parser.add_argument("--parcels", type=int, default=500)
    parser.add_argument("--entries", type=int, default=500)
    parser.add_argument("--seed", type=int, default=1)
    args = parser.parse_args()
    faults = []
    for name, fuzz, count in (
        ("yards", fuzz_yards, args.yards),
        ("tables", fuzz_tables, args.tables),
        ("parcels", fuzz_parcels, args.parcels),
        ("journal entries", fuzz_journal, args.entries),
    ):
        counts = fuzz(count, seed=args.seed)
        print(counts.line(name), flush=True)
        faults += counts.faults
    for fault in faults:
        print(fault)
    raise SystemExit(1 if faults else 0)


if __name__ == "__main__":
    main()
