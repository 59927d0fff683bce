"""Lists in the app: keys on the pure session, the store and the words read after them."""

from __future__ import annotations

import random
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from fake_desk import FakeDesk
from fake_year import LISTS
from test_own_pages import Keys as FakeKeys

from logbook.actions.desk import AppDesk
from logbook.actions.lists import add_line, list_now
from logbook.actions.opening import place_of
from logbook.errors import LogbookError
from logbook.matters import Bring, Seen, Sight, Tick
from logbook.records import Entry, Mark, NewEvent
from logbook.results.lists import ListName
from logbook.ui.cells import text_of
from logbook.ui.plain_talk import PlainTalk
from logbook.ui.session import Session

START = datetime(2026, 1, 16, 15, 10, tzinfo=UTC)


class Owner:
    """An owner at the app on a log of their own: keys with a wait between them, slow answers at once."""

    def __init__(self, path: Path, *, at: datetime) -> None:
        self.desk = AppDesk(place_of(str(path)), at=at)
        self.session = Session(self.desk)
        if self.session.page == "first":
            self.session.press("escape", None, 0.0)
            self.session.answer = None
        self.clock, self.count = 10.0, 0
        self.work()

    def press(self, *keys: str) -> Owner:
        for key in keys:
            self.clock += 2.0
            self.count += 1
            self.desk.at = (self.desk.at or START) + timedelta(minutes=1)
            self.session.press(key, key if len(key) == 1 else " " if key == "space" else None, self.clock)
            self.work()
        return self

    def type(self, text: str) -> Owner:
        for sign in text:
            self.clock += 0.2
            self.count += 1
            named = {"\r": "enter", " ": "space"}.get(sign, sign)
            self.session.press(named, None if sign == "\r" else sign, self.clock)
        self.work()
        return self

    def work(self) -> None:
        """What is slow and needs no model; the night is not what is tried here."""
        for _ in range(3):
            for name, job in self.session.take_jobs():
                if name in ("list", "year", "ticked"):
                    self.session.arrived(name, job(lambda said: None))

    @property
    def screen(self) -> list[str]:
        return [text_of(row).rstrip() for row in self.session.rows()]

    @property
    def ticks(self) -> list[tuple[str, bool]]:
        entries = self.desk._log().entries()
        return [(e.matter.line, e.matter.done) for e in entries if isinstance(e.matter, Tick)]


def keep(path: Path, *entries: Entry) -> None:
    with place_of(str(path)).open(create=True) as log:
        log.add([NewEvent(entry=entry, zone="UTC") for entry in entries])


@pytest.fixture
def cabin(tmp_path: Path) -> Path:
    """A stay since yesterday, so that g is the leaving list."""
    path = tmp_path / "cabin.db"
    keep(
        path,
        Entry(at=START, mark=Mark.ARRIVED, indoor_c=3.0, outdoor_c=-4.0),
        Entry(at=START + timedelta(hours=6), load_kg=4.0, pieces="3 M"),
        Entry(at=START + timedelta(hours=20), indoor_c=18.0, outdoor_c=-6.0),
    )
    return path


@pytest.fixture
def owner(cabin: Path) -> Iterator[Owner]:
    sitting = Owner(cabin, at=START + timedelta(hours=21))
    yield sitting
    sitting.desk.close()


def test_a_list_of_nine_ticked_with_one_skipped_takes_ten_keys(cabin: Path) -> None:
    with place_of(str(cabin)).open() as log:
        now = START + timedelta(hours=20)
        while len(list_now(log, ListName.LEAVING, now=now).lines) < 9:
            add_line(log, ListName.LEAVING, f"own line {datetime.now(UTC).timestamp()}", now=now)
    owner = Owner(cabin, at=START + timedelta(hours=21))
    owner.press("g", *["v"] * 4, "x", *["v"] * 4)
    assert owner.count == 10
    assert len(owner.ticks) == 9 and [done for _, done in owner.ticks].count(False) == 1
    assert len({line for line, _ in owner.ticks}) == 9, "no line twice"
    assert owner.screen[6].startswith("  leave Nothing left: 9 lines, 8 done, 1 skipped.")
    owner.desk.close()


def test_v_puts_the_time_into_the_margin_and_moves_on(owner: Owner) -> None:
    owner.press("g")
    first = owner.session.known.listed.lines[0]
    owner.press("v")
    line = owner.session.known.listed.lines[0]
    assert line.name == first.name and line.margin == "12:12"
    assert any(row.startswith("  12:12 The fire is out") for row in owner.screen)
    assert any(
        row.startswith(">") and owner.session.known.listed.lines[1].text[:20] in row for row in owner.screen
    )
    assert owner.screen[3].startswith("  saved Done 12:12: fire out.")


def test_u_takes_a_tick_back_and_r_brings_it_again(owner: Owner) -> None:
    owner.press("g", "v", "u")
    assert owner.ticks == [] and owner.session.known.listed.lines[0].is_open
    assert owner.screen[3].startswith("   back Taken back")
    assert next(row for row in owner.screen if row.startswith(">")).startswith(">       The fire is out")
    owner.press("r")
    assert len(owner.ticks) == 1 and not owner.session.known.listed.lines[0].is_open


def test_what_is_ticked_already_is_not_written_twice_and_undo_stays_with_what_was(owner: Owner) -> None:
    owner.press("g", "v", "up", "v")
    assert len(owner.ticks) == 1 and "already" in owner.screen[3]
    owner.press("u")
    assert owner.ticks == []


def test_x_after_v_is_the_last_word_on_a_line(owner: Owner) -> None:
    owner.press("g", "v", "up", "x")
    assert [done for _, done in owner.ticks] == [True, False]
    assert any(row.startswith("   skip The fire is out") for row in owner.screen)


def test_a_skipped_line_stands_first_at_the_next_arrival(cabin: Path, owner: Owner) -> None:
    owner.press("g", "down", "down", "x")
    name = owner.ticks[0][0]
    back = START + timedelta(days=14)
    keep(cabin, Entry(at=START + timedelta(hours=23), mark=Mark.LEFT), Entry(at=back, mark=Mark.ARRIVED))
    later = Owner(cabin, at=back + timedelta(minutes=10))
    later.press("g")
    assert later.session.known.listed.name == "arriving"
    assert later.session.known.listed.lines[0].name == name
    assert any("skipped on Sat 17 Jan" in row for row in later.screen)
    later.desk.close()


def test_enter_adds_words_before_the_line_chosen_and_says_where_they_stand(owner: Owner) -> None:
    owner.press("g", "down", "down", "enter")
    assert owner.screen[2].startswith("    add")
    chosen = owner.session.known.listed.lines[2].name
    owner.type("turn the sign\r")
    names = [line.name for line in owner.session.known.listed.lines]
    assert names[2:4] == ["turn the sign", chosen]
    assert owner.screen[3].startswith("  saved Line 3: turn the sign.")
    owner.press("v")
    assert owner.ticks == [("turn the sign", True)], "the new line is the one chosen"
    owner.press("u", "u")
    assert "turn the sign" not in [line.name for line in owner.session.known.listed.lines]


def test_words_that_stand_there_already_are_refused_and_stay_in_the_line(owner: Owner) -> None:
    owner.press("g", "enter").type("turn the sign\r")
    owner.press("enter").type("turn the sign\r")
    assert owner.screen[3].startswith("   stop") and owner.session.line.text == "turn the sign"


def test_esc_puts_the_words_aside_and_keeps_nothing(owner: Owner) -> None:
    owner.press("g", "enter").type("turn the sign").press("escape")
    assert owner.session.page == "list" and not owner.session.line.is_open
    assert owner.desk._log().setting("list leaving") is None


def test_space_writes_a_line_of_the_log_on_a_list_too(owner: Owner) -> None:
    owner.press("g").type(" note mouse\r")
    assert owner.session.page == "list"
    assert owner.desk._log().latest(1)[0].entry.note == "mouse"
    assert owner.desk._log().setting("list leaving") is None


def test_the_alarm_line_of_the_arriving_list_is_the_test_itself(tmp_path: Path) -> None:
    path = tmp_path / "new.db"
    keep(path, Entry(at=START, mark=Mark.ARRIVED, indoor_c=12.0))
    owner = Owner(path, at=START + timedelta(minutes=5))
    owner.press("g")
    assert owner.session.known.listed.name == "arriving"
    assert "Alarms not tested" in owner.screen[4]
    at = next(n for n, line in enumerate(owner.session.known.listed.lines) if "alarms" in line.text)
    owner.press(*["down"] * at, "v")
    assert owner.desk._log().latest(1)[0].entry.alarms_tested
    assert "Alarms not tested" not in "\n".join(owner.screen[3:6])
    owner.desk.close()


def test_droppings_typed_while_the_list_stands_change_it(tmp_path: Path) -> None:
    path = tmp_path / "new.db"
    keep(path, Entry(at=START, mark=Mark.ARRIVED, indoor_c=12.0))
    owner = Owner(path, at=START + timedelta(minutes=5))
    owner.press("g")
    before = [line.name for line in owner.session.known.listed.lines]
    owner.type(" droppings\r")
    after = [line.name for line in owner.session.known.listed.lines]
    assert any(e.matter == Seen(sight=Sight.DROPPINGS) for e in owner.desk._log().entries())
    assert after != before and any("Droppings seen" in row for row in owner.screen)
    owner.desk.close()


def test_what_is_to_bring_is_got_when_packing_ticks_it(tmp_path: Path) -> None:
    path = tmp_path / "new.db"
    keep(path, Entry(at=START, mark=Mark.ARRIVED), Entry(at=START + timedelta(hours=1), mark=Mark.LEFT))
    keep(path, Entry(at=START + timedelta(hours=2), matter=Bring(item="mouse traps")))
    owner = Owner(path, at=START + timedelta(days=5))
    owner.type(" packing\r")
    at = next(n for n, line in enumerate(owner.session.known.listed.lines) if line.name == "mouse traps")
    owner.press(*["up"] * 20, *["down"] * at, "v")
    assert any(e.matter == Bring(item="mouse traps", got=True) for e in owner.desk._log().entries())
    owner.press("u")
    assert not any(e.matter == Bring(item="mouse traps", got=True) for e in owner.desk._log().entries())
    owner.desk.close()


def test_a_tick_reckons_nothing_of_the_night(owner: Owner) -> None:
    owner.press("g")
    owner.session.take_jobs()
    owner.session.press("v", "v", 999.0)
    assert [name for name, _ in owner.session.take_jobs()] == ["ticked"]


def test_what_was_made_of_the_log_serves_until_the_log_changes(owner: Owner) -> None:
    owner.press("g")
    made = owner.desk._made
    owner.press("y", "escape", "g")
    assert owner.desk._made is made
    owner.press("v").type(" due\r")
    owner.press("g")
    owner.session.reckon()
    owner.work()
    assert owner.desk._made is not made, "a tick was written"


# On the fake desk: moving about and words


def test_the_chosen_line_stays_chosen_when_the_list_comes_anew() -> None:
    keys = FakeKeys().press("g", "down", "down", "down")
    keys.desk.kept.append("add leaving: water drained, both taps left open|turn the sign")
    keys.session.reckon()
    keys.finish()
    chosen = next(row for row in keys.screen() if row.startswith(">"))
    assert "fire is out" in chosen


@pytest.mark.parametrize(
    ("word", "name"),
    [("packing", "packing"), ("coming", "arriving"), ("arriving", "arriving"), ("leaving", "leaving"),
     ("leave", "leaving"), ("going", "leaving"), ("spring", "spring"), ("autumn", "autumn"),
     ("list", "leaving")],
)  # fmt: skip
def test_every_word_opens_its_list(word: str, name: str) -> None:
    keys = FakeKeys().type(f" {word}\r")
    assert keys.session.page == "list" and keys.session.known.listed.name == name


def test_esc_goes_back_to_the_page_the_list_lies_over() -> None:
    keys = FakeKeys().press("c", "g", "v", "escape")
    assert keys.session.page == "cabin"
    keys.press("t", "g", "h", "escape")
    assert keys.session.page == "list", "help closes to the list"
    keys.press("escape")
    assert keys.session.page == "tonight"


def test_arrows_turn_the_page_from_the_one_beneath() -> None:
    keys = FakeKeys().press("n", "g")
    assert "← Tonight" in keys.screen()[-1] and "Cabin →" in keys.screen()[-1]
    assert keys.press("right").session.page == "cabin"


def test_a_held_v_ticks_one_line() -> None:
    keys = FakeKeys().press("g", "v")
    keys.press(*["v"] * 30, wait=0.03)
    assert len(keys.desk.kept) == 1


def test_a_word_beginning_with_v_takes_its_tick_back() -> None:
    keys = FakeKeys().press("g", "v").press("e", wait=0.1)
    assert keys.desk.kept == [] and keys.session.line.text == "ve"


def test_an_empty_list_says_so_and_nothing_can_be_ticked() -> None:
    keys = FakeKeys().type(" autumn\r").press("v", "x")
    assert "No line stands in this list now" in keys.text and keys.desk.kept == []


def test_v_below_the_lines_ticks_none() -> None:
    keys = FakeKeys().press("g", *["down"] * 40, "v")
    assert keys.desk.kept == [] and "Choose a line" in keys.text


def test_a_click_chooses_a_line_and_a_second_adds_before_it() -> None:
    keys = FakeKeys().press("g")
    row = next(r for r in keys.session.rows() if "mouse traps set" in text_of(r))
    act = next(span.act for span in row if span.act)
    keys.session.do(act)
    assert any(r.startswith(">       mouse traps set") for r in keys.screen())


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 40), (200, 60), (61, 21)])
@pytest.mark.parametrize(
    "presses", [("g",), ("g", "v", "x"), ("g", *["down"] * 12), ("y", "down"), ("y", "down", "enter")]
)
def test_every_page_is_exactly_its_size_and_cuts_no_line(
    size: tuple[int, int], presses: tuple[str, ...]
) -> None:
    keys = FakeKeys(width=size[0], height=size[1]).press(*presses)
    rows = keys.session.rows()
    assert len(rows) == size[1] and {len(text_of(row)) for row in rows} == {size[0]}
    assert sum(row.startswith(">") for row in keys.screen()) <= 1


def test_every_line_of_a_list_can_be_reached_on_the_smallest_screen() -> None:
    keys = FakeKeys(width=60, height=20).press("g")
    seen = set()
    for _ in LISTS["leaving"]:
        seen |= {line for line in LISTS["leaving"] if f">       {line[:30]}" in keys.text}
        keys.press("down")
    assert seen == set(LISTS["leaving"])


# Line by line


class Sitting:
    """What was said, to what was typed."""

    def __init__(self, desk: object = None) -> None:
        self.desk = desk or FakeDesk()
        self.heard: list[str] = []
        self.talk = PlainTalk(self.desk, say=self.heard.append)  # type: ignore[arg-type]  # a fake or the real

    def says(self, *typed: str) -> list[str]:
        start = len(self.heard)
        for text in typed:
            self.talk.hear(text)
        return self.heard[start:]


def test_line_by_line_a_list_is_read_with_numbers_and_ticked_by_them() -> None:
    sitting = Sitting()
    said = sitting.says("list")
    assert said[0].startswith("leaving: 9 lines") and "2: water drained, both taps left open" in said
    said = sitting.says("done 2")
    assert said[0] == "saved: Done 21:40: water drained, both taps left open."
    assert said[-1].startswith("next: 1: last wood")
    assert sitting.says("skip 5")[0].startswith("saved: Skipped 21:40: mouse traps set")
    assert sitting.desk.kept == [
        "done leaving: water drained, both taps left open",
        "skip leaving: mouse traps set",
    ]
    assert "5, skipped: mouse traps set" in sitting.says("list")


def test_line_by_line_undo_opens_the_line_again() -> None:
    sitting = Sitting()
    sitting.says("packing", "done 1", "undo")
    assert sitting.says("done 2")[-1].startswith("next: 1:")


def test_line_by_line_a_number_that_is_not_there_is_told_and_a_line_can_be_added() -> None:
    sitting = Sitting()
    assert sitting.says("done 12") == ["stop: leaving has 9 lines; list reads them."]
    assert sitting.says("add line Turn the sign")[0] == "saved: In: Turn the sign"
    assert sitting.desk.kept == ["add leaving: |Turn the sign"]


def test_line_by_line_on_the_real_log(owner: Owner) -> None:
    sitting = Sitting(owner.desk)
    sitting.says("arriving")
    assert sitting.says("done 1")[0].startswith("saved: Done ")
    assert len(owner.ticks) == 1


def test_random_keys_on_lists_and_the_year_of_a_real_log(owner: Owner) -> None:
    """No crash, every screen whole; whatever was ticked can be taken back to the empty log's lines."""
    dice = random.Random(11)
    keys = (
        *"gyvxurvxgkcnht1 ",
        "down",
        "down",
        "up",
        "enter",
        "escape",
        "pageup",
        "pagedown",
        "left",
        "right",
    )
    for n in range(1000):
        key = dice.choice(keys)
        owner.clock += dice.choice((0.05, 1.0, 1.0))
        character = key if len(key) == 1 else None
        owner.session.press(key, character, owner.clock)
        if n % 5 == 0:
            owner.work()
        if n % 50 == 0:
            owner.session.width, owner.session.height = dice.randrange(60, 130), dice.randrange(20, 45)
        rows = owner.session.rows()
        assert len(rows) == owner.session.height
    assert len(owner.ticks) > 5, "it did tick"
    for _ in range(2000):
        try:
            owner.desk.undo()
        except LogbookError:
            break
    assert owner.desk._log().entries() == (), "the stay was written on this computer too"


@pytest.mark.parametrize("name", list(ListName))
def test_the_list_after_a_tick_is_the_one_the_log_gives(cabin: Path, name: ListName) -> None:
    """It is made of what was there and the tick; whoever reads the log anew finds the same."""
    keep(cabin, Entry(at=START + timedelta(hours=1), indoor_c=2.0), Entry(at=START + timedelta(hours=19)))
    desk = AppDesk(place_of(str(cabin)), at=START + timedelta(hours=21))
    listed = desk.listing(name, lambda _: None)
    for line in listed.lines:
        listed = desk.tick(listed, line.name, done=True).listed
        again = desk.listing(name, lambda _: None)
        assert (listed.lines, listed.above) == (again.lines, again.above)
    desk.close()


def test_the_alarm_line_settles_the_head_row_at_once(tmp_path: Path) -> None:
    path = tmp_path / "new.db"
    keep(path, Entry(at=START, mark=Mark.ARRIVED, indoor_c=12.0))
    owner = Owner(path, at=START + timedelta(minutes=5))
    owner.press("g")
    lines = owner.session.known.listed.lines
    owner.press(*["down"] * next(n for n, line in enumerate(lines) if "alarms" in line.text))
    owner.session.press("v", "v", 999.0)  # nothing slow has come yet
    assert "Alarms not tested" not in "\n".join(owner.screen[3:6])
    owner.desk.close()


def test_a_letter_after_a_tick_that_wrote_nothing_takes_nothing_back(owner: Owner) -> None:
    owner.press("g", "v", "up", "v")
    owner.session.press("e", "e", owner.clock + 0.1)
    assert len(owner.ticks) == 1
