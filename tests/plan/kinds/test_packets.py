"""Kinds made from packets: months turned into dates, and every way in and out of a table."""

from __future__ import annotations

from datetime import date

import pytest
from asking import catalogue, forecaster, garden, outlook, yard
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bloomline.errors import BloomlineError, EditRefusedError, UsageError
from bloomline.files.yardfile import dump_yard, parse_yard
from bloomline.model.cultivar import MixPart, MonthDay
from bloomline.model.kind_edits import put_kind, remove_kind, with_kinds_used
from bloomline.model.mixing import mixture_of, plain
from bloomline.plan.climate.reference_garden import reference_garden
from bloomline.plan.forecast.one_planting import Request, forecast
from bloomline.plan.kinds.classes import bulb_types, usual_of
from bloomline.plan.kinds.dates import NoSuchTimeError, packet_dates
from bloomline.plan.kinds.making import kind_of
from bloomline.plan.kinds.packet import PacketEntry, entry_of, full_name
from bloomline.plan.kinds.questions import questions
from bloomline.plan.kinds.table import (
    forget_shared,
    keep_shared,
    load_shared,
    read_kinds,
    write_kinds,
)
from bloomline.plan.kinds.window import flowering_window, window_days, window_words
from bloomline.plan.season.yard import season_report
from bloomline.reference.catalogue import load_catalogue

TULIP = PacketEntry(
    "Tulipa", "Triumph", name="Evening Tale", flowers="April–May", country="United Kingdom"
)
CLASSES = [(each.genus, group) for each in bulb_types() for group, _ in each.groups]


def made(entry=TULIP, **fields):
    return kind_of(entry, forecaster=forecaster(), **fields)


class TestMonths:
    @pytest.mark.parametrize(
        ("text", "span"),
        [
            ("April–May", ("04-01", "05-31")),
            ("apr - may", ("04-01", "05-31")),
            ("mid-April to early May", ("04-11", "05-10")),
            ("late February", ("02-21", "02-28")),
            ("Dec-Feb", ("12-01", "02-28")),
            ("12 April – 3 May", ("04-12", "05-03")),
            ("Sept", ("09-01", "09-30")),
            ("4-5", ("04-01", "05-31")),
            # Week 15 holds 12 April in most years (ISO 8601 calendars of 2020 to 2026).
            ("weeks 15–18", ("04-09", "05-06")),
            ("W1", ("01-01", "01-07")),
        ],
    )
    def test_they_are_read_as_people_write_them(self, text, span):
        assert tuple(str(day) for day in flowering_window(text)) == span

    @pytest.mark.parametrize("text", ["", "Febtober", "week 60", "31 April", "May–June–July", "13"])
    def test_what_is_no_month_is_told(self, text):
        with pytest.raises(UsageError):
            flowering_window(text)

    def test_a_year_of_flowers_is_no_packet(self):
        with pytest.raises(UsageError, match="days"):
            flowering_window("January–December")

    @given(st.integers(1, 365), st.integers(2, 190))
    def test_words_read_back_as_the_span(self, first, length):
        days = [
            MonthDay(when.month, when.day)
            for when in (
                date.fromordinal(date(2001, 1, 1).toordinal() + n % 365)
                for n in (first, first + length)
            )
        ]
        assert flowering_window(window_words(*days)) == (days[0], days[1])


class TestDates:
    @settings(max_examples=25, deadline=None)
    @given(st.sampled_from(CLASSES), st.integers(-30, 30), st.integers(14, 75))
    def test_months_near_london_come_back_as_the_forecast_there(self, kind, late, length):
        """The middle of the forecast flowers lies in the packet's months, within its spread."""
        usual = usual_of(*kind)
        middle = usual.typical.ref_start.day_of_year + usual.typical.display_days // 2 + late
        begin, end = (
            date.fromordinal(date(2001, 1, 1).toordinal() + n % 365)
            for n in (middle - length // 2, middle + length // 2)
        )
        span = MonthDay(begin.month, begin.day), MonthDay(end.month, end.day)
        dates = packet_dates(span, country="", usual=usual, forecaster=forecaster())
        own = usual.typical.model_copy(
            update={"id": "own-x", "ref_start": dates.start, "ref_end": dates.end}
        )
        answer = forecast(
            Request(id="x", garden=reference_garden(), cultivar=own),
            forecaster=forecaster(),
            today=date(2026, 9, 1),
        )
        if answer.start is None:
            return
        seen = answer.start.p50.toordinal() + answer.end.p50.toordinal()
        half = 0.5 * window_days(*span)
        apart = (
            0.5 * seen - date(answer.start.p50.year, begin.month, begin.day).toordinal()
        ) - half
        apart = (apart + 182.5) % 365.25 - 182.5
        assert abs(apart) <= half + 2.0 * dates.sd_days

    @pytest.mark.parametrize("kind", CLASSES, ids=" ".join)
    def test_a_packet_with_the_usual_months_of_a_class_gives_its_usual_days(self, kind):
        """Late ones too: what opens in October is asked about as if it opened in December."""
        usual = usual_of(*kind)
        first = usual.typical.ref_start.day_of_year
        begin, end = (
            date.fromordinal(date(2001, 1, 1).toordinal() + (first - 1 + n) % 365)
            for n in (0, usual.typical.display_days)
        )
        span = MonthDay(begin.month, begin.day), MonthDay(end.month, end.day)
        dates = packet_dates(span, country="", usual=usual, forecaster=forecaster())
        apart = (dates.start.day_of_year - first + 182) % 365 - 182
        assert abs(apart) <= 3 and dates.agrees

    def test_a_packet_of_the_country_agrees_with_the_forecast_there(self):
        for country, months in (("United Kingdom", "late April"), ("Netherlands", "April")):
            kind = made(PacketEntry("Tulipa", "Triumph", "x", months, country))
            span = flowering_window(months)
            place = garden("London") if country == "United Kingdom" else None
            if place is None:
                from bloomline.plan.climate.garden import garden_named

                place = garden_named("De Bilt")
            answer = forecast(
                Request(id="x", garden=place, cultivar=kind),
                forecaster=forecaster(),
                today=date(2026, 9, 1),
            )
            middle = (answer.start.p50.toordinal() + answer.end.p50.toordinal()) / 2
            year = answer.start.p50.year
            assert middle >= span[0].in_year(year).toordinal() - 2 * kind.ref_sd_days
            assert middle <= span[1].in_year(year).toordinal() + 2 * kind.ref_sd_days

    def test_the_same_months_further_north_mean_an_earlier_kind(self):
        starts = [
            made(PacketEntry("Tulipa", "", "x", "early May", country)).ref_start.day_of_year
            for country in ("Italy", "United Kingdom", "Sweden")
        ]
        assert starts[0] > starts[1] > starts[2]

    def test_the_south_flowers_half_a_year_later(self):
        south = made(PacketEntry("Tulipa", "Triumph", "x", "October", "New Zealand"))
        assert abs(south.ref_start.day_of_year - MonthDay(4, 14).day_of_year) < 25

    def test_wider_months_are_less_sure_and_none_are_the_class(self):
        usual = usual_of("Tulipa")
        narrow, wide = (
            made(PacketEntry("Tulipa", "", "x", months)).ref_sd_days
            for months in ("late April", "April–June")
        )
        assert narrow < wide
        none = made(PacketEntry("Tulipa", "", "x"))
        assert none.ref_sd_days == pytest.approx(usual.sd_days, abs=0.06)
        assert (none.ref_start, none.date_basis) == (usual.typical.ref_start, "class-typical")

    def test_class_unknown_is_as_wide_as_all_classes(self):
        all_of_them = made(PacketEntry("Tulipa", "", "mixed"))
        assert all_of_them.name == "Tulipa (mixed)"
        assert all_of_them.ref_sd_days > 2 * made(PacketEntry("Tulipa", "Triumph", "x")).ref_sd_days

    def test_no_tulip_flowers_in_autumn(self):
        with pytest.raises(NoSuchTimeError, match="another type"):
            packet_dates(
                flowering_window("October"),
                country="",
                usual=usual_of("Tulipa", "Triumph"),
                forecaster=forecaster(),
            )


class TestQuestions:
    def test_a_plain_packet_has_none(self):
        assert questions(TULIP, forecaster=forecaster()) == {}

    @pytest.mark.parametrize(
        ("fields", "field", "grave"),
        [
            ({"height_cm": 400.0}, "height", True),
            ({"height_cm": 120.0}, "height", False),
            ({"cover_cm": 55.0}, "cover", True),
            ({"cover_cm": 2.0}, "cover", False),
            ({"size_cm": 1.0}, "size", True),
            ({"size_cm": 25.0}, "size", False),
            ({"flowers": "Febtober"}, "flowers", True),
            ({"flowers": "October"}, "flowers", True),
            ({"flowers": "February"}, "flowers", False),
            ({"country": "Narnia"}, "country", True),
            ({"name": " "}, "name", True),
            ({"genus": "a bulb"}, "genus", True),
        ],
    )
    def test_each_field_is_questioned_by_itself(self, fields, field, grave):
        entry = PacketEntry(
            **{
                **{name: getattr(TULIP, name) for name in ("genus", "group", "name", "flowers")},
                **fields,
            }
        )
        found = questions(entry, forecaster=forecaster())
        assert list(found) == [field]
        assert found[field].grave is grave and found[field].words

    def test_what_can_not_be_makes_no_kind(self):
        with pytest.raises(UsageError, match="250"):
            made(PacketEntry("Tulipa", "Triumph", "x", height_cm=400.0))

    def test_a_type_that_is_not_listed_needs_months(self):
        assert questions(PacketEntry("Watsonia", "", "x"))["flowers"].grave
        kind = made(PacketEntry("Watsonia", "", "Rudy", "June"))
        assert kind.ref_start.month in (5, 6) and kind.toxic_pets == 1
        assert kind.name == "Watsonia 'Rudy'"


class TestKind:
    def test_editing_it_unchanged_changes_nothing(self):
        kind = made()
        assert made(entry_of(kind), kept=kind) == kind

    def test_other_months_move_it_and_keep_its_id(self):
        kind = made()
        entry = entry_of(kind)
        later = made(PacketEntry(**{**_fields(entry), "flowers": "May"}), kept=kind)
        assert later.id == kind.id
        assert later.ref_start.day_of_year > kind.ref_start.day_of_year

    def test_names_are_written_as_the_icncp_does(self):
        assert full_name("Tulipa", "evening tale") == "Tulipa 'evening tale'"
        assert full_name("Tulipa", "'Evening Tale'") == "Tulipa 'Evening Tale'"
        assert full_name("Tulipa", "Tulipa 'Evening Tale'") == "Tulipa 'Evening Tale'"
        assert full_name("Narcissus", "King's Gold") == "Narcissus 'King’s Gold'"
        assert full_name("Tulipa", "mixed") == "Tulipa (mixed)"

    def test_it_is_forecast_like_any_other(self):
        kind = made()
        here = put_kind(yard([(kind.id, "2026-11-15")], own_cultivars=(kind,)), kind)
        (layer,) = season_report(outlook(here)).layers
        assert layer.name == "Tulipa 'Evening Tale'"
        (near,) = season_report(outlook(yard([("tulipa-white-dream", "2026-11-15")]))).layers
        assert abs((layer.start.p50 - near.start.p50).days) <= 7
        assert (layer.start.p90 - layer.start.p10) > (near.start.p90 - near.start.p10)
        assert layer.date_source == "packet: April – May, for United Kingdom"
        assert parse_yard(dump_yard(here), name="x") == here

    def test_it_stays_while_it_is_planted(self):
        kind = made()
        here = yard([(kind.id, "2026-11-15")], own_cultivars=(kind,))
        with pytest.raises(EditRefusedError, match=here.pots[0].name):
            remove_kind(here, kind.id)
        assert remove_kind(yard([], own_cultivars=(kind,)), kind.id).own_cultivars == ()

    def test_a_shared_kind_is_copied_into_the_yard_that_uses_it(self):
        kind, other = made(), made(PacketEntry("Tulipa", "Triumph", "Other"))
        here = yard([(kind.id, "2026-11-15")])
        there = with_kinds_used(here, (kind, other))
        assert there.own_cultivars == (kind,)
        assert with_kinds_used(there, (kind, other)) is there


def _fields(entry):
    return {name: getattr(entry, name) for name in entry.__slots__}


@st.composite
def entries(draw):
    genus, group = draw(st.sampled_from(CLASSES))
    words = st.text(
        st.characters(categories=("L", "N", "Zs", "P", "S"), exclude_characters="\u2028\u2029"),
        min_size=1,
        max_size=30,
    ).filter(lambda text: text.strip(" '’\"“”‘`") and text.strip())
    figure = st.one_of(st.none(), st.floats(8, 80).map(lambda x: round(x, 2)))
    return PacketEntry(
        genus=genus,
        group=group,
        name=draw(words),
        colour=draw(st.sampled_from(("", "red", "white and pink"))),
        colour_hex=draw(st.sampled_from(("", "#a1B2c3"))),
        height_cm=draw(figure),
        cover_cm=draw(st.one_of(st.none(), st.floats(0, 40).map(lambda x: round(x, 3)))),
        size_cm=draw(figure),
        scent=draw(st.integers(0, 2)),
    )


class TestTable:
    @settings(
        max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
    )
    @given(st.lists(entries(), min_size=1, max_size=3))
    def test_kinds_come_back_from_a_table_as_they_were(self, tmp_path, some):
        kinds, taken = [], []
        for entry in some:
            kinds.append(made(entry, taken=taken))
            taken.append(kinds[-1].id)
        path = tmp_path / "kinds.csv"
        write_kinds(path, kinds)
        assert read_kinds(path) == tuple(kinds)

    def test_the_whole_catalogue_comes_back(self, tmp_path):
        path = tmp_path / "all.csv"
        write_kinds(path, catalogue())
        read = {kind.id: dict(kind) for kind in read_kinds(path)}
        for kind in catalogue():
            assert {**read[kind.id], "packet": None} == {**dict(kind), "packet": None}

    @given(st.lists(st.floats(0.1, 10_000), min_size=2, max_size=2))
    @settings(deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
    def test_a_mixture_has_a_row_and_brings_its_own_kinds(self, tmp_path, shares):
        path = tmp_path / "k.csv"
        parts = [
            MixPart(kind=plain(kind), share=float(f"{share:g}"))
            for kind, share in zip((made(), catalogue().get("tulipa-shirley")), shares, strict=True)
        ]
        both = mixture_of("own-m", "Tulipa (Both, mixed)", parts)
        write_kinds(path, [both])
        single, mixed = read_kinds(path)
        assert single.id == made().id and mixed == both
        # As a catalogue of one's own, too.
        assert load_catalogue(path).get("own-m").shares == both.shares

    @pytest.mark.parametrize(
        ("parts", "told"),
        [
            ("tulipa-shirley", "“tulipa-shirley” is not like tulipa-shirley = 60"),
            ("tulipa-shirley = 0", "is not like"),
            ("tulipa-shirley = 3; tulipa-nobody = 2", "no cultivar called “tulipa-nobody”"),
            ("own-m = 3", "no cultivar called “own-m”"),
        ],
    )
    def test_a_bad_mixture_names_its_row(self, tmp_path, parts, told):
        path = tmp_path / "k.csv"
        path.write_text(f"id,name,parts\nown-m,Tulipa (Both),{parts}\n")
        with pytest.raises(BloomlineError, match=rf"row 2 \(own-m\): parts: .*{told}"):
            read_kinds(path)

    def test_an_id_of_a_mixture_stands_once(self, tmp_path):
        path = tmp_path / "k.csv"
        row = "own-m,Tulipa (Both),tulipa-shirley = 3\n"
        path.write_text(f"id,name,parts\n{row}{row}")
        with pytest.raises(BloomlineError, match="row 3: id: “own-m” stands twice"):
            read_kinds(path)

    def test_a_bad_table_names_the_cell(self, tmp_path):
        path = tmp_path / "kinds.csv"
        write_kinds(path, [made()])
        path.write_text(path.read_text().replace("#F2EDDC", "x").replace(",12,", ",1200,", 1))
        with pytest.raises(BloomlineError, match="row 2"):
            read_kinds(path)

    def test_shared_kinds_are_kept_and_forgotten(self, tmp_path):
        path = tmp_path / "data" / "own-kinds.csv"
        assert load_shared(path) == ((), "")
        keep_shared([made()], path=path)
        keep_shared([made(PacketEntry("Tulipa", "Triumph", "Other"))], path=path)
        kinds, problem = load_shared(path)
        assert [each.name for each in kinds] == ["Tulipa 'Evening Tale'", "Tulipa 'Other'"]
        assert not problem
        assert forget_shared(kinds[0].id, path=path) and not forget_shared("own-x", path=path)
        assert [each.id for each in load_shared(path)[0]] == [kinds[1].id]

    def test_a_bad_shared_file_is_told_and_left(self, tmp_path):
        path = tmp_path / "own-kinds.csv"
        path.write_text("id,nonsense\nx,y\n")
        kinds, problem = load_shared(path)
        assert kinds == () and "nonsense" in problem
        with pytest.raises(BloomlineError):
            keep_shared([made()], path=path)
        assert path.read_text() == "id,nonsense\nx,y\n"
