"""The player of the folding: what it shows follows from the clock alone."""

import pytest

from folder.window.fold.film.player import REST_S, Player, one_step, played, stepped

SECONDS = (1.0, 2.0, 0.5)


def test_it_begins_with_the_first_pass_and_goes_on_with_the_clock():
    player = played(Player(), 3)
    assert Player(0, 0.0, 2) == player
    begun = player.at(10.0, SECONDS)
    assert (0, 0.0, 10.0) == (begun.step, begun.share, begun.since_s)
    assert 0.4 == pytest.approx(begun.at(10.4, SECONDS).share)


@pytest.mark.parametrize("every_s", [0.01, 0.033, 0.3, 5.0])
def test_where_it_stands_does_not_depend_on_how_often_it_is_asked(every_s):
    player, now = played(Player(), 3).at(0.0, SECONDS), 0.0
    while now + every_s < 1.0 + REST_S + 1.0:
        now += every_s
        player = player.at(now, SECONDS)
    player = player.at(1.0 + REST_S + 1.0, SECONDS)
    assert (1, True) == (player.step, player.runs)
    assert 0.5 == pytest.approx(player.share)
    end = player.at(1000.0, SECONDS)
    assert Player(2) == end


def test_a_rest_stands_between_two_steps():
    player = played(Player(), 3).at(0.0, SECONDS)
    resting = player.at(1.0 + REST_S / 2, SECONDS)
    assert (0, 1.0, True) == (resting.step, resting.share, resting.runs)
    assert 1 == resting.at(1.0 + REST_S + 0.1, SECONDS).step


def test_pressed_again_it_pauses_and_then_goes_on_from_there():
    player = played(Player(), 3).at(0.0, SECONDS).at(0.25, SECONDS)
    paused = played(player, 3)
    assert (0, 0.25, False) == (paused.step, paused.share, paused.runs)
    assert paused == paused.at(99.0, SECONDS)
    assert (0, 0.25, 2) == (played(paused, 3).step, played(paused, 3).share, played(paused, 3).last)


def test_at_the_end_it_begins_again_and_after_a_step_with_the_next():
    assert Player(0, 0.0, 2) == played(Player(2), 3)
    assert Player(2, 0.0, 2) == played(Player(1), 3)


def test_one_step_is_played_alone():
    assert Player(1) == one_step(1).at(0.0, SECONDS).at(2.5, SECONDS)


def test_steps_on_and_back_pass_over_into_the_whole_hull():
    assert one_step(0) == stepped(Player(), 1, 3)
    assert one_step(2) == stepped(Player(1), 1, 3)
    assert Player() == stepped(Player(2), 1, 3)
    assert Player(2) == stepped(Player(), -1, 3)
    assert Player() == stepped(Player(0), -1, 3)


def test_without_steps_it_shows_the_hull():
    assert Player() == played(Player(1), 0) == stepped(Player(1), 1, 0) == Player(5, 0.0, 5).at(1.0, SECONDS)
