"""Enter pressed while the app opens comes as a line feed: it does what Enter does, several lines don't."""

from __future__ import annotations

import pytest
from fake_desk import FakeDesk
from textual import events
from waiting import until

from logbook.ui.app import NightloadApp
from logbook.ui.line_feeds import LineFeeds
from logbook.ui.looks import LAMPLIGHT

KEYS = {"\n": ("ctrl+j", "\n"), "\r": ("enter", "\r"), " ": ("space", " "), "\t": ("tab", "\t")}


class Pressed:
    """What came through, and whether a line is open."""

    def __init__(self) -> None:
        self.came = ""
        self.is_writing = True
        self.feeds = LineFeeds(self.press, writing=lambda: self.is_writing)

    def press(self, key: str, character: str | None, at: float) -> None:
        self.came += "⏎" if key == "enter" else character or f"<{key}>"

    def burst(self, text: str) -> str:
        for sign in text:
            self.feeds.press(*KEYS.get(sign, (sign, sign)), 1.0)
        self.feeds.over()
        return self.came


@pytest.mark.parametrize(
    ("typed", "done"),
    [
        ("-11/18\n", "-11/18⏎"),
        ("-11/18\nb", "-11/18⏎b"),  # a letter after it is a key of its own: going to bed
        ("-11/18\n\n", "-11/18⏎⏎"),
        ("-11/18\n\t4m", "-11/18⏎\t4m"),  # no text has a key that only moves
        ("-11/18\rfire out\r", "-11/18⏎fire out⏎"),  # the app has the terminal: pasted text is told as such
        ("-11/18\nfire out", "-11/18 fire out"),
        ("-11/18\nfire out\n", "-11/18 fire out"),
        ("-11/18\n\nfire out\n\n", "-11/18 fire out"),
        ("a\nbc\nd\n", "a bc d"),
    ],
)
def test_a_line_feed_is_enter_unless_another_line_comes_with_it(typed, done):
    assert Pressed().burst(typed) == done


def test_what_follows_later_is_not_of_the_same_burst():
    pressed = Pressed()
    pressed.burst("-11/18\n")
    assert pressed.burst("fire out\n") == "-11/18⏎fire out⏎"


def test_nothing_is_held_where_no_line_is_written():
    """On the first evening's form Enter only goes to the next blank."""
    pressed = Pressed()
    pressed.is_writing = False
    for sign in "30\n":
        pressed.feeds.press(*KEYS.get(sign, (sign, sign)), 1.0)
    assert pressed.came == "30⏎" and not pressed.feeds.holding


def test_the_emergency_page_never_waits():
    pressed = Pressed()
    for key in (("x", "x"), ("ctrl+j", "\n"), ("a", "a"), ("b", "b"), ("f5", None)):
        pressed.feeds.press(*key, 1.0)
    assert pressed.came == "x ab<f5>"


async def test_the_app_keeps_a_line_whose_enter_came_as_a_line_feed():
    desk = FakeDesk()
    async with NightloadApp(desk, look=LAMPLIGHT).run_test() as pilot:
        await pilot.press("minus", "9", "ctrl+j")
        await until(pilot, lambda: desk.kept)
        assert desk.kept == ["-9"]


async def test_several_lines_at_once_stand_to_be_looked_at():
    desk = FakeDesk()
    app = NightloadApp(desk, look=LAMPLIGHT)
    async with app.run_test() as pilot:
        for sign in "-9\n-8\n":
            app.post_message(events.Key(*KEYS.get(sign, (sign, sign))))
        await until(pilot, lambda: app.session.line.text == "-9 -8")
        assert desk.kept == []
        await pilot.press("enter")
        assert desk.kept == ["-9 -8"]
