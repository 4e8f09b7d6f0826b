"""Notes of past brews brought in by the command, against the real service."""

from pathlib import Path
from typing import Any

import pytest

from clients.flaky import Flaky
from wortwright_client import Client, command
from wortwright_client.models.setups import Setup
from wortwright_client.notes import importing
from wortwright_client.notes.columns import COLUMNS
from wortwright_client.notes.rows import read_notes

LEAST = """\
date,grain mass,gravity,fermenter volume
2026-03-07,4.9 kg,1.044,21 L
2026-03-21,11 lb,1.047,5.4 US gal
"""
FULL = """\
Date;Beer;Grain (kg);Strike water (L);Pre-boil volume [L];Pre-boil temperature (degC);\
Pre-boil gravity;Boil time (min);Gravity;Fermenter volume (L);Final gravity
2026-04-04;Mild;"Pale ale malt 3.6; Crystal 60 L 250 g";28;26.5;78;1.036;60;1.042;21.5;1.010
"""
WRONG = """\
date,grain,gravity,volume,final gravity
2026-03-07,4.9 kg,1.044,21 L,1.010
7.3.2026,4.9,1.044,21 L,1.010
2026-03-14,4.9 kg,1044,21 stone,
2026-03-21,"4,9 kg",,21 L,1.010
"""


@pytest.fixture
def brews(tmp_path: Path) -> Any:
    """Write a table into a file, and give its name."""

    def write(text: str) -> str:
        path = tmp_path / "brews.csv"
        path.write_text(text, encoding="utf-8-sig")
        return str(path)

    return write


@pytest.fixture
def run(address: str, club_key: str, setup: Setup, monkeypatch: pytest.MonkeyPatch) -> Any:
    """Run the command on the served club."""
    monkeypatch.setenv(command.KEY, club_key)
    monkeypatch.setenv(command.ADDRESS, address)
    return lambda file, *more: command.main(["import", file, "--setup", setup.id, *more])


def stored(club: Client, setup: Setup) -> list[Any]:
    return list(club.list_sessions(setup_id=setup.id, units="metric"))


def test_the_least_record_of_a_brew_becomes_a_closed_session(
    club: Client, setup: Setup, run: Any, brews: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(brews(LEAST)) == 0
    second, first = sorted(stored(club, setup), key=lambda one: one.brewed_at, reverse=True)
    assert first.brewed_at.isoformat() == "2026-03-07T12:00:00+00:00"
    assert (first.state, second.state) == ("closed", "closed")
    assert [(one.name, one.kind, str(one.mass)) for one in first.grist] == [
        ("Grain", "base_malt", "4.9 kg")
    ]
    # 1 lb is 0.45359237 kg, 1 US gal is 3.785411784 L, both by definition.
    assert second.grist[0].mass.value == pytest.approx(11 * 0.45359237)
    (reading,) = second.readings
    assert (reading.stage, str(reading.gravity)) == ("fermenter", "1.047 SG")
    assert reading.volume.value == pytest.approx(5.4 * 3.785411784)
    assert club.get_present_calibration(setup.id).session_count == 2
    told = capsys.readouterr().out
    assert "2 of 2: row 3, 2026-03-21: stored" in told
    assert "Stored 2 brews. The setup has learnt from 2 brews now." in told


def test_a_full_record_is_read_with_the_units_of_its_first_line(
    club: Client, setup: Setup, run: Any, brews: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(brews(FULL)) == 0
    (session,) = stored(club, setup)
    assert [(one.name, str(one.mass)) for one in session.grist] == [
        ("Pale ale malt", "3.6 kg"),
        ("Crystal 60 L", "0.25 kg"),
    ]
    assert str(session.water.strike) == "28 L"
    assert str(session.boil_time) == "60 min"
    assert [one.stage for one in session.readings] == ["pre_boil", "fermenter", "final"]
    pre_boil, _, final = session.readings
    assert (str(pre_boil.volume), str(pre_boil.volume_temperature)) == ("26.5 L", "78 degC")
    assert (str(pre_boil.gravity), str(final.gravity)) == ("1.036 SG", "1.01 SG")
    assert 'Not read: the column "Beer".' in capsys.readouterr().out


NOTED = """\
date,grain,strike water,strike water temperature,mash in temperature,mash end temperature,\
gravity,volume,yeast,stated attenuation,final gravity,packaged volume
2026-03-07,4.9 kg,28 L,70.5 degC,66.2 degC,63.9 degC,1.046,21 L,English ale yeast,72 %,1.011,19.6 L
"""


def test_notes_of_mash_yeast_and_package_teach_what_they_tell(
    club: Client, setup: Setup, run: Any, brews: Any
) -> None:
    assert run(brews(NOTED)) == 0
    (session,) = stored(club, setup)
    assert session.yeast.name == "English ale yeast"
    known = club.get_present_calibration(setup.id)
    told = {one.name for one in known.constants if one.session_count == 1}
    assert told >= {"mash_in_offset", "mash_heat_loss", "fermenter_loss", "attenuation_offset"}
    assert [one.yeast for one in known.attenuation_by_yeast] == ["English ale yeast"]


def test_a_yeast_may_be_named_like_an_amount() -> None:
    named = NOTED.replace("English ale yeast", "77 Bitter Cottage")
    (row,) = read_notes(named.splitlines(), "a setup").rows
    assert row.document["yeast"]["name"] == "77 Bitter Cottage"


def test_a_second_run_adds_nothing(
    club: Client, setup: Setup, run: Any, brews: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    for _ in range(2):
        assert run(brews(LEAST)) == 0
    assert len(stored(club, setup)) == 2
    assert "Stored 0 brews." in capsys.readouterr().out


def test_a_brew_is_known_again_when_its_key_is_long_forgotten(
    club: Client, setup: Setup, flaky: Flaky
) -> None:
    (row, _) = read_notes(LEAST.splitlines(), setup.id).rows
    session = club.create_session(row.document)
    club.add_reading(session.id, {"stage": "final", "gravity": 1.009})
    club.set_session_aside(session.id, reason="The hydrometer was cracked.")
    checked = importing.check(club, setup.id, [row], lambda *_: None)
    assert (checked.new, checked.known, checked.refused) == ((), (row,), ())


def test_two_brews_of_one_day_are_two_and_a_row_written_twice_is_one(
    club: Client, setup: Setup, run: Any, brews: Any
) -> None:
    again = "2026-03-07,4.9 kg,1.046,21 L\n"
    assert run(brews(LEAST + again + again)) == 0
    assert len(stored(club, setup)) == 3


@pytest.mark.parametrize("more", [("--dry-run",), ()])
def test_refused_cells_are_named_with_what_is_accepted_and_nothing_is_stored(
    club: Client,
    setup: Setup,
    run: Any,
    brews: Any,
    capsys: pytest.CaptureFixture[str],
    more: tuple[str, ...],
) -> None:
    assert run(brews(WRONG), *more) == 1
    assert stored(club, setup) == []
    told = capsys.readouterr()
    refused = [line.strip() for line in told.out.partition("Refused:\n")[2].splitlines()]
    where = [line.partition(":")[0] for line in refused]
    assert where == [
        "row 3, date",
        "row 3, grain",
        "row 4, gravity",
        "row 4, volume",
        "row 5, grain",
        "row 5, gravity",
    ]
    date, mass, gravity, volume, comma, empty = refused
    assert "write year, month, day: 2026-03-07" in date
    assert "has no unit; write the number, one space and one of kg" in mass
    assert "1.000 to" in gravity or "accepted" in gravity
    assert "'stone' is not known" in volume
    assert "L, " in volume
    assert "write for example 1.052" in empty
    assert "comma" in comma
    assert "Nothing is stored." in told.err


def test_a_dry_run_stores_nothing(
    club: Client, setup: Setup, run: Any, brews: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(brews(LEAST), "--dry-run") == 0
    assert stored(club, setup) == []
    told = capsys.readouterr().out
    assert "1 of 2: row 2, 2026-03-07: accepted" in told
    assert "Without --dry-run 2 brews would be stored." in told


def test_what_was_cut_off_is_finished_by_the_next_run(
    club: Client, setup: Setup, flaky: Flaky, run: Any, brews: Any
) -> None:
    rows = read_notes(LEAST.splitlines(), setup.id).rows
    storing = importing.store(club, rows, lambda *_: None)
    next(storing)
    storing.close()
    assert run(brews(LEAST)) == 0
    assert len(stored(club, setup)) == 2


def test_a_row_has_a_key_of_its_own_and_always_the_same(
    club: Client, setup: Setup, flaky: Flaky
) -> None:
    keys = []
    for _ in range(2):
        flaky.requests.clear()
        rows = read_notes(LEAST.splitlines(), setup.id).rows
        list(importing.store(club, rows, lambda *_: None))
        keys.append([request.headers["Idempotency-Key"] for request in flaky.requests])
    assert keys[0] == keys[1]
    assert len(set(keys[0])) == 2
    assert len(stored(club, setup)) == 2


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "must also name a column"),
        ("date,grain,gravity\n2026-03-07,4.9 kg,1.044\n", '"fermenter volume" or "volume"'),
        ("date,grain,malt,gravity,volume\n", "names a column twice"),
        ("date,grain,gravity,volume\n\n", "no brew below the first line"),
    ],
)
def test_a_file_that_is_no_table_of_brews_says_what_one_is(
    run: Any, brews: Any, capsys: pytest.CaptureFixture[str], text: str, said: str
) -> None:
    assert run(brews(text)) == 1
    assert said in capsys.readouterr().err


def test_what_keeps_the_command_from_its_work_is_said(
    run: Any,
    brews: Any,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    tmp_path: Path,
) -> None:
    assert run(str(tmp_path / "nowhere.csv")) == 1
    assert "cannot be read: No such file" in capsys.readouterr().err
    (tmp_path / "old.csv").write_bytes("date,grain,gravity,volume,Märzen".encode("latin-1"))
    assert run(str(tmp_path / "old.csv")) == 1
    assert "save it as CSV in UTF-8" in capsys.readouterr().err
    assert run(brews(LEAST), "--setup", "019a0000-0000-7000-8000-000000000001") == 1
    assert "There is no setup 019a0000" in capsys.readouterr().err
    assert run(brews(LEAST), "--setup", "my kettle") == 1
    assert "setup_id" in capsys.readouterr().err
    assert run(brews(LEAST), "--service", "nowhere") == 1
    assert "must start with https://" in capsys.readouterr().err
    monkeypatch.setenv(command.KEY, "ww_club_wrong")
    assert run(brews(LEAST)) == 1
    assert f"Look at {command.KEY}." in capsys.readouterr().err
    monkeypatch.delenv(command.KEY)
    assert run(brews(LEAST)) == 1
    assert f"into {command.KEY}." in capsys.readouterr().err


def test_a_service_that_is_away_is_named(
    brews: Any, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv(command.KEY, "ww_club_any")
    monkeypatch.setattr("wortwright_client._transport.FIRST_WAIT_S", 0.0)
    asked = ["import", brews(LEAST), "--setup", "x", "--service", "http://127.0.0.1:9"]
    assert command.main(asked) == 1
    assert "http://127.0.0.1:9" in (said := capsys.readouterr().err)
    assert "Run this again: what is stored is not stored twice." in said


@pytest.mark.parametrize("arguments", [["import", "x.csv"], [], ["bring"]])
def test_a_command_that_is_written_wrongly_ends_with_two(arguments: list[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        command.main(arguments)
    assert ended.value.code == 2


def test_the_help_names_every_column_and_the_exit_codes(
    capsys: pytest.CaptureFixture[str],
) -> None:
    with pytest.raises(SystemExit) as ended:
        command.main(["import", "--help"])
    assert ended.value.code == 0
    told = capsys.readouterr().out
    for column in COLUMNS:
        assert f'"{column.name}"' in told
    assert "exit code: 0 all is well; 1 something is refused" in told
