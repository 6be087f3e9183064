from __future__ import annotations

from datetime import date

from pytestqt.qtbot import QtBot

from bloomline.ui.season.player import SEASON_S, Player

FIRST, LAST = date(2027, 1, 1), date(2027, 5, 1)


def playing(speed: float = 1.0, *, start: date = FIRST) -> tuple[Player, list[date]]:
    player, days = Player(), []
    player.day_asked.connect(days.append)
    player.speed = speed
    player.play(FIRST, LAST, start=start)
    player._timer.stop()  # the test turns the clock itself
    player._timer.start(1_000_000)
    return player, days


def test_the_whole_season_takes_its_time_and_then_stops(qtbot: QtBot) -> None:
    player, days = playing()
    player.advance(SEASON_S / 2)
    assert days[0] == FIRST
    assert days[-1] == date(2027, 3, 2)
    assert player.is_playing
    player.advance(SEASON_S / 2)
    assert days[-1] == LAST
    assert not player.is_playing


def test_double_speed_takes_half_as_long(qtbot: QtBot) -> None:
    player, days = playing(2.0)
    player.advance(SEASON_S / 2)
    assert days[-1] == LAST
    assert not player.is_playing


def test_it_goes_on_from_the_day_looked_at_and_anew_from_the_end(qtbot: QtBot) -> None:
    _, days = playing(start=date(2027, 3, 2))
    assert days == [date(2027, 3, 2)]
    _, days = playing(start=LAST)
    assert days == [FIRST]


def test_stopping_twice_tells_once(qtbot: QtBot) -> None:
    player, _ = playing()
    told: list[bool] = []
    player.playing_changed.connect(told.append)
    player.stop()
    player.stop()
    assert told == [False]


def test_the_clock_drives_it(qtbot: QtBot) -> None:
    player = Player()
    player.speed = 200.0
    days: list[date] = []
    player.day_asked.connect(days.append)
    with qtbot.waitSignal(player.playing_changed, check_params_cb=lambda on: not on, timeout=5000):
        player.play(FIRST, LAST, start=FIRST)
    assert days[-1] == LAST
