"""Less usual ways of writing that someone will use: read as meant, or kept whole as a note, or told why not.

Found by looking at what no other test wrote. Read on Friday 16 January 2026, 21:41, in London.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from logbook.entry import LineActKind, Setting, answered, read_line, read_plan
from logbook.entry.line import LONGEST_LINE
from logbook.entry.when import time_told
from logbook.matters import (
    Bring,
    Brought,
    DayWeather,
    Improvement,
    Level,
    Seen,
    Sight,
    Sky,
    Stack,
    StackMoisture,
    StaySaid,
    Upkeep,
    UpkeepRule,
)
from logbook.records import Basis
from logbook.results.upkeep_words import TASK_WORDS

NOW = datetime(2026, 1, 16, 21, 41, 20, tzinfo=UTC)
CORD_M3 = 3.6246
"""128 cubic feet (NIST Handbook 130, 2.4.1.2; from memory)."""


@pytest.fixture
def known(setting: Setting) -> Setting:
    """The invented cabin with names of its own."""
    return replace(
        setting,
        own_words=(("box", 3.5), ("armful", 2.5)),
        stacks=("birch",),
        tasks=TASK_WORDS,
        supplies=("water",),
        to_bring=(),
    )


def entry_of(line: str, setting: Setting):
    got = read_line(line, now=NOW, setting=setting)
    assert got.problem is None, (line, got.problem)
    return got.entry


MATTERS = [
    # Money and hours, in either order
    ("cost skirting 240 and 31 h", Improvement(name="skirting", money=240.0, hours=31.0)),
    ("cost 240 and 31 h for skirting", Improvement(name="skirting", money=240.0, hours=31.0)),
    # People as words; a purpose and the guest book after them
    ("people two", StaySaid(count=2)),
    (
        "people 3 purpose roof work. guest book: Snow.",
        StaySaid(count=3, purpose="roof work.", guest_book="Snow."),
    ),
    ("people K guest book: Snow to the sills.", StaySaid(people=("K",), guest_book="Snow to the sills.")),
    ("people K guestbook Snow to the sills.", StaySaid(people=("K",), guest_book="Snow to the sills.")),
    ("people Anna Ben", StaySaid(people=("Anna", "Ben"))),
    ("people O'Neill, kj", StaySaid(people=("O'Neill", "kj"))),
    ("people J., My", StaySaid(people=("J", "My"))),  # "my" in small letters is no name
    # The owner's own intervals
    ("every 30 burn-days flue", UpkeepRule(task="flue", every_burn_days=30.0)),
    ("every 365 days or 500 kg flue", UpkeepRule(task="flue", every_days=365.0, every_kg=500.0)),
    ("every 2 years for the gutters", UpkeepRule(task="gutters", every_days=730.0)),
    ("every 2 years for gutters", UpkeepRule(task="gutters", every_days=730.0)),
    ("every 2 years the gutter", UpkeepRule(task="gutters", every_days=730.0)),
    ("did our gutter", Upkeep(task="gutters")),
    ("did my flues", Upkeep(task="flue")),
    ("did skirting vent", Upkeep(task="skirting vents")),
    # Said gone before its place, under the name it was seen by
    ("leak fixed at flashing", Seen(sight=Sight.GONE, place="leak flashing")),
    ("condensation gone at north", Seen(sight=Sight.GONE, place="sweating north")),
    ("condensation at north gone", Seen(sight=Sight.GONE, place="sweating at north")),
    # Upkeep with who, what and which alarm
    ("battery bedroom alarm", Upkeep(task="bedroom alarm battery")),
    ("battery in the garage alarm", Upkeep(task="garage alarm battery")),  # was kept as a note: "the"
    (
        "looked at door rope worn by Ann Berg",
        Upkeep(task="door rope", finding="worn", by="Ann Berg", only_looked=True),
    ),
    (
        "looked at door rope worn by the wind",
        Upkeep(task="door rope", finding="worn by the wind", only_looked=True),
    ),
    ("swept flue by Anna, Ben", Upkeep(task="flue", by="Anna", finding="Ben")),
    ("swept flue by me", Upkeep(task="flue", by="me")),
    ("swept flue by", Upkeep(task="flue", finding="by")),
    ("swept flue by Noon", Upkeep(task="flue", finding="by Noon")),
    ("replaced co alarm until 2033-05 hall", Upkeep(task="co alarm", until=date(2033, 5, 1), finding="hall")),
    ("replaced co alarm until 05/2033 hall", Upkeep(task="co alarm", until=date(2033, 5, 1), finding="hall")),
    (
        "replaced co alarm until 3.12.2033 hall",
        Upkeep(task="co alarm", until=date(2033, 12, 3), finding="hall"),
    ),
    ("replaced co alarm until 2033 hall", Upkeep(task="co alarm", until=date(2033, 1, 1), finding="hall")),
    ("swept flue dirty until 2030", Upkeep(task="flue", finding="dirty", until=date(2030, 1, 1))),
    ("swept flue dirty photo a.jpg", Upkeep(task="flue", finding="dirty", photos=("a.jpg",))),
    # Readings of a meter and levels
    ("meter birch 17 and 19 %", StackMoisture(name="birch", readings_pct=(17.0, 19.0), basis=Basis.WET)),
    ("level water 40%", Level(item="water", amount=40.0, unit="%")),
    ("level blue rain water barrel 14 L", Level(item="blue rain water barrel", amount=14.0, unit="L")),
    ("level gas 100 %", Level(item="gas", amount=100.0, unit="%")),
    ("level water 1000000 L", Level(item="water", amount=1e6, unit="L")),
    ("level gas 4/4", Level(item="gas", amount=100.0, unit="%")),
    ("level gas an 1/8", Level(item="gas", amount=12.5, unit="%")),
    ("bring oil for lamps", Bring(item="oil for lamps")),
    ("bring quarter turn valve", Bring(item="quarter turn valve")),
    ("brought: 2L milk", Brought(item="milk", amount=2.0, unit="L")),
    ("level water a half", Level(item="water", amount=50.0, unit="%")),  # was of "water a"
    ("level water 3/4 full", Level(item="water", amount=75.0, unit="%")),  # was 0.75 of nothing
    ("level diesel 1/2 full", Level(item="diesel", amount=50.0, unit="%")),  # was the air set to 1/2
    ("level gas 2/3 of the tank", Level(item="gas", amount=pytest.approx(200 / 3), unit="%")),  # likewise
    ("level gas half of the bottle", Level(item="gas", amount=50.0, unit="%")),
    ("level gas 1/2 bottle", Level(item="gas", amount=0.5, unit="bottle")),
    ("level a quarter of the water", Level(item="water", amount=25.0, unit="%")),
    ("level water a quarter full", Level(item="water", amount=25.0, unit="%")),
    ("level gas half a bottle", Level(item="gas", amount=0.5, unit="bottle")),  # was one, of "gas half"
    ("brought half of a bottle of gas", Brought(item="gas", amount=0.5, unit="bottle")),
    ("bring half a box of nails", Bring(item="nails", amount=0.5, unit="box")),
    ("bring half a dozen eggs", Bring(item="half a dozen eggs")),
    ("cost skirting 240 and a half hour", Improvement(name="skirting", money=240.0, hours=0.5)),
    ("cost skirting 19 and a half hours", Improvement(name="skirting", hours=19.5)),
    ("cost skirting 20 and a half hour", Improvement(name="skirting", money=20.0, hours=0.5)),
    # A forecast
    ("weather sat -8..-2", DayWeather(day=date(2026, 1, 17), low_c=-8.0, high_c=-2.0)),
    (
        "weather sat -9 -2 and clear",
        DayWeather(day=date(2026, 1, 17), low_c=-9.0, high_c=-2.0, sky=Sky.CLEAR),
    ),
    *(
        (f"weather sat {pair}", DayWeather(day=date(2026, 1, 17), low_c=-10.0, high_c=pytest.approx(-20 / 9)))
        for pair in ("14f/28", "14/28f", "-10c/28f")  # 28 °F is (28 − 32) / 1.8
    ),
    ("weather sat -9 -2 wind calm", DayWeather(day=date(2026, 1, 17), low_c=-9.0, high_c=-2.0, wind="calm")),
]


@pytest.mark.parametrize(("line", "matter"), MATTERS)
def test_a_matter_said_in_other_words(line: str, matter: object, known: Setting) -> None:
    entry = entry_of(line, known)
    assert entry.matter == matter
    assert entry.note is None


@pytest.mark.parametrize(
    ("line", "m3", "kg", "loose"),
    [
        ("stack birch 2 loose m3", 2.0, None, True),
        ("stack birch a full cord", CORD_M3, None, False),
        ("stack birch 2 cubic metres", 2.0, None, False),
        ("stack birch 1.2 t", None, 1200.0, False),
        ("stack birch 2 racks of 16 in", 2 * 4 * 8 * 16 / 12 * 0.3048**3, None, False),  # ft³; NIST SP 811
        ("stack 2 stere birch", 2.0, None, False),
        # A part of one, however it is said: "half of a cord" was a whole one of a stack "birch half of".
        ("stack birch half cord", CORD_M3 / 2, None, False),
        ("stack birch quarter cord", CORD_M3 / 4, None, False),
        ("stack birch half a cord", CORD_M3 / 2, None, False),
        ("stack birch half of a cord", CORD_M3 / 2, None, False),
        ("stack birch a half cord", CORD_M3 / 2, None, False),
        ("stack birch a 1/2 cord", CORD_M3 / 2, None, False),
        ("stack birch a quarter of a cord", CORD_M3 / 4, None, False),
        ("stack birch quarter of an m3", 0.25, None, False),
        ("stack birch one and a half cords", CORD_M3 * 1.5, None, False),
        ("stack birch 2 and a quarter stere", 2.25, None, False),
        ("stack birch 1 1/2 stere", 1.5, None, False),
        ("stack birch 0 1/2 stere", 0.5, None, False),
    ],
)
def test_wood_in_the_measures_of_several_lands(
    line: str, m3: float | None, kg: float | None, loose: bool, known: Setting
) -> None:
    stack = entry_of(line, known).matter
    assert isinstance(stack, Stack)
    assert (stack.name, stack.loose) == ("birch", loose)
    for got, want in ((stack.volume_m3, m3), (stack.mass_kg, kg)):
        assert got == (None if want is None else pytest.approx(want, rel=1e-4))


REFUSED = [
    ("stack birch 3", "How much of it?", (12, 13)),
    ("stack birch 2 yards", '"yards" is no measure of wood', (12, 19)),
    ("level water -3 L", "−3 L is less than nothing", (12, 16)),
    ("level water 2000000 L", "2000000 L is more than can be", (12, 21)),  # was said as 2e+06
    ("stack birch 2 solid m3", "2 solid m3 is solid wood", (12, 22)),  # named without its unit before
    ("stack birch 2 loose bags", "no measure of wood", (12, 24)),
    # A fraction after a number is a part of one more, or no number at all.
    ("stack birch 2 5/4 stere", '"5/4" is no measure of wood', (12, 23)),
    ("stack birch 2 4/4 stere", '"4/4" is no measure of wood', (12, 23)),
    ("stack birch 1.5 1/2 stere", '"1/2" is no measure of wood', (12, 25)),
    ("level water -1 1/2 L", "−1 is less than nothing", (12, 14)),
    ("stack birch 2 cubic yards", "no measure of wood", (12, 25)),
    # Was kept as a stack named "split", and "birch may 2025" went to the note.
    ("stack 2 stere split birch may 2025", '"split" is no name', (14, 19)),
    ("weather 31 feb -9 -2", "no such day", (8, 14)),
    ("weather fri 31 dec -3 2", "31 Dec 2025 is a Wed, not a Fri", (8, 18)),  # was kept as the Wednesday's
    ("swept flue 300 mm", "A deposit of 300 mm", (11, 17)),
    ("heater on", "How strong", (0, 9)),
    ("heater on 4M", "How strong", (0, 9)),
    ("band 15", "That band can't be read", (0, 7)),
    ("box = 22 crates", '"crate" has no weight yet', (0, 15)),
    ("box = 2001 kg", "One box of 2001 kg can't be", (0, 13)),
    ("box = 0.001 kg", "can't be", (0, 14)),
]


@pytest.mark.parametrize(("line", "wrong", "where"), REFUSED)
def test_what_cannot_be_is_refused_where_it_stands_and_says_what_to_type(
    line: str, wrong: str, where: tuple[int, int], known: Setting
) -> None:
    problem = read_line(line, now=NOW, setting=known).problem
    assert problem is not None
    assert wrong in problem.wrong
    assert (problem.start, problem.end) == where
    assert problem.instead


@pytest.mark.parametrize(
    "line",
    [
        "cost €",
        "cost roof 99999999999",  # a telephone number is no sum
        "cost us 3 nights of sleep",
        "every year the snow slides",
        "level 3 crossing closed",
        "level 3 valve 2 L",
        "level half",
        "level gas half of the people",
        "level gas half behind that tank",
        "brought water half",
        "brought 2 jars from town",
        "level pump, pressure 3 L",
        "level water valve 3 was closed",  # was 3 of "water valve", for water is a supply
        "bring us wine",
        "bring some",  # was on the list as "some"
        "brought 2 jars, one broken",
        "brought 2 jars",
        "level big blue rain water barrel 14 L",  # five words are no name
        "brought us 2 jars of jam",
        "stack chairs 3 high",
        "every 2 years or month flue",
        "every 2 years, as J said",
        "never gutters again please",
        "stack row fell",
        "guest book:",
        "in the old days 4 M would do",
    ],
)
def test_prose_that_begins_with_a_word_of_a_matter_is_kept_whole(line: str, known: Setting) -> None:
    entry = entry_of(line, known)
    assert entry.matter is None
    assert entry.note == line


def test_a_guest_line_with_nothing_in_it_is_no_guest_line(known: Setting) -> None:
    entry = entry_of("people K J guest book:", known)
    assert entry.matter == StaySaid(people=("K", "J"))
    assert entry.note == "guest book"


@pytest.mark.parametrize(
    ("line", "want"),  # kilograms, pieces, species, note
    [
        ("load L", (2.8, "1 L", None, None)),
        ("3 M + 1 L", (7.6, "3 M 1 L", None, None)),  # was 3 M, "+ 1 L" a note
        ("3 M and 1 L", (7.6, "3 M 1 L", None, None)),
        ("3M+1L", (7.6, "3 M 1 L", None, None)),  # was a note
        ("bread and 1 L milk", (None, None, None, "bread and 1 L milk")),
        ("armful", (2.5, "1 armful", None, None)),
        ("4kg of birch", (4.0, None, "birch", None)),
        ("2m3q", (None, None, None, "2m3q")),  # half of it is no piece: not half a load
    ],
)
def test_loads(line: str, want: tuple[object, ...], known: Setting) -> None:
    entry = entry_of(line, known)
    assert (entry.load_kg, entry.pieces, entry.species, entry.note) == want


def test_a_heater_that_is_on_with_its_watts_is_not_asked_for_them(known: Setting) -> None:
    # "heater on 1500 W" was refused with "How strong is the heater?"
    assert entry_of("heater on 1500 W", known).other_heat_w == 1500.0
    assert entry_of("heater on 1.5kW", known).other_heat_w == 1500.0
    assert entry_of("heater 1500", known).other_heat_w == 1500.0
    assert entry_of("heater 0", known).other_heat_w == 0.0


@pytest.mark.parametrize("line", ["heater on 2 h", "heater on 20 minutes", "heater on 90 min", "heater on 2"])
def test_how_long_a_heater_is_on_is_not_how_strong_it_is(line: str, known: Setting) -> None:
    # "heater on 2 h" was kept as a heater of 2 W; a bare 2 is the setting of its dial, or kilowatts.
    heard = read_line(line, now=NOW, setting=known)
    assert heard.problem is not None
    assert heard.problem.wrong == "How strong is the heater?"


@pytest.mark.parametrize("line", ["heater 2 h", "heater 2 m from the wall", "heater 1.5"])
def test_a_small_number_after_a_heater_stays_a_note(line: str, known: Setting) -> None:
    entry = entry_of(line, known)
    assert (entry.other_heat_w, entry.note) == (None, line)


@pytest.mark.parametrize(
    ("line", "asked"),
    [
        ("we ate at half past seven", False),  # set the air to half, with "we ate; past seven" as the note
        ("20:00 bed, we ate at half past seven", False),
        ("4M at half past 9", True),
        ("quarter to 10 4M", True),
    ],
)
def test_half_past_is_no_air_and_asked_about_where_the_line_would_land_on_now(
    line: str, asked: bool, known: Setting
) -> None:
    got = read_line(line, now=NOW, setting=known)
    assert got.entry.air_open_pct is None
    assert got.entry.note is not None
    assert got.entry.note in line, "the words stay together"
    assert [q.kind for q in got.questions] == ["day"] * asked


def test_half_is_still_air(known: Setting) -> None:
    for line in ("4M air to half", "air half past the mark", "half", "at half"):
        assert entry_of(line, known).air_open_pct == 50.0, line


def test_inside_is_found_after_outside(known: Setting) -> None:
    entry = entry_of("out -5 18", known)
    assert (entry.outdoor_c, entry.indoor_c) == (-5.0, 18.0)


def test_a_weight_after_a_place_is_no_temperature(known: Setting) -> None:
    entry = entry_of("in loft 4 kg", known)
    assert (entry.load_kg, entry.indoor_c, entry.note) == (4.0, None, "in loft")


def test_a_second_reset_time_is_not_lost(known: Setting) -> None:
    entry = entry_of("low 9 since 20:00 since 21:00", known)
    assert entry.reset_at == NOW.replace(hour=20, minute=0, second=0)
    assert entry.note == "since 21:00"


def test_an_odd_word_where_pieces_have_no_weights(setting: Setting) -> None:
    got = read_line("65k", now=NOW, setting=replace(setting, pieces_kg=()))
    assert "no unit known here" in got.questions[0].text
    assert got.entry.note == "65k"


def test_a_line_too_long_is_refused_not_cut(known: Setting) -> None:
    text = "x" * (LONGEST_LINE + 1)
    problem = read_line(text, now=NOW, setting=known).problem
    assert problem is not None
    assert str(len(text)) in problem.wrong
    assert read_line(text[:-1], now=NOW, setting=known).entry.note == text[:-1]


def test_a_bare_page_name_opens_it(known: Setting) -> None:
    act = read_line("bring", now=NOW, setting=known).act
    assert act is not None
    assert (act.kind, act.name) == (LineActKind.PAGE, "bring")


@pytest.mark.parametrize(
    ("line", "when"),
    [
        ("-30 min bed", "2026-01-16T21:11:20"),
        ("-2 h ago bed", "2026-01-16T19:41:20"),
        ("three h ago bed", "2026-01-16T18:41:20"),
        ("half an hour ago bed", "2026-01-16T21:11:20"),
        ("yesterday bed at 20:00", "2026-01-15T20:00:00"),
        ("20:00 bed yesterday", "2026-01-15T20:00:00"),
        ("Fri 20:00, night of Fri 16 Jan bed", "2026-01-16T20:00:00"),
        ("2026-01-16T20:00+01:00 bed", "2026-01-16T19:00:00"),
        ("last night 12 bed", "2026-01-16T00:00:00"),
        # 12 in the evening is midnight; it was noon, so was 00:15 a day too early.
        ("yesterday evening 12 bed", "2026-01-16T00:00:00"),
        ("yesterday evening 00:15 bed", "2026-01-16T00:15:00"),
        ("thu evening 12 bed", "2026-01-16T00:00:00"),
        ("yesterday evening 11 bed", "2026-01-15T23:00:00"),
        ("yesterday afternoon 12 bed", "2026-01-15T12:00:00"),
        ("yesterday afternoon 1 bed", "2026-01-15T13:00:00"),
    ],
)
def test_times(line: str, when: str, known: Setting) -> None:
    entry = entry_of(line, known)
    assert entry.at == datetime.fromisoformat(when).replace(tzinfo=UTC)
    assert entry.mark == "bed"


def test_words_after_night_of_that_name_no_night_stay(known: Setting) -> None:
    entry = entry_of("Fri 20:00, night of the owls", known)
    assert entry.note == "night of the owls"


def test_a_time_that_is_still_to_come_and_never_comes_says_so(known: Setting) -> None:
    # London, 29 March 2026: at 01:00 the clock goes to 02:00 (IANA tzdb).
    now = datetime(2026, 3, 29, 0, 50, tzinfo=UTC)
    problem = read_line("today 01:30 bed", now=now, setting=known).problem
    assert problem is not None
    assert "never came" in problem.wrong


def test_a_plan_may_name_its_moment_with_its_offset(known: Setting) -> None:
    bed = datetime(2026, 1, 16, 22, 30, tzinfo=UTC)
    (step,) = read_plan("2026-01-17T03:30+01:00 load 2kg", start=bed, setting=known)
    assert step.at == datetime(2026, 1, 17, 2, 30, tzinfo=UTC)


@pytest.mark.parametrize("text", ["...", "?", "!!", ";"])
def test_signs_alone_are_said_to_say_nothing(text: str, known: Setting) -> None:
    """It was " and nothing else. Type what happened then, for example  4M.", of a time that was not there."""
    problem = read_line(text, now=NOW, setting=known).problem
    assert problem is not None
    assert problem.text == "That says nothing. Type what happened, for example 4M."


def test_a_change_is_asked_again_when_its_time_is_none(known: Setting) -> None:
    got = read_line("new gasket", now=NOW, setting=known)
    assert [q.kind for q in got.questions] == ["from"]
    odd = answered(got, "whenever")
    assert [q.kind for q in odd.questions] == ["from"], "not taken for now without a word"
    assert answered(got, "yesterday 18:00").entry.at == datetime(2026, 1, 15, 18, 0, tzinfo=UTC)


class TestTheTimeItIs:
    """What an owner answers when the computer's clock can't be right."""

    NEWEST = datetime(2026, 1, 16, 22, 0, tzinfo=UTC)

    def told(self, typed: str, setting: Setting, *, newest: datetime | None = NEWEST) -> datetime | None:
        wrong = datetime(1980, 1, 1, tzinfo=UTC)
        return time_told(typed, now=wrong, setting=replace(setting, newest_at=newest))

    def test_a_clock_time_is_the_first_after_the_newest_record(self, known: Setting) -> None:
        assert self.told("22:30", known) == self.NEWEST + timedelta(minutes=30)
        assert self.told("06:30", known) == datetime(2026, 1, 17, 6, 30, tzinfo=UTC)

    @pytest.mark.parametrize(
        ("typed", "told"),
        [
            ("17 jan 06:30", "2026-01-17T06:30"),  # it was 2031: the last within five years
            ("16 jan 22:10", "2026-01-16T22:10"),
            ("16 jan 21:00", "2027-01-16T21:00"),
            ("3 jan 12:00", "2027-01-03T12:00"),
            ("29 feb 12:00", "2028-02-29T12:00"),
            ("sat 17 jan 06:30", "2026-01-17T06:30"),
            ("mon 06:30", "2026-01-19T06:30"),  # it was Saturday: the weekday went unread
            ("fri 06:30", "2026-01-23T06:30"),
            ("sat evening 8", "2026-01-17T20:00"),  # it was 08:00: the part of the day went unread
            ("sat night 1", "2026-01-18T01:00"),
            ("17 jan evening 8", "2026-01-17T20:00"),
        ],
    )
    def test_a_day_without_its_year_is_the_first_after_the_newest_record(
        self, typed: str, told: str, known: Setting
    ) -> None:
        """16 January 2026 is a Friday (ISO 8601 week 3, day 5)."""
        assert self.told(typed, known) == datetime.fromisoformat(told).replace(tzinfo=UTC)

    def test_a_day_in_the_last_minutes_of_a_year_is_that_years(self, known: Setting) -> None:
        newest = datetime(2027, 1, 1, 0, 1, tzinfo=UTC)
        assert self.told("31 dec 23:59", known, newest=newest) == newest - timedelta(minutes=2)

    def test_a_minute_before_the_newest_record_is_that_evenings(self, known: Setting) -> None:
        """A clock beside the stove runs a little slow: not tomorrow's 21:58."""
        assert self.told("21:58", known) == self.NEWEST - timedelta(minutes=2)
        past_midnight = datetime(2026, 1, 17, 0, 1, tzinfo=UTC)
        for typed in ("23:59", "fri night 23:59"):  # it was the 17th: the evening before was not looked at
            told = self.told(typed, known, newest=past_midnight)
            assert told == past_midnight - timedelta(minutes=2)

    @pytest.mark.parametrize("typed", ["whenever", "22:30 or so", "17 jan", "fri"])
    def test_what_is_no_whole_time_tells_nothing(self, typed: str, known: Setting) -> None:
        assert self.told(typed, known) is None

    @pytest.mark.parametrize("typed", ["mon 17 jan 06:30", "31 feb 06:30", "yesterday 06:30"])
    def test_a_day_that_is_none_tells_nothing(self, typed: str, known: Setting) -> None:
        assert self.told(typed, known) is None

    def test_without_a_record_only_a_whole_date_will_do(self, known: Setting) -> None:
        assert self.told("06:30", known, newest=None) is None
        assert self.told("16 jan 06:30", known, newest=None) is None
        whole = self.told("16 jan 2026 06:30", known, newest=None)
        assert whole == datetime(2026, 1, 16, 6, 30, tzinfo=UTC)

    def test_hours_from_a_clock_that_is_wrong_tell_nothing(self, known: Setting) -> None:
        assert self.told("+2h", known) is None


def test_a_supply_is_known_by_the_logs_own_name_and_a_longer_one_is_another(known: Setting) -> None:
    own = replace(known, supplies=("LED lamps",))
    for line in ("brought 2 led lamps", "brought led lamps 2"):
        assert entry_of(line, own).matter.item == "LED lamps"
    assert entry_of("brought 2 led lamps spare", own).matter.item == "led lamps spare"


def test_a_stack_of_the_log_needs_no_tree_in_its_name_to_be_asked_its_measure(known: Setting) -> None:
    got = read_line("stack attic 2 yards", now=NOW, setting=replace(known, stacks=("attic",)))
    assert got.problem is not None
    assert got.problem.wrong == '"yards" is no measure of wood known here.'
    assert entry_of("stack attic 2 yards", known).note == "stack attic 2 yards"


@pytest.mark.parametrize(("last_c", "asked"), [(9.9, True), (10.0, False)])
def test_a_quarter_is_asked_about_only_within_six_kelvin_of_the_last_room(
    last_c: float, asked: bool, known: Setting
) -> None:
    got = read_line("1/4", now=NOW, setting=replace(known, last_indoor_c=last_c))
    assert [q.kind for q in got.questions] == ["fraction"] * asked


@pytest.mark.parametrize(
    ("line", "pieces", "note"),
    [
        ("put 3 medium on", "3 M", None),  # all of these were notes, and no wood burned
        ("put 3 M in", "3 M", None),
        ("threw another 2 L on", "2 L", None),
        ("fed it 2 L", "2 L", None),
        ("put 3 M and 1 L on", "3 M 1 L", None),
        ("laid 2 M on the coals", "2 M", "the coals"),
        ("put 2 M in 18", "2 M", None),  # and 18 °C inside
        ("J put 3 M on", None, "J put 3 M on"),  # one of the people, not the key for the same load again
        ("J added 3 M", "3 M", "J"),
        ("will put 3 M on", None, "will put 3 M on"),
        ("don't put 3 M on", None, "don't put 3 M on"),
        ("put the kettle on", None, "put the kettle on"),
        ("put 3 on", None, "put 3 on"),
    ],
)
def test_wood_laid_in_as_it_is_spoken(
    line: str, pieces: str | None, note: str | None, known: Setting
) -> None:
    entry = entry_of(line, known)
    assert (entry.pieces, entry.note) == (pieces, note)
    assert entry.indoor_c == (18.0 if line.endswith("18") else None)


@pytest.mark.parametrize(
    ("line", "out_c", "in_c"),
    [
        ("in about 18, out around -5", -5.0, 18.0),  # once 18 °C in a place called about, and a note
        ("inside is about 18", None, 18.0),
        ("outside is now only -5", -5.0, None),
        ("inside was 18, out still -5", -5.0, 18.0),
        ("in loft 24", None, None),
    ],
)
def test_a_reading_given_as_about(line: str, out_c: float | None, in_c: float | None, known: Setting) -> None:
    got = read_line(line, now=NOW, setting=known)
    assert got.problem is None
    assert got.entry.note is None
    main = [e for e in got.entries if e.place == ""]
    assert next((e.indoor_c for e in main if e.indoor_c is not None), None) == in_c
    assert next((e.outdoor_c for e in main if e.outdoor_c is not None), None) == out_c
