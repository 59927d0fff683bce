"""Every safety rule on every path to a person: command, JSON, the app, line by line, paper, a line typed.

One log in which nearly everything is wrong: alarms untested and expired, damp wood, no clean floor given, air
and damper closed down on a fire, water in the pipes, frost ahead. A second one has a nest in the cap.
"""

from __future__ import annotations

import contextlib
import functools
import io
import json
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from small_cabin import DESCRIPTION, ROWS

from logbook import cautions as standing
from logbook.actions.coming_going import caution_texts
from logbook.actions.desk import AppDesk
from logbook.actions.opening import Place
from logbook.cli import main
from logbook.heat import fit
from logbook.heat.cautions import RULES
from logbook.heat.coming_going_cautions import ITEMS, Scene, Where
from logbook.heat.every_caution import TABLE
from logbook.matters import Ash, AshAct
from logbook.records import Entry, OwnUnits
from logbook.setting import Setting
from logbook.ui.pages.tonight import grounds
from logbook.ui.plain_answers import tonight_said, tried_said
from logbook.ui.view import View
from logbook.wording import line_cautions

AS_OF = "2026-01-16T21:40"
NOW = datetime(2026, 1, 16, 20, 40, tzinfo=UTC)
"""The same in UTC: the site lies an hour east."""

BAD = DESCRIPTION.replace("clean_floor_open_pct = 25\n", "").replace("moisture_pct = 18", "moisture_pct = 30")
BAD = BAD.replace("volume_m3 = 60", 'volume_m3 = 60\nwater = "in"')
BAD += "[alarms]\nsmoke_expires = 2024-05-01\nco_expires = 2024-05-01\n"
BAD_ROWS = ROWS + "2026-01-16T21:34,,,,2.8,10,,good,-12,\n"
DAMPER = "2026-01-16 21:36 damper 20%"
DANGEROUS = "load 20kg air 5%; +30min damper 10%; +3h load 2kg"

KNOWN_BY = {
    "alarms_untested": "Alarms not tested this stay",
    "alarms_tested_cold": "tested in a room colder than they are commonly rated for",
    "smoke_expired": "The smoke alarm is past the replace-by date",
    "co_expired": "The CO alarm is past the replace-by date",
    "nest_in_cap": "nest was seen in the flue cap",
    "air_stands_low": "less than the least clean air: open it to",
    "damper_stands": "The flue damper stands at",
    "fresh_load": "turn its air down only when it burns well",
    "floor_assumed": "The least clean air is assumed",
    "coals_give_co": "Coals give carbon monoxide without smoke",
    "manual_first": "manual, local codes and a licensed sweep come before",
    "damp_wood": "The wood is described as damp",
    "over_limit": "20.0 kg is over your stove's limit",
    "overfilled": "does not fit beside what is left",
    "beyond_tried": "is far more than this stove has burned",
    "below_floor": "that smoulders, soots the flue",
    "damper_on_coals": "The flue damper is closed down, to",
    "too_hot": "while people sleep",
    "cold_start": "The stove is cold: kindling first",
    "turn_down": "Set a kitchen timer",
    "in_the_night": "It means getting up in the night",
    "freezing": "Water is in the pipes and freezing is possible",
    "snowed_in": "Snow or ice may close the cap",
    "still_burning": "may still glow in the stove: that is fire",
    "room_is_not_pipes": "Pipes and drains lie colder",
    "drain_now": "uninsulated pipes freeze. Drain them before you go",
}
"""Words of each rule that no other text has, written down here anew."""

ALWAYS = ("alarms_untested", "smoke_expired", "co_expired", "air_stands_low", "damper_stands",
          "fresh_load", "floor_assumed", "coals_give_co", "manual_first", "damp_wood")  # fmt: skip
WITH_A_TRY = ("over_limit", "overfilled", "beyond_tried", "below_floor", "damper_on_coals", "in_the_night")
GOING = ("still_burning", "room_is_not_pipes", "drain_now", "air_stands_low", "damper_stands",
         "floor_assumed", "coals_give_co", "manual_first")  # fmt: skip

PATHS: dict[str, tuple[str, ...]] = {
    "tonight": (*ALWAYS, "turn_down", "freezing"),
    "tonight page": (*ALWAYS, "turn_down", "freezing"),
    "tonight line by line": (*ALWAYS, "turn_down", "freezing"),
    "try": (*ALWAYS, *WITH_A_TRY),
    "try line by line": (*ALWAYS, *WITH_A_TRY),
    "woke": (*ALWAYS, "turn_down", "freezing"),
    "leave": GOING,
    "arrive": ALWAYS,
    "arrive to a cold stove": (
        "alarms_untested",
        "coals_give_co",
        "manual_first",
        "floor_assumed",
        "snowed_in",
    ),
    "arriving cold": ("alarms_untested", "cold_start", "coals_give_co", "manual_first", "floor_assumed"),
    **{
        f"cold test {one}": ("alarms_tested_cold",)
        for one in ("tonight", "woke", "arrive", "page", "line by line")
    },
    "nest tonight": ("nest_in_cap",),
    "nest woke": ("nest_in_cap",),
    "nest arrive": ("nest_in_cap",),
    "nest leave": ("nest_in_cap",),
    "nest page": ("nest_in_cap",),
    "nest line by line": ("nest_in_cap",),
}
"""Each path and what it must carry in these two logs. A command stands for its text and its JSON."""

CELLS = [(path, name) for path, names in PATHS.items() for name in names]

HERE_BY_HAND = {"too_hot", "frost", "hot_later", "water_in"}
"""Not called for by these logs: held by the tests at the end."""


@pytest.fixture(scope="module")
def said(tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[str, tuple[str, ...]]]:
    """What each path says: one text for each of its forms."""
    with pytest.MonkeyPatch.context() as patched:
        for name in ("XDG_DATA_HOME", "XDG_CACHE_HOME"):
            patched.setenv(name, str(tmp_path_factory.mktemp(name)))
        patched.delenv("NIGHTLOAD_LOG", raising=False)
        patched.setattr(fit, "learn", functools.partial(fit.learn, draws=40, last_stays=1))
        bad, nest, cold_test = (_log(tmp_path_factory.mktemp(name)) for name in ("bad", "nest", "cold_test"))
        _run(bad, "note", DAMPER)
        _run(nest, "note", "2026-01-15 12:00 nest in cap")
        _run(cold_test, "note", "2026-01-16 16:05 alarms ok")
        low = ("--night-low", "-12")
        texts = {
            "tonight": _both(bad, "tonight", "--as-of", AS_OF, *low),
            "try": _both(bad, "tonight", "--as-of", AS_OF, *low, "--try", DANGEROUS),
            "woke": _both(bad, "woke", "--as-of", AS_OF, *low),
            "leave": _both(bad, "leave", "--as-of", AS_OF, *low),
            "arrive": _both(bad, "arrive", "--as-of", AS_OF, *low),
            "arrive to a cold stove": _both(bad, "arrive", "--as-of", "2026-01-20T20:00", *low),
            "arriving cold": _both(bad, "tonight", "--as-of", "2026-01-20T20:00", *low),
        }
        texts |= {
            f"nest {one}": _both(nest, one, "--as-of", AS_OF)
            for one in ("tonight", "woke", "arrive", "leave")
        }
        texts |= {
            f"cold test {one}": _both(cold_test, one, "--as-of", AS_OF)
            for one in ("tonight", "woke", "arrive")
        }
        yield (
            texts
            | _in_the_app(bad, "tonight")
            | _in_the_app(nest, "nest")
            | _in_the_app(cold_test, "cold test")
        )


def _log(folder: Path) -> Path:
    (folder / "cabin.toml").write_text(BAD, encoding="utf-8")
    (folder / "rows.csv").write_text(BAD_ROWS, encoding="utf-8")
    log = folder / "log.db"
    _run(log, "setup", str(folder / "cabin.toml"))
    _run(log, "import", str(folder / "rows.csv"))
    return log


def _run(log: Path, *words: str) -> str:
    out = io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(io.StringIO()):
        assert main(["--log", str(log), *words]) == 0, words
    return out.getvalue()


def _both(log: Path, *words: str) -> tuple[str, ...]:
    """A command's page and its JSON's cautions, each as one line."""
    answer = json.loads(_run(log, *words, "--json"))
    told = [*answer["cautions"], *(c for choice in answer.get("choices", ()) for c in choice["cautions"])]
    return _one_line(_run(log, *words)), _one_line(" ".join(told))


def _one_line(text: str) -> str:
    return " ".join(text.replace("! ", " ").split())


def _in_the_app(log: Path, name: str) -> dict[str, tuple[str, ...]]:
    """Tonight's page with Tab (all it rests on) for each choice, and line by line."""
    desk = AppDesk(Place(log), at=NOW)
    evening = desk.tonight(lambda _: None)
    setting = Setting(zone="Etc/GMT-1")
    rows = [
        "".join(span.text for span in row)
        for n in range(len(evening.answer.choices))
        for row in grounds(_view(desk, evening, n))
    ]
    page = _one_line(" ".join(row.removeprefix("care").strip() for row in (r.strip() for r in rows)))
    heard = _one_line(" ".join(tonight_said(evening, setting=setting)))
    told = {f"{name} page": (page,), f"{name} line by line": (heard,)}
    if name == "tonight":
        tried = desk.try_plan(DANGEROUS)
        assert tried is not None
        told["try line by line"] = (_one_line(" ".join(tried_said(tried, setting=setting))),)
    desk.close()
    return told


def _view(desk: AppDesk, evening: object, chosen: int) -> View:
    return View(
        width=120, height=40, now=NOW, zone=desk.zone(), page="tonight", head=desk.head(), units=OwnUnits(),
        evening=evening, chosen=chosen,
    )  # type: ignore[arg-type]  # fmt: skip


@pytest.mark.parametrize(("path", "name"), CELLS, ids=lambda x: x.replace(" ", "_"))
def test_the_path_carries_the_rule(said: dict[str, tuple[str, ...]], path: str, name: str) -> None:
    for text in said[path]:
        assert _spoken(KNOWN_BY[name]) in _spoken(text)


def _spoken(text: str) -> str:
    """Without what a screen reader's text leaves out or says otherwise."""
    return text.casefold().replace("carbon monoxide", "co").replace(".", "")


def test_every_rule_of_the_table_has_a_path_here() -> None:
    """A rule added without a path to a person fails here."""
    held = {name for _, name in CELLS} | HERE_BY_HAND | {one.name for one in standing.STANDING}
    assert {one.name for one in TABLE} == held
    assert set(KNOWN_BY) >= {name for _, name in CELLS}


def test_every_rule_stands_once_and_has_its_source() -> None:
    assert len({one.name for one in TABLE}) == len(TABLE) == len(RULES) + len(ITEMS) + len(standing.STANDING)
    assert all(len(one.source) > 10 for one in TABLE)


@pytest.mark.parametrize("path", ["tonight", "woke", "arrive", "nest tonight"])
def test_alarms_are_the_first_line_of_any_advice(said: dict[str, tuple[str, ...]], path: str) -> None:
    assert all(text.startswith("Alarms not tested this stay") for text in said[path])


def test_line_by_line_an_alarm_stands_before_the_advice(said: dict[str, tuple[str, ...]]) -> None:
    """Once it came after what to do."""
    assert said["tonight line by line"][0].startswith("Alarms not tested this stay")


# What these logs don't call for


@pytest.mark.parametrize(
    ("scene", "where", "words"),
    [
        (
            Scene(inside_c=1.0, outdoor_low_c=-9.0, loads=1, chance_frost=0.5),
            Where.ARRIVE_CAUTION,
            "below freezing",
        ),
        (
            Scene(inside_c=9.0, outdoor_low_c=5.0, loads=3, chance_too_hot=0.2),
            Where.ARRIVE_CAUTION,
            "never the air",
        ),
        (
            Scene(inside_c=9.0, outdoor_low_c=-2.0, water="in"),
            Where.LEAVE_CAUTION,
            "frost outside is possible",
        ),
    ],
)
def test_coming_and_going_say_it(scene: Scene, where: Where, words: str) -> None:
    assert any(words in text for text in caution_texts(scene, where, setting=Setting()))


# Paper, ash, a line typed

GUEST = (
    standing.ALARM_SOUNDS, standing.UNTIL_SAFE, standing.TEST_BOTH, standing.DROPPINGS_OR_NEST,
    standing.DAMPER_OPEN, standing.NEVER_COOL_BY_AIR, standing.COALS_ALL_NIGHT, standing.ASH_STAYS,
    standing.NOTHING_NEAR,
)  # fmt: skip


@pytest.fixture
def log(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return _log(tmp_path)


def test_the_guests_sheet_carries_all_that_stands(log: Path) -> None:
    text = _one_line(_run(log, "sheet", "guest", "--as-of", AS_OF))
    assert all(" ".join(one.sentence.split()) in text for one in GUEST)
    assert "Never below" in text and "gives carbon monoxide" in text
    assert KNOWN_BY["manual_first"] in text


def test_the_guests_sheet_tells_what_is_wrong_that_day(log: Path) -> None:
    """A guest once read nothing of a nest in the cap, nor of alarms past their date."""
    _run(log, "note", "2026-01-15 12:00 nest in cap")
    text = _one_line(_run(log, "sheet", "guest", "--as-of", AS_OF))
    assert all(KNOWN_BY[name] in text for name in ("nest_in_cap", "smoke_expired", "co_expired"))


def test_a_usual_load_over_the_limit_is_not_told_to_a_guest(log: Path) -> None:
    """Five loads of 9 kg in a stove for 8: "at most 8 kg. Usual here: 9 kg"."""
    rows = "at,load_kg\n" + "".join(f"2026-01-15T1{n}:{m}0,9.0\n" for n in range(9) for m in (0, 3))
    (log.parent / "more.csv").write_text(rows, encoding="utf-8")
    _run(log, "import", str(log.parent / "more.csv"))
    text = _one_line(_run(log, "sheet", "guest", "--as-of", AS_OF))
    assert "At most 8.0 kg" in text
    assert "Usual here" not in text


def test_the_list_for_leaving_says_coals_are_fire_on_paper(log: Path) -> None:
    assert "Coals are fire" in _one_line(_run(log, "sheet", "leaving", "--as-of", AS_OF))


@pytest.mark.parametrize("command", ["due", "leave"])
def test_ash_that_went_in_hot_is_told_with_its_bucket(log: Path, command: str) -> None:
    _run(log, "note", "2026-01-16 21:39 ash out by the shed")
    text = _one_line(_run(log, command, "--as-of", AS_OF))
    assert standing.BUCKET.sentence in text
    assert standing.ASH_WENT_IN_HOT.sentence in text


def test_ash_that_waited_is_live_all_the_same(log: Path) -> None:
    _run(log, "note", "2026-01-10 21:39 ash out by the shed")
    assert standing.ASH_AS_LIVE.sentence in _one_line(_run(log, "due", "--as-of", AS_OF))


@pytest.mark.parametrize(
    ("line", "caution"),
    [
        ("air 0 open", "is the least clean air on your lever: not lower while wood or coals glow"),
        ("damper shut", standing.DAMPER_TYPED.sentence),
        ("coals good damper 1/4", standing.DAMPER_TYPED.sentence),
        ("ash out porch in paper bag", standing.BUCKET.sentence),
    ],
)
def test_a_dangerous_act_is_kept_and_cautioned(log: Path, line: str, caution: str) -> None:
    """A damper shut on coals and ash in a paper bag once went in without a word."""
    assert caution in _one_line(_run(log, "note", f"2026-01-16 21:39 {line}", "--yes"))


def test_a_load_over_the_limit_is_cautioned_where_it_is_kept() -> None:
    setting = Setting(max_load_kg=8.0)
    (said,) = line_cautions(Entry(at=NOW, load_kg=20.0), setting)
    assert said == "20.0 kg is over your stove's limit of 8.0 kg."
    assert line_cautions(Entry(at=NOW, load_kg=8.0), setting) == ()


def test_what_is_no_danger_gets_no_caution() -> None:
    setting = Setting(max_load_kg=8.0, clean_floor_open_pct=25.0)
    quiet = (
        Entry(at=NOW, flue_damper_open_pct=100.0), Entry(at=NOW, flue_damper_open_pct=0.0, fire_out=True),
        Entry(at=NOW, air_open_pct=25.0), Entry(at=NOW, matter=Ash(act=AshAct.TIPPED)),
    )  # fmt: skip
    assert [line_cautions(e, setting) for e in quiet] == [()] * 4
