"""Trials of nights: how many a question takes, which nights count, and when there is a verdict."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest
from test_drift import FIRST, nights

from logbook.errors import BadInputError
from logbook.heat.experiments import ALIKE, USUAL_NIGHT_SD_K, nights_each_way, trial
from logbook.records import Entry

WIDTH = 3.29  # a spread of 1 K: misses are then in K


def noted(days: list[int], *, hours: float = -2.0, words: str = "Curtain drawn") -> list[Entry]:
    return [Entry(at=FIRST + timedelta(days=d, hours=hours), note=words) for d in days]


def test_how_many_nights_is_the_textbook_s():
    """16 per arm for a difference of one standard deviation at 80 % power, 5 % two-sided: the usual rule of
    thumb (Lehr 1992, from memory; exactly 15.7). Nights of a stay being alike adds its share."""
    assert nights_each_way(night_sd_k=1.0, seek_k=1.0) == np.ceil(15.7 * (1.0 + ALIKE))
    assert nights_each_way(night_sd_k=2.0, seek_k=1.0) == pytest.approx(4 * 20.4, abs=1.0)
    assert nights_each_way(night_sd_k=0.1, seek_k=3.0) == 2


def test_nights_are_told_apart_by_a_word_of_that_evening():
    record = nights([1.0, 0.0, 1.0, 0.0], width_k=WIDTH)
    said = trial("CURTAIN", nights=record, entries=noted([0, 2]))
    assert (said.nights_with, said.nights_without) == (2, 2)
    assert said.difference_k is not None
    assert said.difference_k.p50 == pytest.approx(1.0)
    # Noted at noon of the next day, it belongs to no night before it.
    assert trial("curtain", nights=record, entries=noted([0], hours=14.0)).nights_with == 0
    assert trial("curtain", nights=record, entries=noted([0], words="mouse")).nights_with == 0


def test_few_nights_can_t_tell_and_say_how_many_more():
    said = trial("curtain", nights=nights([1.0, 0.0], width_k=WIDTH), entries=noted([0]))
    assert said.verdict == "can't tell yet"
    assert said.sd_is_assumed
    assert said.night_sd_k == USUAL_NIGHT_SD_K
    assert said.more_nights == 2 * said.nights_each_way - 2


def test_none_of_a_kind_is_no_verdict():
    said = trial("curtain", nights=nights([1.0, 0.0]), entries=[])
    assert (said.verdict, said.difference_k) == ("no nights yet", None)


def test_no_difference_is_called_one_at_most_once_in_twenty():
    rng = np.random.default_rng(9)
    called = 0
    for _ in range(300):
        record = nights([float(x) for x in rng.standard_normal(20)], width_k=WIDTH)
        said = trial("curtain", nights=record, entries=noted(list(range(0, 20, 2))))
        called += said.verdict in ("warmer with it", "colder with it")
    assert 0 < called <= 15  # 1 in 20; independent nights keep it well below


def test_a_real_difference_is_found_with_the_nights_said():
    rng = np.random.default_rng(10)
    each = nights_each_way(night_sd_k=1.0, seek_k=1.0)
    hits = 0
    for _ in range(100):
        misses = [
            float(x) + (1.0 if i % 2 == 0 else 0.0) for i, x in enumerate(rng.standard_normal(2 * each))
        ]
        record = nights(misses, width_k=WIDTH)
        said = trial("curtain", nights=record, entries=noted(list(range(0, 2 * each, 2))))
        hits += said.verdict == "warmer with it"
    assert hits >= 72  # four times in five


def test_the_same_either_way_is_said_once_it_is_narrow():
    rng = np.random.default_rng(12)
    record = nights([float(x) for x in rng.normal(0.0, 0.3, size=40)], width_k=WIDTH)
    said = trial("curtain", nights=record, entries=noted(list(range(0, 40, 2))))
    assert said.verdict in ("no difference seen", "warmer with it", "colder with it")
    assert said.more_nights == 0
    assert not said.sd_is_assumed


def test_since_leaves_older_nights_out():
    record = nights([1.0, 0.0, 1.0, 0.0])
    said = trial("curtain", nights=record, entries=noted([0, 2]), since=FIRST + timedelta(days=1))
    assert (said.nights_with, said.nights_without) == (1, 2)


@pytest.mark.parametrize(
    ("word", "seek"), [(" ", 1.0), ("curtain", 0.0), ("curtain", -1.0), ("x", float("nan"))]
)
def test_a_question_that_is_none_is_refused(word, seek):
    with pytest.raises(BadInputError):
        trial(word, nights=[], entries=[], seek_k=seek)
