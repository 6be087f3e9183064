"""The tasks of the year's work as data, and how each kind of bulb rests; each with a source."""

from __future__ import annotations

import string
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal, cast, get_args

from bloomline.data import data_root
from bloomline.errors import DataError, UnknownNameError
from bloomline.reference.tables import ROW_NUMBER, Row, read_rows

Rest = Literal["dry", "moist", "keep", "shelter", "tender"]
Leaves = Literal["with", "later"]
Together = Literal["", "first", "last"]
_BASES = ("published", "common practice", "memory")


@dataclass(frozen=True, slots=True)
class TaskRule:
    """One kind of task.

    title, reason : words in braces are filled in for a pot or layer.
    earliest_days, best_days, latest_days : from the anchor's early, middle and late day.
    together_days : tasks of several pots whose best days lie so near are one; None: never one.
    together : whether they are done on the first of those days or on the last.
    repeat_days : days between two turns; None for a task done once.
    minutes : for a pot; seconds_per_bulb come on top. Judgement, no source.
    overdue_days : how long after its last day an undone task counts as overdue.
    """

    kind: str
    title: str
    reason: str
    anchor: str
    earliest_days: int
    best_days: int
    latest_days: int
    together_days: int | None
    together: Together
    repeat_days: int | None
    minutes: float
    seconds_per_bulb: float
    overdue_days: int
    threshold: float | None
    threshold_unit: str
    source: str
    basis: str

    @property
    def limit(self) -> float:
        """The threshold. Raises DataError for a task without one."""
        if self.threshold is None:
            raise DataError("shared/rules/tasks.csv", [f"{self.kind}: no threshold"])
        return self.threshold


@dataclass(frozen=True, slots=True)
class AfterCare:
    """How a kind rests once its leaves are down, and what it is like until then.

    mesh : whether animals dig for its bulbs. dead_head : whether its spent flowers are worth
    cutting. leaves : with the flower, or later: months after it. pests : kinds of task that look
    for what harms it.
    """

    genus: str
    group: str
    rest: Rest
    mesh: bool
    dead_head: bool
    leaves: Leaves
    pests: tuple[str, ...]
    source: str
    basis: str


class TaskRules:
    """All kinds of task in the order of the year, and the aftercare of kinds of bulb."""

    def __init__(self, rules: list[TaskRule], aftercare: list[AfterCare]) -> None:
        self.rules = tuple(rules)
        self._rules = {rule.kind: rule for rule in rules}
        self._order = {rule.kind: at for at, rule in enumerate(rules)}
        self._aftercare = {(each.genus, each.group): each for each in aftercare}

    def rule(self, kind: str) -> TaskRule:
        """Return the rule of a kind of task. Raises UnknownNameError."""
        if kind not in self._rules:
            raise UnknownNameError("kind of task", kind, near=sorted(self._rules))
        return self._rules[kind]

    def order(self, kind: str) -> int:
        """Where a kind of task stands in the course of the year."""
        return self._order[kind]

    def aftercare(self, genus: str, group: str = "") -> AfterCare:
        """Return how a kind rests: the group's row, else the genus's, else any bulb's."""
        for key in ((genus, group), (genus, ""), ("", "")):
            if key in self._aftercare:
                return self._aftercare[key]
        raise DataError("shared/rules/aftercare.csv", ["no row for any bulb"])


@lru_cache(maxsize=1)
def load_task_rules() -> TaskRules:
    """Return the tasks of shared/rules; read once a process. Raises DataError."""
    folder = data_root("shared").joinpath("rules")
    return TaskRules(
        read_task_rules(read_rows(folder.joinpath("tasks.csv"))),
        read_aftercare(read_rows(folder.joinpath("aftercare.csv"))),
    )


def read_task_rules(rows: list[Row]) -> list[TaskRule]:
    """Make task rules of table rows. Raises DataError that names every bad row."""
    rules: list[TaskRule] = []
    problems: list[str] = []
    for row in rows:
        try:
            rules.append(_task_rule(row))
        except (KeyError, ValueError) as error:
            problems.append(f"row {row[ROW_NUMBER]}: {error}")
    kinds = [rule.kind for rule in rules]
    problems += [f"{kind} stands twice" for kind in sorted(set(kinds)) if kinds.count(kind) > 1]
    if problems:
        raise DataError("shared/rules/tasks.csv", problems)
    return rules


def _task_rule(row: Row) -> TaskRule:
    def days(name: str) -> int:
        return int(row[name] or 0)

    rule = TaskRule(
        kind=row["kind"],
        title=row["title"],
        reason=row["reason"],
        anchor=row["anchor"],
        earliest_days=days("earliest_days"),
        best_days=days("best_days"),
        latest_days=days("latest_days"),
        together_days=int(row["together_days"]) if row["together_days"] else None,
        together=cast(Together, row["together"]),
        repeat_days=days("repeat_days") or None,
        minutes=float(row["minutes"]),
        seconds_per_bulb=float(row["seconds_per_bulb"] or 0),
        overdue_days=days("overdue_days"),
        threshold=float(row["threshold"]) if row["threshold"] else None,
        threshold_unit=row["threshold_unit"],
        source=row["source"],
        basis=row["basis"],
    )
    for text in (rule.title, rule.reason):
        for _, name, _, _ in string.Formatter().parse(text):
            if name is not None and not name.isidentifier():
                raise ValueError(f"{{{name}}} is no name to fill in")
    if not (rule.kind and rule.title and rule.source):
        raise ValueError("kind, title and source are wanted")
    if rule.basis not in _BASES:
        raise ValueError(f"the basis “{rule.basis}” is none of {', '.join(_BASES)}")
    if rule.minutes < 0 or rule.seconds_per_bulb < 0 or rule.overdue_days < 0:
        raise ValueError("minutes, seconds_per_bulb and overdue_days must not be below 0")
    if rule.together not in get_args(Together) or (rule.together_days is None) == bool(
        rule.together
    ):
        raise ValueError("together is first or last where together_days are given, else blank")
    if (rule.repeat_days or 1) < 1:
        raise ValueError("repeat_days must be at least 1")
    if rule.repeat_days is None and not rule.earliest_days <= rule.best_days <= rule.latest_days:
        raise ValueError("the earliest, best and latest day must come in this order")
    return rule


def read_aftercare(rows: list[Row]) -> list[AfterCare]:
    """Make aftercare rows of table rows. Raises DataError that names every bad row."""
    found: list[AfterCare] = []
    problems: list[str] = []
    for row in rows:
        known = {"rest": get_args(Rest), "leaves": get_args(Leaves)}
        known |= {"mesh": ("0", "1"), "dead_head": ("0", "1")}
        if wrong := [name for name, words in known.items() if row[name] not in words]:
            names = " and ".join(wrong)
            problems.append(f"row {row[ROW_NUMBER]}: {names} is not one of the known words")
            continue
        found.append(
            AfterCare(
                genus=row["genus"],
                group=row["group"],
                rest=cast(Rest, row["rest"]),
                mesh=row["mesh"] == "1",
                dead_head=row["dead_head"] == "1",
                leaves=cast(Leaves, row["leaves"]),
                pests=tuple(row["pests"].split()),
                source=row["source"],
                basis=row["basis"],
            )
        )
    if problems:
        raise DataError("shared/rules/aftercare.csv", problems)
    return found
