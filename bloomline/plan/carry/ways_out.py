"""Three ways out where plantings of a pot collide: take out, another pot, a later start."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from functools import cached_property

from bloomline.model import edits
from bloomline.model.companion import CompanionPlanting
from bloomline.model.companion_edits import change_companion, move_companion
from bloomline.model.yard import MAX_POTS, Layer, Pot, Yard
from bloomline.plan.carry.collision import Blocker, Choice, Newcomer
from bloomline.plan.climate.surroundings import extra_cover_cm, standing_of
from bloomline.plan.forecast.planting_day import usual_planting_day, usual_planting_span
from bloomline.plan.forecast.plantings import Planting
from bloomline.plan.forecast.report import Band, LayerForecast
from bloomline.plan.pot.compost import pot_compost
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.solve import learned_of
from bloomline.plan.season.yard import season_report
from bloomline.plan.tops.companions import companion_of, planting_span
from bloomline.plan.words.days import as_day
from bloomline.words import day_words, listed, tr


class WaysOut:
    """What helps in one yard, worked out with its own forecast."""

    def __init__(self, outlook: Outlook, *, with_dates: bool) -> None:
        self._with_dates = with_dates
        self._outlook = outlook
        self.yard = outlook.yard
        self.report = season_report(outlook)
        self.cultivar_of = outlook.cultivar_of
        self.garden = outlook.garden
        self._empty = [pot for pot in self.yard.pots if not pot.layers and not pot.companions]
        self._opens: dict[Planting, date | None] = {}

    @cached_property
    def forecasts(self) -> dict[str, LayerForecast]:
        """Of every layer by its id; most yards have nothing to help."""
        return {layer.layer_id: layer for layer in self.report.layers}

    def name(self, new: Newcomer) -> str:
        """What a newcomer is called."""
        if isinstance(new, Layer):
            return self.cultivar_of(new.cultivar_id).name
        return companion_of(new.companion_id).name

    def lift(self, due: date, blockers: list[Blocker]) -> Choice:
        """Take out what stands in the way."""
        unseen = [each for each in blockers if each.is_lost_on(due)]
        ids = [each.layer.id for each in blockers]
        names = listed([each.cultivar.name for each in blockers])
        over = [each.forecast.leaves_over for each in blockers]
        if not any(each.is_kept for each in blockers):
            title = tr("Take out {names} on {due}", names=names, due=day_words(due))
            words = tr(
                "Cut what still flowers for the vase. These bulbs are bought anew each year, so "
                "nothing is lost but the last days of flower."
            )
        elif all(band is not None and band.p50 <= due for band in over):
            title = tr("Lift {names} on {due}", names=names, due=day_words(due))
            words = tr(
                "Their leaves have died down, so nothing is lost: store them as their kind wants "
                "it and plant them again at their time. Wear gloves: dry skins irritate."
            )
        else:
            title = tr("Lift {names} in the green on {due}", names=names, due=day_words(due))
            words = tr(
                "Lift them with soil on their roots, heel them in at the same "
                "depth elsewhere, and water until the leaves have died down; "
                "next year's flower is the poorer for it. Wear gloves: sap and "
                "dry skins of many bulbs irritate."
            )

        def apply(yard: Yard) -> Yard:
            for layer_id in ids:
                yard = edits.change_layer(yard, layer_id, lifted_on=due)
            return yard

        why_not = ""
        if unseen:
            lost = listed([each.cultivar.name for each in unseen])
            why_not = tr("{lost} would be lost before flowering.", lost=lost)
        return Choice("lift", title, words, not unseen, why_not, apply)

    def second_pot(self, pot: Pot, blocked: list[Newcomer]) -> Choice:
        """Plant the newcomers in an empty pot, or in one more."""
        names = listed([self.name(each) for each in blocked])
        deepest = max(
            (
                each.cover_cm + self.cultivar_of(each.cultivar_id).bulb_height_cm
                for each in blocked
                if isinstance(each, Layer)
            ),
            default=0.0,
        )
        empty = next((other for other in self._empty if other.compost_depth_cm >= deepest), None)
        why_not = ""
        if empty is not None:
            title = tr("Plant {names} in {empty_name}", names=names, empty_name=empty.name)
            words = tr("That pot stands empty.")
        else:
            bare = pot.model_copy(update={"layers": (), "companions": ()})
            litres = pot_compost(bare, yard=self.yard, cultivar_of=self.cultivar_of).loose_l
            if len(self.yard.pots) >= MAX_POTS:
                why_not = tr(
                    "The yard is full: it holds at most {max_pots:,} pots.", max_pots=MAX_POTS
                )
            title = tr("Plant {names} in a second pot", names=names)
            words = tr(
                "One more pot like {pot_name}, to be bought, and about {litres:.0f} L of compost.",
                pot_name=pot.name,
                litres=litres,
            )

        def apply(yard: Yard) -> Yard:
            to = empty
            if to is None or all(other.id != to.id for other in yard.pots):
                to = _sister(yard, yard.pot(pot.id))
                at = next(i for i, other in enumerate(yard.pots) if other.id == pot.id)
                yard = edits.add_pot(yard, to, index=at + 1)
            for each in blocked:
                move = edits.move_layer if isinstance(each, Layer) else move_companion
                yard = move(yard, each.id, to.id)
            return yard

        return Choice("second-pot", title, words, not why_not, why_not, apply)

    def later(
        self,
        pot: Pot,
        due: date,
        blocked: list[Newcomer],
        free: Band | None,
        *,
        in_the_way: Callable[[date], list[Blocker]],
    ) -> Choice:
        """Plant when the pot is free, where there is time left for it.

        in_the_way : what newcomers would meet if they were planted on a day.
        """
        day = due if free is None else free.p90 + timedelta(days=1)
        there = in_the_way(day)
        # Layers planted soon before the newcomers get in their way when those wait.
        while waits := [each.free for each in there if each.free is not None]:
            day = max(band.p90 for band in waits) + timedelta(days=1)
            there = in_the_way(day)
        names = listed([self.name(each) for each in blocked])
        title = (
            tr("Plant {names} on {day}", names=names, day=day_words(day))
            if free is not None
            else tr("Plant later")
        )
        lifted = [each for each in there if each.must_go]
        gone = [each for each in blocked if (out := _comes_out(each)) is not None and out <= day]
        why_not = ""
        words = tr("{days} days later.", days=(day - due).days)
        if free is None or len(lifted) < len(there):
            why_not = tr("Waiting doesn't help: bulbs lie in the way, and stay.")
        else:
            lasts = [(self._last_day(each), each) for each in blocked]
            last, first_late = min(lasts, key=lambda pair: pair[0])
            lost = [each for each in lifted if each.is_lost_on(day)]
            if gone:
                names = listed([self.name(each) for each in gone])
                why_not = tr("{names} would have to come out again before that.", names=names)
            elif lost:
                names = listed([each.cultivar.name for each in lost])
                why_not = tr("{names} would be dug up before flowering.", names=names)
            elif day > last:
                why_not = tr(
                    "Too late for {name}: it is planted until about {last} here.",
                    name=self.name(first_late),
                    last=day_words(last),
                )
            else:
                words += self._new_dates(pot, day, blocked)
                if lifted:
                    words += tr(
                        " {lifted} would lie where the new ones go, and come "
                        "out at rest then, without harm.",
                        lifted=listed([each.cultivar.name for each in lifted]),
                    )

        def apply(yard: Yard) -> Yard:
            for each in blocked:
                change = edits.change_layer if isinstance(each, Layer) else change_companion
                yard = change(yard, each.id, planted=day)
            for blocker in lifted:
                yard = edits.change_layer(yard, blocker.layer.id, lifted_on=day)
            return yard

        return Choice("later", title, words, not why_not, why_not, apply)

    def _last_day(self, new: Newcomer) -> date:
        """The last usual planting day of a newcomer at this place."""
        if isinstance(new, CompanionPlanting):
            southern = self.garden.is_southern
            return planting_span(companion_of(new.companion_id), new.planted, southern=southern)[1]
        cultivar = self.cultivar_of(new.cultivar_id)
        usual = usual_planting_day(
            cultivar, garden=self.garden, first_day=as_day(self.report.first_day)
        )
        # The season before or after it, for bulbs planted at the end of this axis.
        spans = [
            usual_planting_span(cultivar, usual=usual + timedelta(days=days)) for days in (0, 365)
        ]
        return min(spans, key=lambda span: abs((span[1] - new.planted).days))[1]

    def _new_dates(self, pot: Pot, day: date, blocked: list[Newcomer]) -> str:
        """When newcomers flower if they are planted on a day, where that can be told."""
        if not self._with_dates:
            return ""
        told = []
        offset = self.yard.site_offsets.get(pot.site, 0.0)
        taught = learned_of(self._outlook)
        for each in blocked:
            if not isinstance(each, Layer) or self.forecasts[each.id].start is None:
                continue
            cultivar = self.cultivar_of(each.cultivar_id)
            start = self._opens_on(
                Planting(
                    cultivar,
                    day,
                    standing_of(pot, site_offset_c=offset),
                    each.prechill_weeks,
                    shift_days=taught.offset_at(pot.site)
                    + taught.kind_shift_days(cultivar, established=False),
                    extra_cover_cm=extra_cover_cm(each.cover_cm, cultivar),
                )
            )
            if start is None or (each.lifted_on is not None and start >= each.lifted_on):
                told.append(
                    tr(
                        "{cultivar_name} would hardly flower this season",
                        cultivar_name=cultivar.name,
                    )
                )
            else:
                told.append(
                    tr(
                        "{cultivar_name} then opens about {start}",
                        cultivar_name=cultivar.name,
                        start=day_words(start),
                    )
                )
        return f" {'; '.join(told)}." if told else ""

    def _opens_on(self, planting: Planting) -> date | None:
        """The median first flower of a planting; worked out once for pots that are alike."""
        if planting not in self._opens:
            solved = self._outlook.forecaster.side.solve(
                [planting],
                garden=self.garden,
                first_day=as_day(self.report.first_day),
                recorded=self._outlook.recorded,
            )
            self._opens[planting] = (
                solved.date_of(float(solved.bands("start").p50[0])) if solved.flowers()[0] else None
            )
        return self._opens[planting]


def _comes_out(new: Newcomer) -> date | None:
    """The day on which a newcomer is to leave the pot again."""
    return new.lifted_on if isinstance(new, Layer) else new.taken_out


def _sister(yard: Yard, pot: Pot) -> Pot:
    """An empty pot like another, still to be bought."""
    changes = {
        "id": edits.next_id(yard, "pot"),
        "name": edits.free_name(yard, pot.name),
        "layers": (),
        "companions": (),
        "to_buy": True,
        "display_place": None,
        "notes": "",
    }
    return pot.model_copy(update=changes)
