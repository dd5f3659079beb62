"""Is it closing? A record of some weeks, as a coach keeps it, to a verdict."""

import csv
import io
import json

import pytest

from typed import WHO, one_line, run

RACE = ["--event", "100 free", "--time", "1:02.40"]
HEAD = "date,swimmer,kind,stroke,how,set,order,distance (m),time (s),drop (deg),drop sd (deg),side,note\n"
CLOSING = [(1, 4.3), (8, 3.9), (15, 3.6), (22, 3.5), (29, 2.9), (36, 2.6), (43, 2.4), (50, 1.9)]


def drop_row(after, drop, name="Anna", sd="0.5", side="both"):
    month, day = (9, after) if after <= 30 else (10, after - 30)
    return f"2026-{month:02}-{day:02},{name},drop,crawl,every-2,,,,,{drop},{sd},{side},\n"


@pytest.fixture
def record(tmp_path):
    path = tmp_path / "squad.csv"
    rows = [drop_row(*row) for row in CLOSING] + [drop_row(after, 4.0, "Mia") for after in (1, 8)]
    path.write_text(HEAD + "".join(rows), encoding="utf-8")
    return path


def ask(record, *args):
    return run("progress", record.name, *args, cwd=record.parent)


def words(record, *args):
    done = ask(record, *args)
    assert done.returncode == 0, done.stderr.decode()
    return " ".join(done.stdout.decode().split())


def tree(record, *args):
    done = ask(record, *args, "--json")
    assert done.returncode == 0, done.stderr.decode()
    return json.loads(done.stdout)


def test_closing(record):
    text = words(record, "--name", "Anna", *RACE)
    assert "Anna: 8 days over 7 weeks, by the hip drop: Closing: the drop is smaller," in text
    for label in ("Each week", "Worth ", "Worthwhile", "Doubt", "Made by"):
        assert label in text
    assert "over the 100 m freestyle" in text and "s faster (95 % range" in text
    found = tree(record, "--name", "Anna", *RACE)
    assert found["sessions"] == 8 and found["by_film"] is True
    assert found["per_week_deg"]["low"] < found["per_week_deg"]["median"] < found["per_week_deg"]["high"] < 0
    assert found["change_deg"]["median"] == pytest.approx(7 * found["per_week_deg"]["median"])
    assert found["change_s"]["median"] < 0
    assert found["closing"] > 0.95
    assert 0 < found["worthwhile"] < 1
    assert found["smallest_worthwhile_s"] == pytest.approx(0.004 * 62.4)
    assert isinstance(found["cautions"], list) and found["verdict"].startswith("Closing: ")
    assert [day["date"] for day in found["levels"]][:2] == ["2026-09-01", "2026-09-08"]
    assert found["swimmer"]["name"] == "Anna"


def test_a_price_is_that_of_cost(record):
    """The change in seconds is the change in degrees times what `cost` says a degree is worth."""
    found = tree(record, "--name", "Anna", *RACE, *WHO)
    mean = sum(drop for _, drop in CLOSING) / len(CLOSING)
    cost = json.loads(run("cost", *RACE, *WHO, "--hip-drop", f"{mean}deg", "--json").stdout)["events"][0]
    each = cost["per_degree_s"]["median"]
    assert found["change_s"]["median"] == pytest.approx(each * found["change_deg"]["median"], rel=0.1)


def test_without_a_race_nothing_is_priced(record):
    found = tree(record, "--name", "Anna")
    assert found["change_s"] is None and found["worthwhile"] is None
    assert any("time to know what it is worth" in note for note in found["notes"])
    assert "Worth " not in words(record, "--name", "Anna")


def test_two_days_are_not_settled(record):
    text = words(record, "--name", "mia")
    assert "Mia: 2 days over 1 week" in text and "Not settled:" in text


def test_by_the_watch(record):
    rows = []
    for day, extra in ((2, 0.3), (9, 0.2), (16, 0.1)):
        for order, how in enumerate(["snorkel", "every-2", "every-2", "snorkel"], 1):
            time = 14.4 + 0.05 * (order % 2) + (extra if how == "every-2" else 0)
            rows.append(f"2026-09-{day:02},Lea,swim,crawl,{how},1,{order},25,{time:.2f},,,,\n")
    record.write_text(HEAD + "".join(rows), encoding="utf-8")
    found = tree(record, "--name", "Lea", *RACE)
    assert found["by_film"] is False and found["sessions"] == 3
    assert found["gap_change_percent"]["median"] < 0
    assert found["change_s"]["median"] == pytest.approx(0.624 * found["gap_change_percent"]["median"])
    assert any("Film the drop" in caution for caution in found["cautions"])


def test_csv(record):
    done = ask(record, "--name", "Anna", "--csv")
    rows = list(csv.DictReader(io.StringIO(done.stdout.decode())))
    assert len(rows) == 8
    assert float(rows[0]["level_deg"]) > float(rows[-1]["level_deg"])
    assert float(rows[0]["level_sd_deg"]) > 0
    assert float(rows[0]["closing"]) > 0.95


@pytest.mark.parametrize(
    "args, said",
    [
        ([], "file"),
        (["squad.csv"], "one of Anna, Mia"),
        (["squad.csv", "--name", "Ana"], "Anna"),
        (["squad.csv", "--name", "Anna", "--event", "100 free"], "time: got nothing"),
        (["squad.csv", "--name", "Anna", "--time", "1:02.40"], "event: got nothing"),
        (["squad.csv", "--name", "Anna", "--event", "200 IM", "--time", "2:30"], "one stroke"),
        (["squad.csv", "--name", "Anna", *RACE, "--stroke", "fly"], "stroke: got fly"),
        (["squad.csv", "--name", "Anna", "--course", "scm"], "course"),
        (["squad.csv", "--name", "Anna", "--stroke", "fly"], "two days or more"),
        (["squad.csv", "--name", "Anna", "--level", "2"], "level"),
        (["nothing.csv", "--name", "Anna"], "nothing.csv"),
        (["squad.csv", "--name", "Anna", "--set", "progress.wobble=-1"], "progress.wobble"),
    ],
)
def test_refused(record, args, said):
    assert said in one_line(run("progress", *args, cwd=record.parent))


def test_one_day_is_too_little(record):
    record.write_text(HEAD + drop_row(1, 4.0), encoding="utf-8")
    assert "one day has nothing to close from" in one_line(ask(record, "--name", "Anna"))


def test_a_wider_wobble_settles_less(record):
    usual = tree(record, "--name", "Anna")["closing"]
    assert tree(record, "--name", "Anna", "--set", "progress.wobble=2")["closing"] < usual


def test_nothing_depends_on_threads_or_order(record):
    one = ask(record, "--name", "Anna", *RACE, "--json", "--threads", "1").stdout
    assert one == ask(record, "--name", "Anna", *RACE, "--json", "--threads", "2").stdout
    lines = record.read_text(encoding="utf-8").splitlines(keepends=True)
    record.write_text("".join([lines[0], *reversed(lines[1:])]), encoding="utf-8")
    assert json.loads(one)["closing"] == tree(record, "--name", "Anna", *RACE)["closing"]
