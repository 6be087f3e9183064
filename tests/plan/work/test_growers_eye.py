"""What an experienced grower of southern England would look for in a year's list."""

from __future__ import annotations

from datetime import date, timedelta

import asking
import pytest
from working import TODAY, kinds, plan_of

from bloomline.files.yardfile import load_yard
from bloomline.model.edits import change_layer, change_pot
from bloomline.model.task_edits import tick_task
from bloomline.model.yard import Layer, Pot
from bloomline.plan.shop.buying import shopping_list


def pot_of(*layers, place="London"):
    """One pot of layers given as (cultivar id, planted, cover)."""
    made = asking.yard([layer[:2] for layer in layers], place=place)
    for k, (_, _, cover_cm) in enumerate(layers):
        made = change_layer(made, f"layer-0-{k}", cover_cm=cover_cm)
    return made


def with_pot(yard, name, cultivar_id, planted):
    """The yard with one more pot at its end."""
    like = yard.pots[0]
    layer = Layer(
        id=f"layer-{name}", cultivar_id=cultivar_id, count=5, cover_cm=6.0, planted=planted
    )
    pot = Pot(
        **{**like.model_dump(exclude={"layers"}), "id": name, "name": name, "layers": [layer]}
    )
    return yard.model_copy(update={"pots": (*yard.pots, pot)})


def test_early_layers_that_are_kept_are_fed_although_later_ones_flower():
    """RHS, Bulbs: aftercare: until the leaves begin to yellow, whatever else is in the pot."""
    yard = pot_of(
        ("narcissus-tete-a-tete", "2026-10-01", 12), ("muscari-armeniacum", "2026-10-01", 6)
    )
    report, plan = plan_of(yard)
    layers = {each.layer_id: each for each in report.layers}
    early, late = layers["layer-0-0"], layers["layer-0-1"]
    spans = [s for task in kinds(plan)["feed"] for s in task.spans if "layer-0-0" in s.layer_ids]
    assert [span.first for span in spans] == [early.end.p50 + timedelta(days=1)]
    turns = [turn for task in kinds(plan)["feed"] for turn in task.turns]
    assert any(late.start.p50 <= turn <= late.end.p50 for turn in turns)


def test_lilies_are_fed_in_growth_stay_green_into_autumn_and_are_repotted():
    """RHS Lily Group, Planting lilies in a container (feeding through summer, autumn repotting)."""
    report, plan = plan_of(asking.yard([("lilium-tiny-bee", "2027-03-25")]))
    (lily,) = report.layers
    (feed,), (repot,) = kinds(plan)["feed"], kinds(plan)["repot"]
    assert lily.nose.p50 < feed.best < lily.start.p50
    assert feed.turns[-1] > lily.end.p50
    assert lily.leaves_over.p50.month in (9, 10)
    assert repot.best > lily.leaves_over.p50
    assert "stop-watering" not in kinds(plan)
    (beetle,) = kinds(plan)["lily-beetle"]
    assert beetle.best >= lily.nose.p50
    assert {"slugs", "vine-weevil"} <= set(kinds(plan))


def test_a_lily_planted_in_autumn_is_in_time_everywhere_and_flowers_in_summer():
    yard = asking.yard([("lilium-tiny-bee", "2026-10-20")])
    report, plan = plan_of(yard)
    (task,) = kinds(plan)["plant"]
    assert "days before" not in task.reason
    assert "days after" not in task.reason
    assert "It may be planted from" in task.reason
    assert not [each for each in report.layers[0].advice if each.topic == "planting"]
    assert {each.key for each in kinds(plan)["order"]} == {"order:autumn:2027"}
    spring = plan_of(asking.yard([("lilium-tiny-bee", "2027-03-15")]))[0]
    apart = (report.layers[0].start.p50 - spring.layers[0].start.p50).days
    assert -28 <= apart <= 7  # rooted before winter, a little earlier (common practice, no source)
    assert all(turn.month in range(3, 11) for t in kinds(plan)["lily-beetle"] for turn in t.turns)


@pytest.mark.parametrize(
    ("kind", "planted"),
    [
        ("tulipa-shirley", "2026-11-10"),
        ("lilium-tiny-bee", "2027-04-03"),
        ("lilium-tiny-bee", "2026-10-20"),
        ("dahlia-bishop-of-llandaff", "2027-05-05"),
    ],
)
def test_the_last_day_to_order_is_that_of_the_shopping_list(kind, planted):
    yard = asking.yard([(kind, planted)])
    (line,) = shopping_list(asking.outlook(yard)).bulbs
    _, plan = plan_of(yard)
    (order,) = kinds(plan)["order"]
    assert order.latest == line.order_by


def test_a_pot_is_emptied_on_one_day():
    yard = pot_of(
        ("tulipa-shirley", "2026-10-24", 20),
        ("hyacinthus-orientalis-delft-blue", "2026-10-24", 11),
        ("crocus-tommasinianus-ruby-giant", "2026-10-24", 5),
    )
    for _, layer in list(yard.layers()):
        yard = change_layer(yard, layer.id, state="planted")
    _, plan = plan_of(yard)
    days = {task.best for kind in ("clear", "lift") for task in kinds(plan)[kind]}
    assert len(days) == 1
    (refill,) = kinds(plan)["refill"]
    assert refill.best == days.pop() + timedelta(days=1)


def test_what_is_over_is_not_dug_out_through_what_was_planted_over_it():
    """A dahlia planted under the tulips' last flowers: they wait for it, or it for them."""
    yard = pot_of(
        ("tulipa-shirley", "2027-05-01", 20),
        ("dahlia-bishop-of-llandaff", "2027-08-01", 5),
        place="Melbourne",
    )
    report, plan = plan_of(yard)
    dahlia = next(each for each in report.layers if "dahlia" in each.cultivar_id)
    for task in kinds(plan).get("clear", []):
        assert not dahlia.start.p50 <= task.best <= dahlia.end.p50


def test_tulips_are_looked_over_for_fire_while_they_come_up():
    """University of Illinois Extension: the first signs are on shoots as they emerge."""
    report, plan = plan_of(asking.yard([("tulipa-shirley", "2026-11-10")]))
    (fire,) = kinds(plan)["tulip-fire"]
    (tulip,) = report.layers
    assert tulip.nose.p50 <= fire.earliest < fire.best < tulip.start.p50
    assert "tulip-fire" not in kinds(
        plan_of(asking.yard([("muscari-armeniacum", "2026-10-10")]))[1]
    )


def test_pots_that_stay_get_new_compost_in_their_rest():
    _, plan = plan_of(asking.yard([("narcissus-ice-follies", "2026-10-01")]))
    (renew,), (stop,) = kinds(plan)["renew"], kinds(plan)["stop-watering"]
    assert stop.best < renew.best < date(2027, 9, 15)
    assert "renew" not in kinds(plan_of(asking.yard([("tulipa-shirley", "2026-11-10")]))[1])


def test_a_stone_sink_is_said_to_weigh_what_card_and_shopping_list_say(checkout):
    from bloomline.plan.pot.weight import pot_weight

    yard = load_yard(checkout / "demo" / "hollyhock-lane.bloomline").yard
    sink = yard.pot("pot-7")
    weight = pot_weight(sink, yard=yard, cultivar_of=asking.catalogue().get)
    assert round(weight.wet_kg.high) > 100
    _, plan = plan_of(yard, date(2026, 8, 1))
    (task,) = [t for t in kinds(plan)["plant"] if "pot-7" in t.pot_ids]
    assert f"{weight.wet_kg.low:.0f} kg to {weight.wet_kg.high:.0f} kg" in task.reason
    assert "pot-7" not in {pot for t in kinds(plan).get("forward", []) for pot in t.pot_ids}


def test_a_yard_of_four_pots_is_not_carried_to_and_fro(checkout):
    """Crocus, daffodils and tulips in one pot on a path: once forward, once away at most."""
    made = pot_of(
        ("tulipa-queen-of-night", "2026-11-06", 20),
        ("narcissus-geranium", "2026-10-09", 12),
        ("crocus-chrysanthus-cream-beauty", "2026-10-09", 5),
    )
    made = made.model_copy(update={"display_places": ({"name": "Path", "capacity": 2},)})
    small = {"top_width_cm": 28.0, "bottom_width_cm": 22.0, "inside_height_cm": 28.0}
    made = change_pot(made, "pot-0", **small, material="plastic", wall_cm=0.4)
    made = type(made).model_validate(made.model_dump())
    made = change_pot(made, "pot-0", display_place="Path")
    _, plan = plan_of(made)
    assert len(kinds(plan)["forward"]) == 1
    assert len(kinds(plan).get("away", [])) <= 1


class TestOneTaskOfMany:
    """Keys outlive a pot that is added; what was ticked alone counts for its pot."""

    yard = asking.yard(
        [("narcissus-ice-follies", "2026-10-01")], [("muscari-armeniacum", "2026-10-01")]
    )

    def test_pots_of_one_day_are_one_task_with_a_list(self):
        _, plan = plan_of(self.yard)
        (plant,) = kinds(plan)["plant"]
        assert plant.pot_ids == ("pot-0", "pot-1")
        assert plant.keys == ("plant:layer-0-0:2027", "plant:layer-1-0:2027")
        assert plant.key == plant.keys[0]
        assert "Pot 0" in plant.title and "Pot 1" in plant.title

    def test_keys_survive_a_pot_that_is_added(self):
        _, before = plan_of(self.yard)
        more = with_pot(self.yard, "pot-10", "crocus-chrysanthus-cream-beauty", date(2026, 10, 1))
        _, after = plan_of(more)
        assert {task.key for task in before.tasks} <= {
            key for task in after.tasks for key in task.keys
        }
        (plant,) = kinds(after)["plant"]
        assert plant.key == "plant:layer-0-0:2027"
        assert len(plant.keys) == 3

    def test_a_tick_of_old_counts_for_its_pot_and_all_of_them_for_the_task(self):
        one = tick_task(self.yard, "plant:layer-1-0:2027", date(2026, 10, 2))
        _, plan = plan_of(one)
        (plant,) = kinds(plan)["plant"]
        assert not plant.done
        assert plant.note == "1 of 2 done: Pot 1"
        both = tick_task(one, "plant:layer-0-0:2027", date(2026, 10, 3))
        _, plan = plan_of(both)
        (plant,) = kinds(plan)["plant"]
        assert (plant.done, plant.done_on) == (True, date(2026, 10, 3))

    def test_a_turn_of_a_round_is_done_when_all_its_pots_were_ticked_alone(self):
        _, plan = plan_of(self.yard)
        (feed,) = kinds(plan)["feed"]
        assert len(feed.spans) == 2
        day = max(span.first for span in feed.spans)
        assert all(span.first <= day <= span.last for span in feed.spans)
        first, second = (span.key for span in feed.spans)
        half = tick_task(self.yard, first, day)
        assert kinds(plan_of(half)[1])["feed"][0].done_on is None
        whole = tick_task(half, second, day)
        assert kinds(plan_of(whole)[1])["feed"][0].done_on == day

    def test_a_round_calls_at_each_pot_on_its_own_days(self):
        _, plan = plan_of(self.yard, TODAY)
        for task in plan.tasks:
            for turn in task.turns:
                here = task.pots_on(turn)
                assert here
                for pot_id in here:
                    assert not task.spans or any(
                        s.pot_id == pot_id and s.first <= turn <= s.last for s in task.spans
                    )
                assert set(task.names_on(turn)) <= set(task.pot_names)
