"""First evening, Cabin, description and the emergency page's own text: keys in, store and words out."""

from __future__ import annotations

import random
from datetime import timedelta
from pathlib import Path

import pytest
from fake_desk import MONKEY_KEYS, NOW, FakeDesk, fake_demo
from waiting import until

from logbook.actions.desk import AppDesk
from logbook.actions.opening import Place
from logbook.entry import read_line
from logbook.errors import LogbookError
from logbook.records import Description
from logbook.setting import setting_of
from logbook.ui.app import NightloadApp
from logbook.ui.cells import text_of
from logbook.ui.form import Form
from logbook.ui.keys import KEYS, NOT_IN_WORDS
from logbook.ui.looks import LAMPLIGHT
from logbook.ui.session import Session

ENTRIES = {"\t": "tab", "\r": "enter", "\b": "backspace"}


class Keys:
    """A session and a steady clock; what it asks for is answered after each key."""

    def __init__(self, *, width: int = 80, height: int = 24, **desk: object) -> None:
        self.desk = FakeDesk(**desk)  # type: ignore[arg-type]  # whatever a test wants of it
        self.session = Session(self.desk)
        self.session.width, self.session.height = width, height
        self.at = 0.0
        if self.session.page != "first":
            self.session.reckon()
        self.finish()

    def press(self, *keys: str, wait: float = 2.0) -> Keys:
        for key in keys:
            self.at += wait
            character = " " if key == "space" else key if len(key) == 1 else None
            self.session.press(key, character, self.at)
            self.finish()
        return self

    def type(self, text: str) -> Keys:
        for sign in text:
            named = ENTRIES.get(sign)
            self.press(*((named,) if named else ("space",) if sign == " " else (sign,)), wait=0.1)
        return self

    def finish(self) -> None:
        while jobs := self.session.take_jobs():  # an answer may ask for a further one
            for name, job in jobs:
                try:
                    self.session.arrived(name, job(lambda said: None))
                except Exception as error:  # noqa: BLE001 - as the worker does
                    self.session.failed(name, str(error))

    def screen(self) -> list[str]:
        return [text_of(row).rstrip() for row in self.session.rows()]

    @property
    def text(self) -> str:
        return "\n".join(self.screen())


def test_with_nothing_described_the_first_evening_opens_on_the_first_number() -> None:
    keys = Keys(new=True)
    assert keys.session.page == "first"
    assert keys.screen()[2].startswith(">  must My cabin has [")


def test_from_nothing_to_the_first_suggestion_by_three_numbers() -> None:
    """Everything else left as it is: 16 keys."""
    keys = Keys(new=True).type("28\t75\t8\t")
    assert "so far No fire and −10 °C out" in keys.text and "8 kg is the limit" in keys.text
    keys.press(*["tab"] * 8)
    assert keys.session.own.form.blank.name == "wake"
    keys.press("enter")
    assert {k: keys.desk.begun[k] for k in ("floor", "volume", "limit")} == {
        "floor": "28", "volume": "75", "limit": "8",
    }  # fmt: skip
    assert "lever" not in keys.desk.begun, "what nobody said must not be taken as said"
    assert keys.session.page == "tonight"
    assert keys.screen()[3].startswith("  saved Kept.")
    assert "choice" in keys.text


def test_the_answer_so_far_sharpens_with_each_blank_and_is_not_asked_twice_for_the_same() -> None:
    keys = Keys(new=True).type("28\t75\t8\t")
    assert keys.desk.slow_calls == ["so far"]
    keys.press("tab", "up")  # nothing new was said
    assert keys.desk.slow_calls == ["so far"]
    keys.press("down").type("o\t")
    assert len(keys.desk.slow_calls) >= 2


def test_a_bad_value_is_said_with_its_numbers_and_marked_and_the_last_enter_goes_back_to_it() -> None:
    keys = Keys(new=True).type("2800\t75\t8\t")
    assert "[2800  ]?" in keys.text
    keys.press("up", "up", "up")
    assert "stop 2800 is outside 2 to 500 m²." in keys.text
    assert "After the three numbers" in keys.text, "no answer from a wrong number"
    keys.press(*["tab"] * 12, "enter")
    assert keys.session.page == "first" and keys.session.own.form.blank.name == "floor"
    assert not keys.desk.begun


def test_the_room_height_is_checked_across_two_blanks() -> None:
    keys = Keys(new=True).type("28\t750\t8\t")
    keys.press("up", "up")
    assert "is a room 26.8 m high" in " ".join(keys.text.split())


def test_a_needed_number_left_empty_is_asked_for_again() -> None:
    keys = Keys(new=True).type("28\t75\t")
    keys.press(*["tab"] * 10, "enter")
    assert keys.session.own.form.blank.name == "limit"
    assert "stop This number is needed" in keys.text


def test_american_units_change_the_words_and_the_usual_band() -> None:
    keys = Keys(new=True).press("up", "right")
    assert "> °F, lb, ft²" in keys.text and "ft² of heated floor" in keys.text
    assert "[61 ] °F to [72 ] °F" in keys.text
    keys.press("down").type("300\t2400\t18\t")
    assert "so far" in keys.desk.slow_calls


def test_a_number_may_say_its_own_unit() -> None:
    keys = Keys(new=True).type("300 ft2\t75\t18 lb\t")
    assert keys.session.own.first is not None and keys.session.own.first.enough


def test_escape_puts_it_off_and_what_was_filled_in_comes_back() -> None:
    keys = Keys(new=True).type("28\t75")
    keys.press("escape")
    assert keys.session.page == "now" and keys.desk.first_kept["floor"] == "28"
    again = Session(keys.desk)
    assert again.page == "first" and again.own.form.text("volume") == "75"


def test_the_first_evening_is_opened_again_from_page_cabin() -> None:
    keys = Keys(new=True).press("escape", "c", "down", "enter")
    assert keys.session.page == "first"


def test_d_in_a_number_asks_for_the_demo_and_in_words_is_a_letter() -> None:
    keys = Keys(new=True).press("d")
    assert keys.session.wants_demo
    keys = Keys(new=True).type("28\t75\t8\t\t\t\t20 mm board")
    assert not keys.session.wants_demo
    assert keys.session.own.form.text("walls") == "20 mm board"


async def test_the_demo_opens_and_q_comes_back_to_the_blanks() -> None:
    app = NightloadApp(FakeDesk(new=True), look=LAMPLIGHT, demo=fake_demo)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("2", "8", "tab", "d")
        await until(pilot, lambda: app.session.page == "now" and app.session.known.described)
        await pilot.press("q")
        await until(pilot, lambda: app.session.page == "first")
        assert app.session.own.form.text("floor") == "28"
        assert app.is_running


@pytest.mark.parametrize("key", ["f1", "f12", "exclamation_mark"])
def test_emergency_is_one_key_from_the_first_evening_and_nothing_is_lost(key: str) -> None:
    keys = Keys(new=True).type("28")
    keys.session.press(key, "!" if key == "exclamation_mark" else None, 99.0)
    assert keys.session.page == "emergency"
    keys.press("escape")
    assert keys.session.page == "first" and keys.session.own.form.text("floor") == "28"


def test_pasting_fills_the_blank() -> None:
    keys = Keys(new=True)
    keys.session.paste("28\n")
    assert keys.session.own.form.text("floor") == "28"


def test_letters_pick_a_choice_by_their_word() -> None:
    form = Form(blanks=Keys(new=True).session.own.form.blanks)
    form.go_to("lever")
    form.press("c", "c")
    assert form.text("lever") == "how far CLOSED"
    form.press("o", "o")
    assert form.text("lever") == "how far OPEN"
    form.press("backspace", None)
    assert form.text("lever") == ""


# Cabin


def test_cabin_tells_how_it_cools_what_is_known_and_whether_works_helped() -> None:
    keys = Keys().press("c")
    screen = keys.screen()
    assert screen[6].startswith("  cools Stove cold, −7 °C out, 18 °C at 22:30: down to 10 °C by")
    assert any(row.startswith("  loses 78–96 W per °C, likely 86.") for row in screen)
    assert any(row.startswith("helped? 8 Nov 2025 skirting: can't tell yet") for row in screen)
    keys.press("down", "down")
    assert "Wood saved in a usual weekend: 4.7 kg" in keys.text


def test_what_if_is_reckoned_on_page_cabin_and_nothing_is_kept() -> None:
    keys = Keys().press("space").type("what if roof +100mm batt\r")
    assert keys.session.page == "cabin" and keys.desk.kept == []
    assert "roof +100mm batt: heat loss 10 % less" in keys.text
    keys.press("space").type("what if roof +90mm fluff\r")
    assert "'fluff' is no material known here." in keys.text


def test_a_what_if_row_opens_the_line_with_its_words() -> None:
    keys = Keys().press("c", *["down"] * 4, "enter")
    assert keys.session.line.text == "what if "


def test_a_value_of_the_description_is_changed_with_its_effect_told_first() -> None:
    keys = Keys().press("c", *["down"] * 5, "enter")
    assert keys.session.page == "describe"
    keys.press("down", "enter")
    assert keys.session.line.text == "28"
    keys.press("backspace").type("9")
    assert keys.screen()[3] == "  reads floor: 29"
    assert "does Heat loss by the description alone" in keys.text
    keys.press("enter")
    assert keys.desk.kept == ["blank ('floor', '29')"]
    keys.press("u")
    assert keys.desk.kept == []


def test_a_value_that_cannot_be_stays_in_the_line() -> None:
    keys = Keys().press("c", *["down"] * 5, "enter", "down", "enter").type("00\r")
    assert keys.session.line.text == "2800" and keys.desk.kept == []
    assert keys.screen()[3].startswith("   stop 2800 is outside 2 to 500 m².")


def test_escape_leads_from_the_description_to_cabin_and_from_cabin_to_now() -> None:
    keys = Keys().press("c", *["down"] * 5, "enter", "escape")
    assert keys.session.page == "cabin"
    assert keys.press("escape").session.page == "now"


def test_the_emergency_page_is_written_line_by_line_and_taken_back() -> None:
    keys = Keys().press("c", *["down"] * 6, "enter")
    assert keys.session.page == "own page"
    keys.press(*["down"] * 4, "enter").type("First aid: red tin!\r")
    assert keys.desk.kept[-1].endswith("no road sign.|First aid: red tin!")
    keys.press("e")
    assert "First aid: red tin!" in keys.text
    keys.press("escape", "u")
    assert "First aid" not in keys.text and keys.desk.kept == []


def test_x_takes_a_line_of_the_emergency_page_out() -> None:
    keys = Keys().press("c", *["down"] * 6, "enter", "x")
    assert keys.desk.kept[-1].startswith("page 2   Meet")


def lines(keys: Keys) -> list[str]:
    return list(keys.session.emergency.lines)


def own_page(*moves: str) -> Keys:
    return Keys().press("c", *["down"] * 6, "enter", *moves)


def test_tab_puts_a_line_in_above_the_chosen_one_and_goes_on_beneath_it() -> None:
    keys = own_page("down")
    before = lines(keys)
    keys.press("tab")
    assert keys.session.line.is_open and keys.session.line.text == ""
    keys.type("Keys hang left of the door.\r")
    assert lines(keys) == [before[0], "Keys hang left of the door.", *before[1:]]
    keys.press("tab").type("Torch too.\r")
    assert lines(keys)[1:4] == ["Keys hang left of the door.", "Torch too.", before[1]]
    keys.press("u", "u")
    assert lines(keys) == before, "each is one act, taken back one by one"


def test_a_gap_is_a_line_too_and_x_takes_it_out_again() -> None:
    keys = own_page("down")
    before = lines(keys)
    keys.press("tab", "enter")
    assert lines(keys) == [before[0], "", *before[1:]]
    keys.press("up", "x")
    assert lines(keys) == before


def test_escape_from_a_new_line_puts_nothing_in() -> None:
    keys = own_page("down")
    before = lines(keys)
    keys.press("tab").type("half").press("escape")
    assert lines(keys) == before and keys.desk.kept == []


def test_an_exclamation_mark_is_a_sign_in_a_new_line_too() -> None:
    keys = own_page("tab")
    keys.session.press("exclamation_mark", "!", 99.0)
    assert keys.session.page == "own page" and keys.session.line.text == "!"


def test_lines_are_added_at_the_end_one_after_another() -> None:
    keys = own_page(*["down"] * 4, "enter").type("One\r")
    keys.press("enter").type("Two\r")
    assert lines(keys)[-2:] == ["One", "Two"]


def test_the_word_does_what_tab_does() -> None:
    keys = own_page("down").type(" new line\r")
    assert keys.session.line.is_open and keys.session.line.changing == "line:new 1"


def test_p_prints_from_the_emergency_page_and_says_where() -> None:
    keys = Keys().press("e", "p")
    assert keys.session.page == "emergency" and "Written: logs/cabin emergency page.txt" in keys.text
    keys.press("escape")
    assert keys.session.page == "now" and "Written" not in keys.text


def test_p_on_the_emergency_page_does_not_spoil_a_half_typed_line() -> None:
    keys = Keys().type("-9").press("f1", "p", "escape")
    assert keys.session.line.text == "-9" and keys.screen()[3].startswith("  reads")


def test_last_nights_score_stands_first_in_the_morning_but_after_the_alarms() -> None:
    said = "Last night: said 15–21 °C, woke to 16.8 °C: inside."
    keys = Keys(at=NOW + timedelta(hours=9), morning=said)
    assert keys.screen()[4].startswith("  first Alarms not tested")
    keys.press("k")
    assert keys.screen()[4] == f"  first {said}"
    assert Keys(morning=said).session.known.last_night == "", "in the evening it is not told"


def test_every_act_has_a_word() -> None:
    setting = setting_of(FakeDesk().described, lever_asked=True)
    assert isinstance(FakeDesk().described, Description)
    for key in KEYS:
        if key.act is None or key.act.name in NOT_IN_WORDS or key.act.name in ("mark", "filter"):
            continue
        assert key.words or key.typed, f"{key.shown} has no word"
        for word in key.typed:
            if word != "same":  # it needs a load before it
                heard = read_line(word, now=FakeDesk().at, setting=setting)
                assert heard.problem is None and heard.entry is not None and not heard.entry.note, word


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 40), (200, 60)])
@pytest.mark.parametrize("where", ["first", "cabin", "describe", "own page"])
def test_every_page_is_exactly_its_size(size: tuple[int, int], where: str) -> None:
    keys = Keys(width=size[0], height=size[1], new=where == "first")
    if where != "first":
        keys.press("c", *["down"] * {"cabin": 2, "describe": 5, "own page": 6}[where])
        if where != "cabin":
            keys.press("enter")
        assert keys.session.page == where
    rows = keys.session.rows()
    assert len(rows) == size[1] and {len(text_of(row)) for row in rows} == {size[0]}


@pytest.mark.parametrize("seed", [1, 2])
def test_random_keys_on_the_new_pages(seed: int) -> None:
    dice = random.Random(seed)
    keys = Keys(new=seed == 1)
    for _ in range(2500):
        key = dice.choice((*MONKEY_KEYS, "c", "enter", "down"))
        character = {"space": " ", "exclamation_mark": "!"}.get(key, key if len(key) == 1 else None)
        keys.at += dice.choice((0.05, 1.0))
        keys.session.press(key, character, keys.at)
        keys.finish()
        if dice.random() < 0.05:
            assert len(keys.session.rows()) == 24


def test_put_off_nothing_is_said_to_be_reckoned(tmp_path: Path) -> None:
    """Page Now said "Reckoning what follows" until a line was written: nothing had been asked for."""
    desk = AppDesk(Place(tmp_path / "new.db"))
    session = Session(desk)
    session.begin()
    assert session.page == "first"
    session.press("escape", None, 1.0)
    for name, job in session.take_jobs():
        try:
            session.arrived(name, job(lambda said: None))
        except LogbookError as error:
            session.failed(name, str(error))
    shown = " ".join(text_of(row).strip() for row in session.rows())
    assert "Put off" in shown and "Reckoning" not in shown
    assert "Cabin and stove are not described yet." in shown
    desk.close()


def test_the_first_evening_can_be_filled_in_on_the_smallest_window() -> None:
    """At 60 by 20 the last blanks lay beyond the edge, and how to keep it all beneath it."""
    keys = Keys(new=True, width=60, height=20)
    keys.press("2", "8", "enter", "7", "5", "enter", "8", "enter")
    keys.finish()
    shown = keys.screen()
    assert max(map(len, shown)) <= 60
    said = "\n".join(shown)
    for part in ("[28    ]", "m³ of air inside", "kg of wood", "how far CLOSED", "leaky", "up [06:30 ]"):
        assert part in said, part
    assert said.count("[") == said.count("]"), "no blank lies half beyond the edge"
    assert "Enter on the last keeps" in said and "Esc: later." in said
    so_far = shown[next(n for n, row in enumerate(shown) if row.startswith(" so far")) :]
    ends = next(n for n, row in enumerate(so_far) if not row.strip() or row.startswith("   next"))
    assert so_far[ends - 1].endswith("."), "what it says already is whole"
