"""What was typed in the invented year, and when: every line as an owner writes it, at the cabin's own time.

A letter alone is that key; ``v LIST: words`` is v on that list's page, on the row with the words. ``↵`` at
the end is Enter once more: the app asks, and its first reading is meant.
"""

from __future__ import annotations

FIRST_EVENING = "28\t75\t8\to\t1/4\t\t20 board, 90 batt, 12 board\t0.8 1.6 2.8\t\t\t\t\r"
"""The blanks of the first page, Tab between them; the wanted band and the hours stay as they stand."""

BLANKS = (("I burn mostly", "birch"), ("My wood has", "20"), ("Water", "stands in pipes"))
"""Blanks of the description filled in afterwards: the row's words, and what is typed into it."""

AT_HOME = (
    ("2026-10-17 10:00", "stack birch 2 stere split may 2025 at north wall cost 120 6 h"),
    ("2026-10-17 10:05", "stack spruce 1 stere split may 2026 at shed"),
    ("2026-10-17 10:10", "replaced co alarm until sep 2033"),
    ("2026-10-17 10:11", "replaced smoke alarm until sep 2036"),
    ("2026-10-17 10:20", "3 sep did flue 0 mm by the sweep"),
    ("2026-10-17 10:21", "every 365 days flue or 100 kg says manual p. 14"),
    ("2026-10-17 10:30", "bring mouse traps 2"),
    ("2026-10-22 19:00", "weather fri 0 5 broken"),
    ("2026-10-22 19:01", "weather sat -3 4 clear"),
    ("2026-10-22 19:10", "done packing: somebody knows"),
    ("2026-10-22 19:12", "got mouse traps"),
)
"""Before the first stay: wood put up, printed dates read, packing."""

OCTOBER = (
    ("2026-10-23 17:00", "arrived 2/1"),
    ("2026-10-23 17:02", "droppings under the sink"),
    ("2026-10-23 17:05", "k"),
    ("2026-10-23 17:10", "people K J"),
    ("2026-10-23 17:15", "level water 20 L"),
    ("2026-10-23 17:16", "level lamp oil 1.5 L"),
    ("2026-10-23 17:35", "done arriving: droppings aired"),
    ("2026-10-23 17:40", "2s kindling air 1/1"),
    ("2026-10-23 18:10", "3m air 1/2"),
    ("2026-10-23 18:25", "air 1/4"),
    ("2026-10-23 20:00", "in 14 out 0"),
    ("2026-10-23 20:01", "k"),
    ("2026-10-23 21:30", "2m air 1/2"),
    ("2026-10-23 21:46", "d"),
    ("2026-10-23 22:30", "b"),
    ("2026-10-24 07:00", "w"),
    ("2026-10-24 07:05", "-3/9 coals none"),
    ("2026-10-24 09:30", "ash out behind the shed"),
    ("2026-10-24 10:00", "2s 2m kindling air 1/2"),
    ("2026-10-24 18:00", "3m air 1/2"),
    ("2026-10-24 18:20", "d"),
    ("2026-10-24 20:00", "in 21 out -1 rh 60%"),
    ("2026-10-24 22:30", "b"),
    ("2026-10-25 07:30", "w"),
    ("2026-10-25 07:32", "-2/11 coals none"),
    ("2026-10-25 12:00", "level water 8 L"),
    ("2026-10-25 12:01", "level lamp oil 1.2 L"),
    ("2026-10-25 12:10", "v leaving: felt cold"),
    ("2026-10-25 12:12", "skip leaving: roof vent"),
    ("2026-10-25 12:15", "bring lamp oil 0.5 L"),
    ("2026-10-25 12:20", "guest book: Mice had the sink, we had the rest."),
    ("2026-10-25 12:30", "left in 12 out 4"),
)
"""The clocks go back in its second night."""

NOVEMBER = (
    ("2026-11-13 18:00", "arrived 0/2 ↵"),
    ("2026-11-13 18:02", "k"),
    ("2026-11-13 18:05", "ash tipped behind the shed"),
    ("2026-11-13 18:06", "v arriving: roof vent"),
    ("2026-11-13 18:20", "2s 1m kindling air 1/1"),
    ("2026-11-13 19:00", "3m air 1/2"),
    ("2026-11-13 19:20", "d"),
    ("2026-11-13 20:30", "in 15 out -2"),
    ("2026-11-13 20:31", "k"),
    ("2026-11-13 22:30", "b"),
    ("2026-11-14 07:00", "w"),
    ("2026-11-14 07:01", "-5/8"),
    ("2026-11-14 09:00", "did rodents steel wool under the sink"),
    ("2026-11-14 10:00", "meter birch 18 19 22% dry fresh"),
    ("2026-11-14 17:00", "2s 3m kindling air 1/2"),
    ("2026-11-14 17:20", "d"),
    ("2026-11-14 22:30", "b"),
    ("2026-11-15 07:00", "w"),
    ("2026-11-15 07:01", "-4/9"),
    ("2026-11-15 12:00", "left in 10 out 0"),
)

NEW_YEAR = (
    ("2026-12-30 15:00", "arrived out -8 in -4"),
    ("2026-12-30 15:02", "k"),
    ("2026-12-30 15:10", "people K J A"),
    ("2026-12-30 15:20", "brought water 30 L"),
    ("2026-12-30 15:22", "level water 34 L"),
    ("2026-12-30 15:30", "2s kindling air 1/1"),
    ("2026-12-30 15:50", "4m air 1/2"),
    ("2026-12-30 16:10", "d"),
    ("2026-12-30 18:00", "in 13 out -10"),
    ("2026-12-30 18:01", "k"),
    ("2026-12-30 20:00", "j"),
    ("2026-12-30 20:20", "d"),
    ("2026-12-30 22:30", "b"),
    ("2026-12-31 07:30", "w"),
    ("2026-12-31 07:31", "-14/6 coals few"),
    ("2026-12-31 08:00", "3m air 1/2"),
    ("2026-12-31 16:00", "4m air 1/2"),
    ("2026-12-31 16:20", "d"),
    ("2026-12-31 23:55", "2m air 1/2"),
    ("2027-01-01 00:15", "d"),
    ("2027-01-01 00:30", "b"),
    ("2027-01-01 09:00", "w"),
    ("2027-01-01 09:01", "-16/7"),
    ("2027-01-01 10:00", "ash out behind the shed"),
    ("2027-01-01 10:30", "2s 3m kindling air 1/2"),
    ("2027-01-01 17:00", "4m air 1/2"),
    ("2027-01-01 17:20", "d"),
    ("2027-01-01 22:30", "b"),
    ("2027-01-02 07:30", "w"),
    ("2027-01-02 07:31", "-12/5"),
    ("2027-01-02 11:00", "level water 7 L"),
    ("2027-01-02 11:10", "guest book: Rockets seen from the lake, none from here."),
    ("2027-01-02 11:30", "left in 9 out -9"),
)
"""Three nights, the year turns in the second."""

JANUARY = (
    ("2027-01-15 18:00", "arrived out -6 in -3"),
    ("2027-01-15 18:02", "k"),
    ("2027-01-15 18:03", "people K J"),
    ("2027-01-15 18:04", "purpose skirting"),
    ("2027-01-15 18:20", "2s 2m kindling air 1/1"),
    ("2027-01-15 18:40", "3m air 1/2"),
    ("2027-01-15 19:00", "d"),
    ("2027-01-15 22:30", "b"),
    ("2027-01-16 07:00", "w"),
    ("2027-01-16 07:01", "-9/4"),
    ("2027-01-16 07:30", "2s 3m kindling air 1/2"),
    ("2027-01-16 16:00", "work skirting done ↵"),
    ("2027-01-16 16:05", "cost skirting 240 31 h on floor"),
    ("2027-01-16 17:00", "4m air 1/2"),
    ("2027-01-16 17:20", "d"),
    ("2027-01-16 22:30", "b"),
    ("2027-01-17 07:00", "w"),
    ("2027-01-17 07:01", "-10/6"),
    ("2027-01-17 13:00", "left in 8 out -7"),
)

FEBRUARY = (
    ("2027-02-12 17:00", "arrived out -4 in -2"),
    ("2027-02-12 17:01", "k"),
    ("2027-02-12 17:02", "people K J A B"),
    ("2027-02-12 17:10", "ash tipped behind the shed"),
    ("2027-02-12 17:20", "2s 2m kindling air 1/1"),
    ("2027-02-12 17:40", "4m air 1/2"),
    ("2027-02-12 18:00", "d"),
    ("2027-02-12 19:30", "in 15 out -6"),
    ("2027-02-12 19:31", "k"),
    ("2027-02-12 22:30", "b"),
    ("2027-02-13 07:00", "w"),
    ("2027-02-13 07:01", "-8/7"),
    ("2027-02-13 16:00", "2s 4m kindling air 1/2"),
    ("2027-02-13 16:20", "d"),
    ("2027-02-13 21:00", "frost on the north window"),
    ("2027-02-13 22:30", "b"),
    ("2027-02-14 07:00", "w"),
    ("2027-02-14 07:01", "-7/8"),
    ("2027-02-14 11:00", "guest book: A and B slept like bears."),
    ("2027-02-14 12:00", "left in 11 out -3"),
)
"""Two guests."""

MARCH = (
    ("2027-03-26 17:00", "arrived out 3 in 4"),
    ("2027-03-26 17:01", "k"),
    ("2027-03-26 17:02", "people K J"),
    ("2027-03-26 17:30", "2s 2m kindling air 1/1"),
    ("2027-03-26 18:00", "2m air 1/2"),
    ("2027-03-26 18:20", "d"),
    ("2027-03-26 20:00", "in 16 out 1"),
    ("2027-03-26 22:30", "b"),
    ("2027-03-27 07:00", "w"),
    ("2027-03-27 07:01", "-1/11 coals none"),
    ("2027-03-27 10:00", "swept flue 2 mm by K photo flue.jpg"),
    ("2027-03-27 11:00", "did gutters"),
    ("2027-03-27 11:30", "v spring: Gutters cleared"),
    ("2027-03-27 12:00", "count birch 0.9 stere"),
    ("2027-03-27 18:00", "2s 2m kindling air 1/2"),
    ("2027-03-27 18:20", "d"),
    ("2027-03-27 22:30", "b"),
    ("2027-03-28 07:30", "w"),
    ("2027-03-28 07:31", "0/12"),
    ("2027-03-28 10:00", "weather was 27 mar -1 8 clear"),
    ("2027-03-28 12:00", "left in 13 out 7"),
)
"""Spring opening; the clocks go forward in its second night."""

MAY = (
    ("2027-05-07 18:00", "arrived 12/13"),
    ("2027-05-07 18:01", "k"),
    ("2027-05-08 10:00", "looked at flue 0 mm"),
    ("2027-05-08 10:30", "looked at posts sound"),
    ("2027-05-08 10:40", "did extinguisher service by the dealer"),
    ("2027-05-08 11:00", "checked roof"),
    ("2027-05-08 14:00", "stack birch new 1.5 stere split may 2027 at south wall"),
    ("2027-05-09 15:00", "left in 15 out 14"),
)
"""Inspection."""

STAYS = (OCTOBER, NOVEMBER, NEW_YEAR, JANUARY, FEBRUARY, MARCH, MAY)

LOOKED_AT = (
    "2026-10-23 17:02",  # in the door, alarms not tested
    "2026-10-23 17:05",  # tested at 1 °C
    "2026-10-23 20:00",  # 14 °C read
    "2026-10-23 20:01",  # tested again
    "2026-10-24 18:00",  # a load with the air half open
)
"""After the lines of these times the screen is looked at."""

FIRST_SUGGESTION = "2026-10-23 20:01"
"""When page Tonight is turned to."""
