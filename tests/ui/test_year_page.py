"""The Year page: what the log tells of the year, opened and marked by keys; the store read after them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from test_lists_in_app import START, Owner, Sitting, keep
from test_own_pages import Keys as FakeKeys

from logbook.actions.damp import Asked, damp
from logbook.actions.standing_upkeep import of_upkeep, overdue
from logbook.actions.weather import weather
from logbook.actions.year_page import STATES, year_page
from logbook.care.upkeep_tasks import TASKS, Task
from logbook.house import House
from logbook.matters import Ash, AshAct, Bring, DayWeather, Seen, Sight, Sky, Stack, StaySaid, Upkeep
from logbook.records import Entry, Mark
from logbook.results.app import Standing
from logbook.results.upkeep import DueState
from logbook.results.year import PARTS, YearPage, YearPart, YearRow
from logbook.setting import Setting
from logbook.ui.cells import text_of
from logbook.ui.pages.year import row_count, shown_rows
from logbook.wording.damp import damp_text
from logbook.wording.weather import weather_text


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A year with a swept flue, ash, wood, a list and two stays."""
    file = tmp_path / "cabin.db"
    keep(
        file,
        Entry(at=START - timedelta(days=500), matter=Upkeep(task="flue", deposit_mm=2.0)),
        Entry(at=START - timedelta(days=364), mark=Mark.ARRIVED, indoor_c=4.0),
        Entry(at=START - timedelta(days=364), matter=StaySaid(people=("K", "J"),
              guest_book="Snow to the sills.")),
        Entry(at=START - timedelta(days=363), indoor_c=6.0, outdoor_c=-9.0, load_kg=8.0, pieces="5 M"),
        Entry(at=START - timedelta(days=362), mark=Mark.LEFT),
        Entry(at=START - timedelta(days=200), matter=Stack(name="birch", volume_m3=0.9, as_said="0.9 stere",
              species="birch", split_on=date(2024, 5, 1))),
        Entry(at=START - timedelta(days=3), matter=Bring(item="mouse traps", amount=2)),
        Entry(at=START, mark=Mark.ARRIVED, indoor_c=3.0, outdoor_c=-4.0),
        Entry(at=START + timedelta(minutes=5), matter=Ash(act=AshAct.TAKEN_OUT, where="by the gate")),
        Entry(at=START + timedelta(minutes=10), indoor_c=3.0, alarms_tested=True),
        Entry(at=START + timedelta(hours=1), load_kg=6.0, pieces="4 M"),
    )  # fmt: skip
    return file


@pytest.fixture
def owner(path: Path) -> Iterator[Owner]:
    sitting = Owner(path, at=START + timedelta(hours=3))
    yield sitting
    sitting.desk.close()


def page_of(owner: Owner) -> YearPage:
    found = owner.session.known.year
    assert found is not None
    return found


def test_y_shows_every_part_in_its_order_with_its_margin_word(owner: Owner) -> None:
    owner.press("y")
    words = [row[:7].strip() for row in owner.screen[6:] if row[:7].strip()]
    assert words == ["ash", "due", "wood", "bring", "damp", "weather", "season"]
    text = " ".join(row[8:] for row in owner.screen)
    assert "not tipped before Tue 20 Jan 15:15" in text and "It stands: by the gate." in text
    assert "flue                due since 3 Sep 2025; last 3 Sep 2024" in text
    assert "first fire" in text


def test_the_first_task_is_marked_in_four_keys_by_the_same_line_as_typed(owner: Owner) -> None:
    owner.press("y")
    at = next(n for n, row in enumerate(page_of(owner).rows) if row.name == "flue")
    owner.press(*["down"] * (at + 1), "v")
    newest = owner.desk._log().latest(1)[0]
    assert newest.entry.matter == Upkeep(task="flue") and newest.line == "did flue"
    assert owner.count == 2 + at + 1 and at == 1, "y, down past the ash to the flue, v"
    flue = next(row for row in page_of(owner).rows if row.name == "flue")
    assert "due since" not in flue.texts[0], "the page was made anew"
    owner.press("u")
    flue = next(row for row in page_of(owner).rows if row.name == "flue")
    assert "due since 3 Sep 2025" in flue.texts[0] and owner.screen[3].startswith("   back")


def test_by_its_word_the_flue_is_marked_too(owner: Owner) -> None:
    owner.type(" due\r").press("v")
    assert owner.desk._log().latest(1)[0].line == "did flue"


def test_v_on_a_thing_of_the_list_takes_it_off(owner: Owner) -> None:
    owner.type(" bring\r")
    at = next(n for n, row in enumerate(page_of(owner).rows) if row.name.startswith("mouse traps"))
    first = next(n for n, row in enumerate(page_of(owner).rows) if row.part == "bring")
    owner.press("enter")
    blocks = page_of(owner).part("bring").blocks
    here = next(n for n, block in enumerate(blocks) if block.line == "got mouse traps")
    owner.press(*["up"] * 30, *["down"] * here, "v")
    assert at >= first
    assert owner.desk._log().latest(1)[0].entry.matter == Bring(item="mouse traps", got=True)
    assert not any(row.name.startswith("mouse traps") for row in page_of(owner).rows)


def test_no_key_says_that_ash_was_tipped(owner: Owner) -> None:
    count = len(owner.desk._log().entries())
    owner.press("y", "down", "v")
    assert len(owner.desk._log().entries()) == count and "Type it as a line" in owner.screen[3]
    owner.press("enter")
    assert any("ash tipped" in row for row in owner.screen)


def test_a_new_alarm_is_left_to_be_written_with_its_date() -> None:
    keys = FakeKeys().type(" due\r").press("down", "down", "v")
    assert keys.session.line.text == "replaced co alarm until " and keys.desk.kept == []
    keys.type("may 2034\r")
    assert keys.desk.kept == ["replaced co alarm until may 2034"]


def test_x_skips_nothing_of_the_year_and_leaves_the_turn_down_alone() -> None:
    keys = FakeKeys().press("y", "down", "x")
    assert keys.desk.kept == [] and "never gutters" in keys.text


@pytest.mark.parametrize("task", TASKS, ids=lambda task: task.name)
def test_every_task_has_a_line_that_is_read_as_that_task(task: Task, owner: Owner) -> None:
    house = House(as_of=START, setting=Setting(), description=None)
    part = year_page(house).part("due")
    assert part is not None
    block = next(b for b in part.blocks if b.texts[0].casefold().startswith(task.title.casefold()))
    heard = owner.desk.read(block.line + ("may 2033" if block.more else ""))
    assert heard.standing is Standing.READS, heard.sentence
    owner.desk.keep(heard)
    kept = owner.desk._log().latest(1)[0].entry
    if kept.alarms_tested:
        assert task.name.endswith("alarm test")
    else:
        assert isinstance(kept.matter, Upkeep) and kept.matter.task == task.name


DAMP_AND_WEATHER = (
    Entry(at=START - timedelta(days=6), matter=Seen(sight=Sight.SWEATING, place="window")),
    Entry(at=START - timedelta(days=2), outdoor_c=-10.0),
    Entry(at=START + timedelta(hours=1), matter=DayWeather(day=date(2026, 1, 17), low_c=-12.0, high_c=-4.0,
          wind="strong", sky=Sky.CLEAR)),
    Entry(at=START + timedelta(hours=2), indoor_c=18.0, rh_pct=55.0),
)  # fmt: skip


@pytest.mark.parametrize(
    ("word", "row", "printed"),
    [
        ("damp", "sweating at window (Sat 10 Jan); dew point 9 °C; air before it cools",
         lambda house: damp_text(damp(house, Asked()), setting=house.setting)),
        ("weather", "Sat −12 to −4 °C strong, clear (forecast); coldest on record −10 °C",
         lambda house: weather_text(weather(house), setting=house.setting)),
    ],
)  # fmt: skip
def test_damp_and_weather_have_a_row_and_the_whole_as_printed(
    path: Path, owner: Owner, word: str, row: str, printed: Callable[[House], tuple[str, ...]]
) -> None:
    keep(path, *DAMP_AND_WEATHER)
    count = len(owner.desk._log().entries())
    owner.type(f" {word}\r")
    chosen = next(said for said in owner.screen if said.startswith(">"))
    assert chosen[1:7].strip() == word[:6] and chosen[8:].strip() == row
    owner.press("enter")
    assert owner.session.page == "year part" and owner.session.known.year_part == word
    house = owner.desk._make().lists.house
    blocks = page_of(owner).part(word).blocks
    assert [block.texts[0] for block in blocks] == list(printed(house))
    assert blocks[0].word and len(blocks) > 3
    assert len(owner.desk._log().entries()) == count, "the word alone records nothing"


@pytest.mark.parametrize("width", [60, 80])
def test_a_table_laid_open_keeps_its_columns_where_a_row_is_too_long(width: int) -> None:
    """The one long day of the weather lost its indent and its columns: it stood crooked among the others."""
    session = FakeKeys(width=width).press("y").session
    known = session.known.year
    assert known is not None
    days = (
        "  Sat 28 Feb  −12 to −2 °C   22.5 degree-days  calm, clear, forecast",
        "  Mon 2 Mar    −6 to −2 °C   19.5 degree-days  breeze, overcast, forecast",
    )
    note = "  A forecast day's low is taken as that of the night after it, and of no other night at all."
    part = YearPart(
        name="weather", title="Weather.", blocks=tuple(
            YearRow(word="", part="weather", texts=(said,)) for said in (*days, note)
        )
    )  # fmt: skip
    session.known.year = replace(known, parts=(part,))
    session.page, session.known.year_part = "year part", "weather"
    rows = [text_of(row)[8:].rstrip() for row in session.rows()[7:]]
    assert len({row.index("°C") for row in rows if "°C" in row}) == 1
    assert all(row.startswith("  ") for row in rows[: rows.index("")])
    shown = " ".join(" ".join(rows).split())
    assert all(" ".join(said.split()) in shown for said in (*days, note)), "nothing is left out"


def test_a_line_about_the_weather_is_still_a_line(owner: Owner) -> None:
    owner.type(" weather sat -8 -2\r")
    newest = owner.desk._log().latest(1)[0].entry.matter
    assert newest == DayWeather(day=date(2026, 1, 17), low_c=-8.0, high_c=-2.0)
    assert owner.session.page == "now"


def test_a_word_whose_row_has_no_room_opens_it_whole() -> None:
    keys = FakeKeys(height=14).type(" stays\r")
    assert keys.session.page == "year part" and keys.session.known.year_part == "stays"


def test_an_empty_log_has_a_page_that_says_what_to_write() -> None:
    page = year_page(House(as_of=START, setting=Setting(), description=None))
    assert {part.name for part in page.parts} == set(PARTS) - {"ash"}
    said = "\n".join(text for row in page.rows for text in row.texts)
    assert "stack birch 0.9 stere" in said and "No stay is on record yet" in said


def test_silenced_tasks_leave_the_page_and_stand_in_the_whole(owner: Owner) -> None:
    owner.type(" never gutters\r").press("y")
    assert not any(row.name == "gutters" for row in page_of(owner).rows)
    assert any(
        "utters" in block.texts[0] and block.word == "silent" for block in page_of(owner).part("due").blocks
    )


def test_the_whole_of_due_says_who_says_so_and_how(owner: Owner) -> None:
    owner.type(" due\r").press("enter")
    assert owner.session.page == "year part"
    text = " ".join(" ".join(owner.screen).split())
    assert "NFPA 211" in text and "swept flue 2 mm" in text
    assert any(row.startswith(">   due Flue and chimney") for row in owner.screen)
    owner.press("escape")
    assert owner.session.page == "year"


def test_stays_tells_every_stay_and_its_guest_book(owner: Owner) -> None:
    owner.type(" stays\r").press("enter", *["down"] * 9)
    text = "\n".join(owner.screen)
    assert "K, J." in text and "“Snow to the sills.”" in text


def test_no_model_is_loaded_for_the_year(owner: Owner, monkeypatch: pytest.MonkeyPatch) -> None:
    def fitted(*args: object, **kwargs: object) -> None:
        raise AssertionError("the heat fit was run")

    monkeypatch.setattr("logbook.actions.reckoning.posterior_of", fitted)
    owner.press("y")
    assert page_of(owner).rows


# Safety tasks in the head rows


def head_rows(owner: Owner) -> str:
    return "\n".join(owner.screen[3:6])


def test_an_overdue_flue_stands_in_then_when_nothing_more_pressing_does(path: Path, owner: Owner) -> None:
    assert "Ash filled" in head_rows(owner), "the ash is more pressing"
    keep(path, Entry(at=START + timedelta(hours=3), matter=Ash(act=AshAct.TIPPED)))
    owner.desk.at = START + timedelta(days=5)
    owner.session.tick()
    assert owner.screen[5] == "   then Flue: due since 3 Sep 2025; last 3 Sep 2024. Page Year: y"
    owner.type(" did flue\r")
    assert "flue" not in "\n".join(owner.screen[4:6])


def test_what_was_never_written_down_presses_nobody(tmp_path: Path) -> None:
    file = tmp_path / "new.db"
    keep(file, Entry(at=START, mark=Mark.ARRIVED), Entry(at=START, alarms_tested=True))
    owner = Owner(file, at=START + timedelta(minutes=5))
    assert head_rows(owner).strip() == ""
    owner.desk.close()


@pytest.mark.parametrize(
    ("task", "days", "told"),
    [("flue", 400, True), ("flue", 40, False), ("gutters", 400, False), ("extinguisher", 40, True)],
)
def test_only_what_is_overdue_and_for_safety_presses(task: str, days: int, told: bool) -> None:
    matters = [Entry(at=START - timedelta(days=days), matter=Upkeep(task=task))]
    found = overdue(of_upkeep(matters, now=START), setting=Setting(), now=START)
    assert [item.name for item in found] == ([f"upkeep {task}"] if told else [])
    assert all(not item.first and not item.key and len(item.short) <= 71 for item in found)


def test_deposit_left_in_the_flue_presses_until_it_is_swept() -> None:
    looked = Entry(at=START - timedelta(days=9), matter=Upkeep(task="flue", deposit_mm=4.0, only_looked=True))
    swept = Entry(at=START - timedelta(days=2), matter=Upkeep(task="flue", deposit_mm=4.0))
    (item,) = overdue(of_upkeep([looked], now=START), setting=Setting(), now=START)
    assert item.short == "Flue: 4 mm of deposit found 7 Jan, not swept. Page Year: y"
    assert overdue(of_upkeep([looked, swept], now=START), setting=Setting(), now=START) == ()
    assert overdue(of_upkeep([looked], now=START - timedelta(days=10)), setting=Setting(), now=START) == ()


# Moving about, on the fake desk


def test_year_is_the_last_page_and_the_arrows_turn_there() -> None:
    keys = FakeKeys().press("c")
    assert "Year →" in keys.screen()[-1]
    keys.press("right")
    assert keys.session.page == "year" and keys.press("right").session.page == "year"


def test_nothing_is_chosen_at_first_and_up_lets_go_again() -> None:
    keys = FakeKeys().press("y")
    assert not any(row.startswith(">") for row in keys.screen())
    keys.press("down")
    assert any(row.startswith(">   ash") for row in keys.screen())
    keys.press("up")
    assert not any(row.startswith(">") for row in keys.screen())


@pytest.mark.parametrize(
    ("word", "part"),
    [("due", "due"), ("upkeep", "due"), ("wood", "wood"), ("bring", "bring"), ("supplies", "bring"),
     ("damp", "damp"), ("weather", "weather"), ("stays", "stays")],
)  # fmt: skip
def test_a_word_opens_the_page_at_its_place(word: str, part: str) -> None:
    keys = FakeKeys().type(f" {word}\r")
    chosen = next(row for row in keys.screen() if row.startswith(">"))
    assert chosen[1:7].strip() == {"stays": "season", "weather": "weathe"}.get(
        part, part
    )  # seven letters lose one to ">"


def test_a_word_is_heeded_though_the_page_comes_late() -> None:
    keys = FakeKeys()
    for sign in " wood":
        keys.at += 0.1
        keys.session.press("space" if sign == " " else sign, sign, keys.at)
    keys.session.press("enter", None, keys.at + 0.1)
    assert "Reading the year" in keys.text
    keys.finish()
    assert any(row.startswith(">  wood") for row in keys.screen())


def test_what_there_is_no_room_for_is_counted_and_opens() -> None:
    keys = FakeKeys().press("y")
    assert "not shown: 3 due" in keys.screen()[-2]
    assert "posts" not in keys.text
    keys.press("down", "down", "enter")
    assert "posts" in keys.text


def test_on_a_narrow_screen_it_is_counted_too() -> None:
    """Where the parts did not fit beside the keys nothing was said, as if all that is due stood there."""
    keys = FakeKeys(width=60).press("y")
    all_of_them = FakeKeys(width=120, height=40).press("y").session.view()
    left = row_count(all_of_them) - row_count(keys.session.view())
    assert keys.screen()[-2].strip() == f"Enter opens a row  v done  not shown: {left} more" and left > 3


def test_no_row_stands_there_before_a_more_pressing_one_of_its_part() -> None:
    """At 60 columns the extinguisher due next week stood there and the roof overdue for weeks did not."""
    session = FakeKeys(width=60).press("y").session
    known = session.known.year
    assert known is not None
    roof = YearRow(word="due", part="due", name="roof", texts=("due since 11 Jan 2026; last 11 Oct 2025",))
    first, rest = known.rows[0], [row for row in known.rows if row.part != "due"]
    due = [replace(roof, name="both alarms", texts=("test again",)), roof, replace(roof, name="extinguisher",
           texts=("by 7 Mar 2026",))]  # fmt: skip
    session.known.year = replace(known, rows=(first, *due, *rest))
    for height in range(12, 36):
        session.height = height
        names = [row.name for row in shown_rows(session.view()) if row in due]
        assert names == [row.name for row in due][: len(names)], height


def test_a_wide_screen_shows_every_row() -> None:
    keys = FakeKeys(width=120, height=40).press("y")
    assert "not shown" not in keys.text and "posts" in keys.text and "mouse traps" in keys.text


def test_a_line_written_elsewhere_makes_the_page_anew_when_it_is_looked_at() -> None:
    keys = FakeKeys().press("y", "escape").type("-9/18\r")
    assert keys.desk.slow_calls.count("year") == 1
    keys.press("y")
    assert keys.desk.slow_calls.count("year") == 2


def test_a_page_that_cannot_be_made_says_why() -> None:
    keys = FakeKeys()
    keys.session.press("y", "y", 99.0)
    keys.session.failed("year", "The log can't be read.\nOpen its copy.")
    assert "The log can't be read. Open its copy." in keys.text


def test_yesterday_is_a_word() -> None:
    keys = FakeKeys().press("y").press("e", wait=0.1)
    assert keys.session.page == "now" and keys.session.line.text == "ye"


def test_state_words_are_all_told() -> None:
    assert set(STATES) == set(DueState)


# Line by line


def test_line_by_line_the_year_and_its_parts_are_read() -> None:
    sitting = Sitting()
    said = sitting.says("year")
    assert any(s.startswith("due: flue, due since 1 Mar 2026") for s in said)
    assert any("NFPA" in s or "Every year" in s for s in sitting.says("due"))
    assert any("Dry enough to burn" in s for s in sitting.says("wood"))
    assert any("lamp oil 0.5 L" in s or "left note" in s for s in sitting.says("bring"))
    assert any("dew point 9 °C" in s for s in sitting.says("damp"))
    assert any("coldest minus 10 °C" in s for s in sitting.says("weather"))
    assert any("41 kg of wood" in s for s in sitting.says("stays"))
    assert sitting.desk.kept == []


def test_line_by_line_on_the_real_log(owner: Owner) -> None:
    said = "\n".join(Sitting(owner.desk).says("due", "wood", "bring", "damp", "weather", "stays"))
    assert "Air before it cools" in said and "No day ahead is known" in said
    assert "NFPA 211" in said and "birch" in said and "mouse traps" in said and "Snow to the sills." in said


def test_a_page_that_cannot_be_made_anew_says_of_when_it_is_and_why() -> None:
    keys = FakeKeys().press("y")
    keys.session.failed("year", "The disk failed.\nCopy the file.")
    assert keys.screen()[-2] == "  as of 21:40: The disk failed. Copy the file."
