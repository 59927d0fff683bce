"""Commands as they are typed: exit codes, stderr, words in any order, nothing lost."""

from __future__ import annotations

import json
import os
import shlex
import subprocess
import sys
from datetime import UTC, datetime, time
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from small_cabin import AS_OF, DESCRIPTION, ROWS, cabin

from logbook.cli import main
from logbook.cli.arguments import band, clock_time, moment, parser, sorted_words
from logbook.errors import BadInputError
from logbook.heat import fit

__all__ = ["cabin"]

ZONE = ZoneInfo("Etc/GMT-1")


def run(folder: Path, *words: str) -> int:
    return main(["--log", str(folder / "log.db"), *words])


@pytest.fixture
def log(cabin: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    """The folder of a log with its description and two stays."""
    assert run(cabin, "setup", str(cabin / "cabin.toml")) == 0
    assert run(cabin, "import", str(cabin / "rows.csv")) == 0
    capsys.readouterr()
    return cabin


def said(capsys: pytest.CaptureFixture[str]) -> tuple[str, str]:
    got = capsys.readouterr()
    return got.out, got.err


def answered(capsys: pytest.CaptureFixture[str]) -> dict:
    return json.loads(capsys.readouterr().out)


# Words and flags

SORTED = [  # as typed, as the parser gets them
    (["note", "-12/18", "4.2kg"], ["note", "--", "-12/18", "4.2kg"]),
    (["note", "-12/18", "--json"], ["--json", "note", "--", "-12/18"]),
    (["note", "--yes", "-12/18"], ["note", "--yes", "--", "-12/18"]),
    (["note", "-12/18", "--log", "a.db", "--yes"], ["--log", "a.db", "note", "--yes", "--", "-12/18"]),
    (["tonight", "--log=a.db", "--night-low", "-9"], ["--log=a.db", "tonight", "--night-low", "-9"]),
    (["--json", "fit"], ["--json", "fit"]),
    (["fit", "--json"], ["--json", "fit"]),
    (["edit", "ab12", "-3/4"], ["edit", "--", "ab12", "-3/4"]),
    ([], []),
]


@pytest.mark.parametrize(("typed", "expected"), SORTED)
def test_words_may_stand_before_or_after_and_begin_with_a_minus(typed, expected):
    assert sorted_words(typed) == expected


def test_a_line_that_begins_with_a_minus_is_kept(log, capsys):
    assert run(log, "note", "-12/18", "2kg", "--json") == 0
    assert "out −12 °C, in 18.0 °C" in answered(capsys)["sentence"]


def test_every_command_has_help():
    """Every command of the contract that exists so far, and no other."""
    (choices,) = [a.choices for a in parser()._actions if a.dest == "command"]
    assert set(choices) == {
        "setup", "note", "events", "edit", "remove", "undo", "redo", "change", "import", "fit", "tonight",
        "nights", "export", "backup", "restore", "merge", "conflicts", "check", "salvage", "demo",
        "compare", "whatif", "experiment", "arrive", "leave", "woke", "plain",
        "due", "bring", "stays", "weather", "damp",
        "list", "wood", "sheet", "report", "completion", "manual", "licences",
    }  # fmt: skip
    for command in choices.values():
        for action in command._actions:
            assert action.help, f"{command.prog} {action.dest}"


MOMENTS = [
    ("2026-01-16T21:40", datetime(2026, 1, 16, 20, 40, tzinfo=UTC), "no offset: the site's own time"),
    ("2026-01-16 21:40", datetime(2026, 1, 16, 20, 40, tzinfo=UTC), "with a space"),
    ("2026-01-16T21:40+05:00", datetime(2026, 1, 16, 16, 40, tzinfo=UTC), "its own offset"),
    ("2026-01-16T20:40Z", datetime(2026, 1, 16, 20, 40, tzinfo=UTC), "UTC"),
    ("2026-01-16", datetime(2026, 1, 15, 23, 0, tzinfo=UTC), "a date is its midnight"),
]


@pytest.mark.parametrize(("text", "expected", "why"), MOMENTS)
def test_times(text, expected, why):
    assert moment(text, zone=ZONE) == expected, why


@pytest.mark.parametrize(
    ("read", "text"),
    [
        (clock_time, "25:10"),
        (clock_time, "half ten"),
        (band, "22-16"),
        (band, "16"),
        (band, "warm"),
        (lambda text: moment(text, zone=ZONE), "yesterday"),
    ],
)
def test_what_cannot_be_read_says_what_to_write(read, text):
    with pytest.raises(BadInputError) as refused:
        read(text)
    wrong, what_to_do = str(refused.value).split("\n")
    assert wrong
    assert "Write" in what_to_do


def test_bands_and_clock_times():
    assert band("16-22") == (16.0, 22.0)
    assert band("15.5-21") == (15.5, 21.0)
    assert band("-2-10") == (-2.0, 10.0)
    assert clock_time("22:30") == time(22, 30)


# Exit codes


def test_a_log_that_is_not_there_is_refused_with_what_to_do(cabin, capsys):
    assert run(cabin, "tonight") == 1
    out, err = said(capsys)
    assert out == ""
    assert "setup --example" in err
    assert not (cabin / "log.db").exists(), "asking makes no file"


def test_a_log_without_a_description_is_refused(cabin, capsys):
    assert run(cabin, "note", "in 18") == 0
    assert run(cabin, "tonight") == 1
    assert run(cabin, "fit") == 1
    assert "description" in said(capsys)[1]


def test_a_file_that_is_no_log(cabin, capsys):
    (cabin / "log.db").write_text(
        "not a log at all, just some words that are long enough" * 40, encoding="utf-8"
    )
    assert run(cabin, "tonight") == 3
    assert "not one of this program's logs" in said(capsys)[1]


BAD = [  # words, what the error says
    (["tonigt"], "tonigt"),
    (["note", "in 99"], "99"),
    (["note", ""], "nothing to keep"),
    (["tonight", "--band", "22-16"], "22"),
    (["tonight", "--bed", "25:00"], "25:00"),
    (["tonight", "--night-low", "-99"], "-99"),
    (["tonight", "--night-low", "cold"], "cold"),
    (["tonight", "--try", "dance"], "dance"),
    (["tonight", "--try", "no fire; load 2kg"], "no fire"),
    (["tonight", "--as-of", "now"], "now"),
    (["tonight", "--outdoor", "missing.csv"], "missing.csv"),
    (["setup"], "No description file"),
    (["setup", "missing.toml"], "missing.toml"),
    (["import", "missing.csv"], "missing.csv"),
    (["remove", "zzzz"], "zzzz"),
    (["edit", "zzzz", "in 18"], "zzzz"),
]


@pytest.mark.parametrize(("words", "names"), BAD, ids=lambda x: " ".join(x) if isinstance(x, list) else "")
def test_bad_input_is_2_and_says_what(log, capsys, words, names):
    before = (log / "log.db").read_bytes()
    assert run(log, *words) == 2
    out, err = said(capsys)
    assert out == ""
    assert names in err
    assert len(err.strip().split("\n")) >= 2, "what is wrong, then what to do"
    assert (log / "log.db").read_bytes() == before


def test_a_description_without_volume_is_refused(cabin, capsys):
    (cabin / "bad.toml").write_text(DESCRIPTION.replace("volume_m3 = 60", ""), encoding="utf-8")
    assert run(cabin, "setup", str(cabin / "bad.toml")) == 2
    assert "volume_m3" in said(capsys)[1]


def test_what_would_be_asked_is_refused_unless_yes(log, capsys):
    """A load above the limit: asked about when typed, kept all the same when it is confirmed."""
    assert run(log, "note", "8.6kg") == 2
    assert "8.6 kg" in said(capsys)[1]
    assert run(log, "note", "8.6kg", "--yes", "--json") == 0
    kept = answered(capsys)
    assert "8.6 kg" in kept["sentence"]
    assert kept["warnings"]


# Into the log and back


def test_setup_makes_a_log_and_says_what_is_assumed(cabin, capsys):
    short = "[cabin]\nfloor_m2 = 24\nvolume_m3 = 60\n[stove]\nmax_load_kg = 8\n"
    (cabin / "short.toml").write_text(short, encoding="utf-8")
    assert run(cabin, "setup", str(cabin / "short.toml")) == 0
    out = said(capsys)[0]
    assert "clean_floor_open_pct" in out
    assert "timezone" in out
    assert run(cabin, "tonight", "--night-low", "-5", "--json") == 0
    got = answered(capsys)
    assert got["from_description_only"]
    assert any("least clean air is assumed" in c for c in got["cautions"])


def test_setup_again_adds_a_version_from_a_date(log, capsys):
    (log / "new.toml").write_text(DESCRIPTION.replace("max_load_kg = 8", "max_load_kg = 7"), encoding="utf-8")
    assert run(log, "setup", str(log / "new.toml"), "--from", "2026-01-15") == 0
    assert "max_load_kg 8 -> 7" in said(capsys)[0]
    assert run(log, "setup", str(log / "new.toml")) == 0
    assert "nothing was added" in said(capsys)[0]
    loads = {}
    for at in ("2026-01-14T21:40", AS_OF):
        assert run(log, "tonight", "--as-of", at, "--json", "--try", "load 7.5kg air 50%") == 0
        loads[at] = answered(capsys)["choices"][0]["cautions"]
    assert not any("over your stove's limit" in c for c in loads["2026-01-14T21:40"])
    assert any("over your stove's limit" in c for c in loads[AS_OF])


def test_the_example_is_a_description(cabin, capsys):
    assert run(cabin, "setup", "--example") == 0
    (cabin / "example.toml").write_text(said(capsys)[0], encoding="utf-8")
    assert run(cabin, "setup", str(cabin / "example.toml")) == 0


def test_import_says_what_went_in_and_refuses_by_line(cabin, capsys):
    assert run(cabin, "setup", str(cabin / "cabin.toml")) == 0
    (cabin / "bad.csv").write_text(ROWS + "2026-01-17T08:00,,warm,,,,,,,\n", encoding="utf-8")
    capsys.readouterr()
    assert run(cabin, "import", str(cabin / "bad.csv"), "--strict") == 2
    assert "18" in said(capsys)[1]
    assert run(cabin, "import", str(cabin / "bad.csv"), "--preview", "--json") == 0
    assert answered(capsys)["added"] == 16
    assert run(cabin, "import", str(cabin / "bad.csv"), "--json") == 0
    got = capsys.readouterr()
    assert "line 18" in got.err
    assert json.loads(got.out)["added"] == 16


def test_the_same_import_twice_adds_nothing_and_says_so(log, capsys):
    assert run(log, "import", str(log / "rows.csv")) == 0
    assert "Nothing new" in said(capsys)[0]


def test_edit_remove_undo_redo(log, capsys):
    assert run(log, "note", "in 18", "--json") == 0
    (first,) = answered(capsys)["ids"]
    assert run(log, "edit", first[:8], "in 19", "--json") == 0
    assert "19.0" in answered(capsys)["sentence"]
    assert run(log, "remove", first[:8]) == 0
    assert run(log, "undo") == 0
    assert "19.0" in said(capsys)[0].splitlines()[-1]
    assert run(log, "redo") == 0
    assert run(log, "undo") == 0
    assert run(log, "undo") == 0
    capsys.readouterr()
    assert run(log, "events", "--json") == 0
    assert answered(capsys)["events"][-1]["entry"]["indoor_c"] == 18.0


def test_undo_takes_a_whole_import_back(log, capsys):
    assert run(log, "undo") == 0
    assert "16 entries" in said(capsys)[0]
    assert run(log, "events", "--json") == 0
    assert answered(capsys)["events"] == []


def test_events_since(log, capsys):
    assert run(log, "events", "--since", "2026-01-16", "--json") == 0
    got = answered(capsys)["events"]
    assert len(got) == 6
    assert got[0]["at"] == "2026-01-16T16:00:00+01:00"


def test_change_is_a_dated_entry(log, capsys):
    assert run(log, "change", "skirting", "--from", "2026-01-12", "--json") == 0
    assert "skirting" in answered(capsys)["sentence"]
    assert run(log, "change", "skirting", "--from", "2999-01-12") == 2


def test_copies_and_other_logs(log, capsys):
    assert run(log, "backup", str(log / "copies"), "--json") == 0
    capsys.readouterr()
    (copy,) = (log / "copies").iterdir()
    assert run(log, "note", "in 18") == 0
    assert run(log, "restore", str(copy)) == 0
    capsys.readouterr()
    assert run(log, "events", "--json") == 0
    assert len(answered(capsys)["events"]) == 16
    assert main(["--log", str(log / "other.db"), "merge", str(log / "log.db"), "--json"]) == 0
    assert run(log, "export", str(log / "open")) == 0
    assert (log / "open" / "notebook.csv").is_file()
    capsys.readouterr()
    assert run(log, "check", "--json") == 0
    assert answered(capsys)["sound"] is True


def test_restore_without_a_name_lists_the_copies_even_of_a_ruined_log(log, capsys):
    # What every word about a damaged log leads to: which copies are there, and how the newest comes back.
    assert run(log, "restore") == 3
    nothing = capsys.readouterr().err
    assert "No copy of" in nothing
    assert "nightload salvage" in nothing
    assert run(log, "backup") == 0
    (copy,) = (log / "log copies").iterdir()
    capsys.readouterr()
    torn = copy.with_name("log 2099-01-01 0100.db")
    torn.write_bytes(b"torn" * 2000)
    (log / "log.db").write_bytes(b"ruined" * 2000)
    assert run(log, "check") == 3
    assert "nightload restore lists its copies" in capsys.readouterr().err
    assert run(log, "restore") == 0
    said = capsys.readouterr().out
    assert "not readable" in said
    assert said.index(torn.name) < said.index(copy.name), "newest first"
    assert f"nightload restore {shlex.quote(str(copy))}" in said, (
        "the newest that can be read, as a shell takes it"
    )
    assert run(log, "restore", "--json") == 0
    rows = answered(capsys)["copies"]
    assert [(row["path"], row["events"] is None) for row in rows] == [(str(torn), True), (str(copy), False)]
    assert (log / "log.db").read_bytes() == b"ruined" * 2000, "only looked at"
    assert run(log, "restore", str(copy)) == 0
    assert run(log, "check") == 0


def test_the_same_line_twice_is_kept_and_said_to_stand_there_twice(log, capsys):
    # A line copied from paper again: nothing said so, and twice the wood seemed to burn.
    line = "2026-01-12 18:00 -5/15 4kg air 1/2"
    assert run(log, "note", line) == 0
    assert "already" not in capsys.readouterr().out
    assert run(log, "note", line) == 0
    assert (
        "The same stood there already and counts twice now: undo takes this one back"
        in capsys.readouterr().out
    )
    assert run(log, "undo") == 0
    assert run(log, "note", "2026-01-12 18:00 -5/15 4.1kg air 1/2") == 0
    assert "already" not in capsys.readouterr().out
    assert run(log, "note", "2026-01-12 18:00 fire out") == 0
    assert run(log, "note", "2026-01-12 18:00 fire out") == 0
    assert "already" not in capsys.readouterr().out, "said twice it is no more out"


def test_a_log_named_by_the_environment(log, capsys, monkeypatch):
    monkeypatch.setenv("NIGHTLOAD_LOG", str(log / "log.db"))
    assert main(["events", "--json"]) == 0
    assert len(answered(capsys)["events"]) == 16


# Answers


def test_tonight_begins_with_what_to_do(log, capsys):
    """An alarm not tested stands before it: the first line of any advice."""
    assert run(log, "tonight", "--as-of", AS_OF) == 0
    assert said(capsys)[0].startswith("! Alarms not tested")
    assert run(log, "note", f"{AS_OF.replace('T', ' ')} alarms ok") == 0
    said(capsys)
    assert run(log, "tonight", "--as-of", AS_OF) == 0
    out = said(capsys)[0]
    rows = out.splitlines()
    assert "°C" in rows[0]
    assert "Alarms not tested" not in out
    assert "No more wood" in out
    assert "┤" in out, "the plain chart"
    assert max(len(row) for row in rows) <= 120


def test_nothing_that_comes_after_counts(log, capsys):
    """``--as-of``: later records don't exist, so adding them changes nothing, not in the last digit."""
    assert run(log, "tonight", "--as-of", "2026-01-10T21:00", "--json") == 0
    before = capsys.readouterr().out
    assert run(log, "note", "in 18", "alarms ok") == 0
    capsys.readouterr()
    assert run(log, "tonight", "--as-of", "2026-01-10T21:00", "--json") == 0
    assert capsys.readouterr().out == before


def test_the_same_log_gives_the_same_answer_without_its_cache(log, capsys, monkeypatch):
    assert run(log, "tonight", "--as-of", AS_OF, "--json") == 0
    first = capsys.readouterr().out
    assert run(log, "tonight", "--as-of", AS_OF, "--json") == 0
    assert capsys.readouterr().out == first
    monkeypatch.setenv("XDG_CACHE_HOME", str(log / "another cache"))
    assert run(log, "tonight", "--as-of", AS_OF, "--json") == 0
    assert capsys.readouterr().out == first


def test_the_low_logged_in_the_evening_is_taken_and_the_flag_goes_before_it(log, capsys):
    waking = {}
    for flags in ((), ("--night-low", "-10"), ("--night-low", "0")):
        assert run(log, "tonight", "--as-of", AS_OF, "--json", "--try", "no fire", *flags) == 0
        waking[flags] = answered(capsys)["choices"][0]["indoor_at_wake_c"]["p50"]
    assert waking[()] == waking[("--night-low", "-10")], "−10 was logged at 21:30"
    assert waking[("--night-low", "0")] > waking[()] + 1


def test_outdoor_temperatures_from_a_file_go_before_the_low(log, capsys):
    rows = "".join(f"2026-01-{16 + h // 24}T{h % 24:02d}:00,8.0\n" for h in range(21, 32))
    (log / "ahead.csv").write_text("at,outdoor_c\n" + rows, encoding="utf-8")
    mild = ("--outdoor", str(log / "ahead.csv"), "--night-low", "-20")
    assert run(log, "tonight", "--as-of", AS_OF, "--json", "--try", "no fire", *mild) == 0
    with_file = answered(capsys)["choices"][0]["indoor_at_wake_c"]["p50"]
    assert run(log, "tonight", "--as-of", AS_OF, "--json", "--try", "no fire", "--night-low", "-20") == 0
    assert with_file > answered(capsys)["choices"][0]["indoor_at_wake_c"]["p50"] + 3


def test_bed_wake_and_band_can_be_given(log, capsys):
    words = ("--bed", "23:15", "--wake", "07:45", "--band", "14-18", "--json")
    assert run(log, "tonight", "--as-of", AS_OF, *words) == 0
    got = answered(capsys)
    assert (got["bed"], got["wake"]) == ("2026-01-16T23:15:00+01:00", "2026-01-17T07:45:00+01:00")
    assert got["band_c"] == [14.0, 18.0]


def test_getting_up_changes_the_first_choice_only_when_it_is_said(log, capsys):
    late = {}
    for word in ("yes", "no"):
        assert run(log, "tonight", "--as-of", AS_OF, "--get-up", word, "--night-low", "-18", "--json") == 0
        first = answered(capsys)["choices"][0]
        late[word] = any(load["at"] > "2026-01-16T23:30" for load in first["loads"])
    assert not late["no"]


def test_a_plan_is_forecast_as_given_with_its_caution(log, capsys):
    """What an owner would do is forecast, advised or not, with the caution and without preaching."""
    assert run(log, "tonight", "--as-of", AS_OF, "--json", "--try", "load 8kg air 60%; 22:40 air 10%") == 0
    (choice,) = answered(capsys)["choices"]
    (load,) = choice["loads"]
    assert (load["kg"], load["air_open_pct"], choice["air_open_pct"]) == (8.0, 60.0, 10.0)
    assert any("less than the least clean air" in c for c in choice["cautions"])


def test_with_nothing_on_record_for_a_day_it_plans_an_arrival(log, capsys):
    assert run(log, "tonight", "--as-of", "2026-01-30T12:00", "--night-low", "-5", "--json") == 0
    got = answered(capsys)
    assert any("arriving at 17:30" in a for a in got["assumed"])
    assert got["choices"][0]["hours"][0] == "2026-01-30T17:30:00+01:00"


def test_fit_and_nights_in_words(log, capsys):
    assert run(log, "fit", "--as-of", AS_OF) == 0
    assert "W per °C" in said(capsys)[0]
    assert run(log, "nights", "--as-of", AS_OF) == 0
    out = said(capsys)[0]
    assert "1 night told beforehand" in out
    assert "Fri 9 Jan 2026: 2.8 kg" in out


@pytest.mark.parametrize("columns", [60, 80, 120])
def test_nights_fit_the_terminal_and_lose_no_word(log, capsys, monkeypatch, columns):
    monkeypatch.setenv("COLUMNS", str(columns))
    assert run(log, "nights", "--as-of", AS_OF) == 0
    out = said(capsys)[0]
    assert max(map(len, out.splitlines())) <= columns
    assert "Said" in out
    monkeypatch.setenv("COLUMNS", "500")
    assert run(log, "nights", "--as-of", AS_OF) == 0
    assert out.split() == said(capsys)[0].split()


def test_nights_a_second_time_comes_from_the_cache(log, capsys, monkeypatch):
    assert run(log, "nights", "--as-of", AS_OF, "--json") == 0
    first = capsys.readouterr().out
    monkeypatch.setattr(fit, "learn", lambda **_: pytest.fail("learned again"))
    assert run(log, "nights", "--as-of", AS_OF, "--json") == 0
    assert capsys.readouterr().out == first


def test_without_a_terminal_the_bare_command_prints_help(cabin, capsys):
    assert main([]) == 0
    assert "usage: nightload" in said(capsys)[0]


def test_the_demo_is_written_and_answers_for_its_own_evening(cabin, capsys):
    assert main(["demo", "--write", str(cabin / "demo.db"), "--json"]) == 0
    at = answered(capsys)["as_of"]
    assert main(["demo", "--write", str(cabin / "demo.db")]) == 3, "never over a file"
    assert main(["--log", str(cabin / "demo.db"), "events", "--since", at, "--json"]) == 0
    assert main(["demo", "--tonight"]) == 0
    assert "its own last evening" in said(capsys)[0]


# The program as it is installed


def outside(folder: Path, *words: str, **more: str) -> subprocess.CompletedProcess[str]:
    places = {"XDG_DATA_HOME": str(folder / "data"), "XDG_CACHE_HOME": str(folder / "cache")}
    env = {**os.environ, **places, **more}
    return subprocess.run(
        [sys.executable, "-m", "logbook", *words],
        env=env,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )


def test_the_module_runs_and_leaves_with_its_exit_code(log):
    good = outside(log, "note", "-12/18", "--log", str(log / "log.db"))
    bad = outside(log, "note", "in 99", "--log", str(log / "log.db"))
    assert (good.returncode, bad.returncode) == (0, 2)
    assert bad.stdout == ""
    assert "Traceback" not in bad.stderr


def test_a_terminal_that_can_not_show_a_sign_gets_the_rest(log):
    got = outside(log, "note", "-12/18", "--log", str(log / "log.db"), PYTHONIOENCODING="ascii")
    assert (got.returncode, got.stderr) == (0, "")
    assert "out -12 C" in got.stdout


def test_a_reader_that_goes_away_is_no_error(log):
    command = shlex.join([sys.executable, "-m", "logbook", "--log", str(log / "log.db"), "events"])
    words = f"{command} | head -c 1"
    got = subprocess.run(
        ["bash", "-c", f"set -o pipefail; {words}"], capture_output=True, text=True, check=False
    )
    assert got.stderr == ""


def test_tonight_loads_nothing_it_does_not_need(log):
    """Within a second, warm: tables, screens and the chart's library stay out of the JSON answer."""
    code = (
        "import sys, logbook.cli as c\n"
        f"rc = c.main(['--log', {str(log / 'log.db')!r}, 'tonight', '--as-of', '{AS_OF}', '--json'])\n"
        "heavy = {'pandas', 'sqlite_utils', 'textual', 'plotext', 'scipy', 'rich'} & set(sys.modules)\n"
        "print(sorted(heavy), file=sys.stderr); sys.exit(rc)"
    )
    got = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert (got.returncode, got.stderr.strip()) == (0, "[]")
