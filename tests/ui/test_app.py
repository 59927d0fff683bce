"""The real app under Textual's pilot: keys, mouse, sizes, slow work, what is loaded at the first frame."""

from __future__ import annotations

import random
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from fake_desk import MONKEY_KEYS, TRACK, FakeDesk
from textual import events
from textual.geometry import Offset
from waiting import until

from logbook.ui.app import NightloadApp
from logbook.ui.cells import text_of
from logbook.ui.looks import LAMPLIGHT, LOOKS
from logbook.ui.paint import Sheet, strip_of

PAGES_HERE = Path(__file__).parent


def app_on(desk: FakeDesk, look=LAMPLIGHT) -> NightloadApp:
    return NightloadApp(desk, look=look)


def rows_of(app: NightloadApp) -> list[str]:
    """What is on the screen, from the widget that draws it."""
    sheet = app.screen.query_one(Sheet)
    return ["".join(s.text for s in sheet.render_line(y)).rstrip() for y in range(sheet.size.height)]


def head_of(app: NightloadApp) -> str:
    """The page's first sentence, over its rows."""
    return " ".join(" ".join(rows_of(app)[6:8]).split())


async def settle(app: NightloadApp, pilot) -> None:
    """Until no slow answer is awaited."""
    for _ in range(200):
        await pilot.pause(0.01)
        known = app.session.known
        if (known.expect or known.troubles) and not known.stale - {"nights"}:
            return
    raise AssertionError(f"still waiting for {app.session.known.stale}")


async def test_an_evening_is_written_and_its_answer_read_by_keys_alone() -> None:
    desk = FakeDesk()
    app = app_on(desk)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(app, pilot)
        await pilot.press(*"-11", "slash", *"18", "space", *"4m", "space", *"1", "slash", "4")
        assert rows_of(app)[2] == "  write -11/18 4m 1/4"
        await pilot.press("enter")
        assert desk.kept == ["-11/18 4m 1/4"]
        assert rows_of(app)[3] == "  saved 21:40 -11/18 4m 1/4"
        await pilot.press("t")
        await settle(app, pilot)
        assert rows_of(app)[6].startswith(" advice Nothing holds 16–22 °C all night.")
        await pilot.press("down", "enter", "enter")
        assert desk.kept[-1] == "1M 1L air 1/4"
        await pilot.press("u")
        assert desk.kept == ["-11/18 4m 1/4"]


async def test_the_first_key_is_not_lost() -> None:
    desk = FakeDesk()
    app = app_on(desk)
    async with app.run_test() as pilot:
        await pilot.press("minus", "9", "enter")
        assert desk.kept == ["-9"]


async def test_tab_and_ctrl_keys_of_the_toolkit_do_not_get_in_the_way() -> None:
    desk = FakeDesk()
    app = app_on(desk)
    async with app.run_test() as pilot:
        await settle(app, pilot)
        await pilot.press("t", "tab")
        assert app.session.page == "grounds"
        await pilot.press("ctrl+p", "ctrl+a", "alt+t", "shift+tab")
        assert app.focused is None and len(app.screen_stack) == 1
        assert desk.kept == []


async def test_the_app_takes_lines_while_slow_work_runs_and_says_what_is_old() -> None:
    release = threading.Event()
    desk = FakeDesk()
    app = app_on(desk)
    async with app.run_test() as pilot:
        await settle(app, pilot)
        desk.hold = lambda name: release.wait(5) and None
        await pilot.press("9", "enter")
        assert rows_of(app)[6].startswith("  as of 21:40:")
        await pilot.press("8", "enter")  # the worker is held: the screen is not
        assert desk.kept == ["9", "8"]
        release.set()
        await settle(app, pilot)
        assert rows_of(app)[6].startswith(" expect If nothing more goes in")


async def test_the_long_track_record_stands_aside_for_tonight_and_is_taken_up_again() -> None:
    """Nights are reckoned one by one; a line written meanwhile is answered first."""
    desk = FakeDesk()
    begun, go_on = threading.Event(), threading.Event()
    told: list[str] = []

    def long_nights(progress):
        desk.slow_calls.append("nights")
        for n in range(3):
            progress(f"night {n + 1} of 3")
            begun.set()
            go_on.wait(5)
        return TRACK

    desk.nights = long_nights  # type: ignore[method-assign]
    app = app_on(desk)
    async with app.run_test() as pilot:
        await settle(app, pilot)
        desk.slow_calls.clear()
        await pilot.press("n")
        while not begun.is_set():
            await pilot.pause(0.01)
        await until(pilot, lambda: "Now: night" in head_of(app))
        told.append(head_of(app))
        await pilot.press("minus", "9", "enter")  # while the first night is reckoned
        go_on.set()
        for _ in range(200):
            await pilot.pause(0.01)
            if app.session.known.track:
                break
        assert told[0].endswith("Now: night 1 of 3.")
        assert desk.slow_calls == ["nights", "expect", "tonight", "nights"]
        assert app.session.known.track is TRACK


async def test_leaving_the_page_stops_the_track_record() -> None:
    desk = FakeDesk()
    go_on, ended = threading.Event(), []

    def long_nights(progress):
        try:
            for _ in range(100):
                progress("a night")
                go_on.wait(5)
        except BaseException as stopped:
            ended.append(type(stopped).__name__)
            raise
        return TRACK

    desk.nights = long_nights  # type: ignore[method-assign]
    app = app_on(desk)
    async with app.run_test() as pilot:
        await settle(app, pilot)
        await pilot.press("n", "escape")
        go_on.set()
        for _ in range(100):
            await pilot.pause(0.01)
            if ended:
                break
        assert ended == ["_PutAside"]
        assert app.session.known.track is None


async def test_a_failing_answer_does_not_close_the_app() -> None:
    def broken(name: str) -> None:
        raise ZeroDivisionError("no air")

    desk = FakeDesk(hold=broken)
    app = app_on(desk)
    async with app.run_test() as pilot:
        await settle(app, pilot)
        assert "This answer failed (ZeroDivisionError: no air)" in " ".join(rows_of(app)[6:9])
        await pilot.press("9", "enter")
        assert desk.kept == ["9"]


async def test_resizing_keeps_the_place_and_the_text() -> None:
    app = app_on(FakeDesk())
    async with app.run_test(size=(120, 40)) as pilot:
        await settle(app, pilot)
        await pilot.press("t", "down")
        await pilot.resize_terminal(60, 20)
        await pilot.pause()
        assert len(rows_of(app)) == 20
        assert any(row.startswith(">    or 1 M 1 L") for row in rows_of(app))
        await pilot.press("minus", "9")
        await pilot.resize_terminal(80, 24)
        await pilot.pause()
        assert rows_of(app)[2] == "  write -9"
        assert app.session.page == "tonight"


async def test_after_resizing_the_page_is_drawn_for_the_new_size_at_once() -> None:
    """It stood there as drawn for the size before, cut off or with half the window empty, until a key."""
    app = app_on(FakeDesk())
    async with app.run_test(size=(40, 10)) as pilot:
        await settle(app, pilot)
        for width, height in ((120, 40), (59, 19), (80, 24)):
            await pilot.resize_terminal(width, height)
            await pilot.pause()
            shown = rows_of(app)
            assert len(shown) == height
            assert [text_of(row).rstrip() for row in app.session.rows()] == shown
        assert shown[-1].rstrip().endswith("e emergency")


async def test_the_mouse_turns_pages_chooses_rows_and_opens_the_line() -> None:
    app = app_on(FakeDesk())
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(app, pilot)
        await pilot.click(Sheet, offset=Offset(20, 8))
        assert rows_of(app)[8].startswith("> 20:55")
        await pilot.click(Sheet, offset=Offset(45, 23))
        assert app.session.page == "tonight"
        await pilot.click(Sheet, offset=Offset(20, 2))
        assert app.session.line.is_open
        await pilot.click(Sheet, offset=Offset(70, 23))
        assert app.session.page == "emergency"


async def test_pasted_text_goes_into_the_line_whole() -> None:
    app = app_on(FakeDesk())
    async with app.run_test() as pilot:
        app.post_message(events.Paste("-11/18 4m! 1/4\n"))
        await pilot.pause()
        assert app.session.line.text == "-11/18 4m! 1/4"


async def test_closing_asks_nothing_and_keeps_the_half_typed_line() -> None:
    for key in ("ctrl+q", "ctrl+c"):
        desk = FakeDesk()
        app = app_on(desk)
        async with app.run_test() as pilot:
            await pilot.press("minus", "9", key)
            await until(pilot, lambda app=app: not app.is_running)
        assert desk.drafted == "-9"


async def test_q_closes_and_quarter_stays() -> None:
    app = app_on(FakeDesk())
    async with app.run_test() as pilot:
        await pilot.press("q", "u")
        await pilot.pause(0.5)  # what must not come can only be given time: twice a letter's rest
        assert app.is_running and app.session.line.text == "qu"
        await pilot.press("escape", "q")
        await until(pilot, lambda: not app.is_running)


async def test_nothing_is_painted_while_idle() -> None:
    app = app_on(FakeDesk())
    async with app.run_test() as pilot:
        await settle(app, pilot)
        await pilot.pause(0.1)  # what the last answer had to paint is painted
        painted = []
        sheet = app.screen.query_one(Sheet)
        render = sheet.render_line
        sheet.render_line = lambda y: painted.append(y) or render(y)  # type: ignore[method-assign]
        await pilot.pause(0.6)  # what must not come can only be given time
        app._minute()  # the minute passes, and the clock shows the same
        await pilot.pause()
        assert painted == []
        await pilot.press("minus")
        await pilot.pause()
        assert set(painted) == {2, 3} or set(painted) == {2}  # only the rows that changed


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
async def test_every_cell_is_drawn_in_the_look(look) -> None:
    app = app_on(FakeDesk(), look)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(app, pilot)
        await pilot.press("t")
        grounds = set()
        for row in app.session.rows():
            for segment in strip_of(row, look):
                assert segment.style is not None and segment.style.bgcolor is not None
                grounds.add(segment.style.bgcolor.name)
        expected = {look.paper, look.tint} if look.full_colour else {"default"}
        assert grounds == expected


async def test_the_monkey() -> None:
    """A few thousand random keys in bursts, over all pages and sizes: no crash, every screen whole."""
    rng = random.Random(20260116)
    app = app_on(FakeDesk())
    async with app.run_test(size=(80, 24)) as pilot:
        for _ in range(30):
            for key in rng.choices(MONKEY_KEYS, k=100):
                app.post_message(events.Key(key, key if len(key) == 1 else None))
            await pilot.pause()
            await pilot.resize_terminal(rng.randrange(20, 140), rng.randrange(5, 50))
            await pilot.press("escape")
            assert app.is_running
            assert len(app.session.rows()) == app.size.height


HEAVY = ("pandas", "numpy", "scipy", "sqlite_utils", "plotext", "logbook.heat.fit", "logbook.heat")

FIRST_FRAME = """
import asyncio, sys, time
sys.path.insert(0, {here!r})
from fake_desk import MONKEY_KEYS, TRACK, FakeDesk
from logbook.ui.app import NightloadApp
from logbook.ui.looks import NO_COLOUR
from logbook.ui.paint import Sheet
async def main():
    app = NightloadApp(FakeDesk(), look=NO_COLOUR)
    async with app.run_test() as pilot:
        assert app.screen.query_one(Sheet).render_line(2).text.startswith("  write ")
        print(",".join(name for name in {heavy!r} if name in sys.modules))
asyncio.run(main())
"""


def test_the_first_frame_loads_nothing_heavy() -> None:
    code = FIRST_FRAME.format(here=str(PAGES_HERE), heavy=HEAVY)
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=True
    )
    assert done.stdout.strip() == ""
