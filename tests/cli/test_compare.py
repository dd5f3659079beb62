"""Which fault is worth pool time, and squads: many swimmers, one row each."""

import csv
import io
import json

import pytest

from typed import MAIN, RACE, WHO, answer, as_json, refused, run, whole_json, with_value

COMPARE = ["compare", *RACE, *WHO, "--hip-drop", "4deg", "--steady-drop", "2deg", "--draws", "2000"]
HEAD = "name,sex,height (cm),mass (kg),event,time,hip drop (deg)\n"
ANNA = "Anna,f,172,63,100 free,1:02.40,4\n"
MIA = "Mia,f,168,58,200 free,2:15.10,3.5\n"


def test_each_fault_costs_what_cost_says_of_it_and_the_order_follows():
    tree = whole_json(*COMPARE, "--leg-angle", "8deg", "--instead", "every-4", "--head-lift", "6cm")
    ranked = tree["ranked"]
    assert {row["kind"] for row in ranked} == {"hips", "head", "steady", "legs", "pattern"}
    hips = next(row for row in ranked if row["kind"] == "hips")
    assert hips["gain_s"] == as_json(*MAIN, "--draws", "2000")["cost_s"]
    medians = [row["gain_s"]["median"] for row in ranked]
    assert medians == sorted(medians, reverse=True)
    assert ranked[-1]["beats_next"] is None and all(0 < row["beats_next"] <= 1 for row in ranked[:-1])
    assert tree["first_beats_second"] == ranked[0]["beats_next"]
    assert tree["together_s"]["median"] > medians[0]
    assert tree["because"] and tree["swimmer"]["stature_m"] == 1.72
    assert any("Nobody has measured" in note for note in tree["notes"])
    assert any("few breaths" in caution for caution in tree["cautions"])


def test_the_words_say_what_to_choose_and_why_it_may_be_otherwise():
    words = " ".join(answer(*COMPARE).split())
    assert "Choose" in words and "of 100 possible swimmers like her" in words
    assert "Doubt in the order of the first two" in words
    assert "all the way" in words and "at each breath" in words


@pytest.mark.parametrize(
    "args, words",
    [
        (["compare", *RACE, *WHO, "--hip-drop", "4deg"], ["faults", "two or more"]),
        (["compare", *RACE, *WHO, "--leg-angle", "50deg", "--hip-drop", "4deg"], ["leg angle", "50 deg", "45 deg"]),
        ([*COMPARE, "--instead", "often"], ["instead", "often"]),
        (["compare", *RACE, *WHO], ["faults", "none"]),
        (["compare", "--event", "200 back", "--time", "2:20", *WHO, "--hip-drop", "4deg", "--leg-angle", "5deg"],
         ["hip drop", "steady drop", "backstroke"]),
    ],
)  # fmt: skip
def test_what_is_no_comparison_is_refused(args, words):
    line = refused(*args)
    assert all(word in line for word in words), line


def write(tmp_path, text, name="squad.csv"):
    path = tmp_path / name
    path.write_text(text)
    return str(path)


def test_a_squad_answers_each_row_in_order_as_cost_does(tmp_path):
    file = write(tmp_path, HEAD + MIA + ANNA)
    rows = list(csv.DictReader(io.StringIO(answer("cost", "--squad", file, "--csv"))))
    assert [row["name"] for row in rows] == ["Mia", "Anna"] and [row["row"] for row in rows] == ["2", "3"]
    alone = as_json(*MAIN)
    assert float(rows[1]["cost_s"]) == alone["cost_s"]["median"]
    assert float(rows[1]["cost_high_s"]) == alone["cost_s"]["high"]
    tree = whole_json("cost", "--squad", file)
    assert tree["squad"][1]["cost_s"] == alone["cost_s"] and tree["squad"][1]["swimmer"]["name"] == "Anna"
    words = answer("cost", "--squad", file)
    assert words.index("Mia") < words.index("Anna") and "0.50" in words
    # One thread or two.
    assert answer("cost", "--squad", file, "--json", "--threads", "2") == answer(
        "cost", "--squad", file, "--json", "--threads", "1"
    )


def test_what_a_row_does_not_say_the_options_do(tmp_path):
    file = write(tmp_path, "name,time\nAnna,1:02.40\nMia,1:05.00\n")
    tree = whole_json("cost", "--squad", file, *WHO, "--event", "100 free", "--hip-drop", "4deg")
    assert tree["squad"][0]["cost_s"] == as_json(*MAIN)["cost_s"]
    assert tree["squad"][1]["time_s"] == 65.0


def test_a_spreadsheet_of_another_country_is_read_and_columns_left_out_are_named(tmp_path):
    text = "\ufeffName;Sex;Height (cm);Mass (kg);Event;Time (s);Drop (deg);Club\r\nAnna;f;172;63;100 free;62,4;4;x\r\n"
    tree = whole_json("cost", "--squad", write(tmp_path, text))
    assert tree["squad"][0]["cost_s"] == as_json(*MAIN)["cost_s"]
    assert tree["notes"] == ["Not read: Club."]


def test_a_bad_row_is_named_and_the_others_go_on(tmp_path):
    file = write(
        tmp_path,
        HEAD
        + "Ben,m,185,80,100 fly,58.3,60\n"
        + ANNA
        + "Tom,m,,75,50 free,24.9,3\nUna,f,abc,60,50 free,30,3\n",
    )
    for form in ([], ["--csv"], ["--json"]):
        done = run("cost", "--squad", file, *form)
        assert done.returncode == 2
        lines = done.stderr.decode().splitlines()
        assert len(lines) == 3 and all(line.startswith("dragcalc: ") for line in lines)
        assert "row 2" in lines[0] and "Ben" in lines[0] and "60 deg" in lines[0]
        assert "row 4" in lines[1] and "height: got nothing" in lines[1]
        assert "height (cm) in row 5" in lines[2] and "abc" in lines[2]
        assert "Anna" in done.stdout.decode()
    tree = json.loads(run("cost", "--squad", file, "--json").stdout)
    assert [row["error"] is None for row in tree["squad"]] == [False, True, False, False]
    rows = list(csv.DictReader(io.StringIO(run("cost", "--squad", file, "--csv").stdout.decode())))
    assert rows[0]["cost_s"] == "" and "60 deg" in rows[0]["error"] and rows[1]["error"] == ""


@pytest.mark.parametrize(
    "text, words",
    [
        ("", ["squad.csv"]),
        (HEAD, ["squad", "at least one row"]),
        ("lane,heat\n1,2\n", ["squad", "columns as name"]),
        ("name,name\nA,B\n", ["name"]),
        (HEAD + "Anna,f,172,63,100 free,1:02.40,4,5\n", ["row 2"]),
        ('name,event\n"Anna,100 free\n', ["quote"]),
    ],
)
def test_a_table_that_is_none_is_refused_in_one_line(tmp_path, text, words):
    line = refused("cost", "--squad", write(tmp_path, text))
    assert all(word in line for word in words), line


def test_a_squad_has_one_question_a_row(tmp_path):
    file = write(tmp_path, HEAD + ANNA)
    assert "squad.csv" in refused("cost", "--squad", str(tmp_path / "none" / "squad.csv"))
    done = run("cost", "--squad", file, "--want", "0.2s")
    assert done.returncode == 2 and b"one event in a row" in done.stderr
    # A column that the question does not read.
    done = run("cost", "--squad", write(tmp_path, HEAD[:-1] + ",instead\n" + ANNA[:-1] + ",every-4\n"))
    assert done.returncode == 2 and b"instead" in done.stderr


def test_rows_without_a_fault_at_the_breath_are_compared(tmp_path):
    head = "name,event,time,steady drop (deg),leg angle (deg)\n"
    rows = list(
        csv.DictReader(
            io.StringIO(
                answer(
                    "compare",
                    "--squad",
                    write(tmp_path, head + "Uma,200 back,2:20,2,8\n"),
                    "--course",
                    "scm",
                    "--csv",
                    "--draws",
                    "500",
                )
            )
        )
    )
    assert rows[0]["error"] == "" and rows[0]["first_kind"] in ("legs", "steady")


def test_a_squad_is_compared_with_one_row_each(tmp_path):
    file = write(tmp_path, HEAD[:-1] + ",steady drop (deg)\n" + ANNA[:-1] + ",2\n" + MIA[:-1] + ",0.5\n")
    rows = list(csv.DictReader(io.StringIO(answer("compare", "--squad", file, "--csv", "--draws", "2000"))))
    alone = whole_json(*COMPARE)
    assert rows[0]["first"] == alone["ranked"][0]["what"]
    assert float(rows[0]["gain_s"]) == alone["ranked"][0]["gain_s"]["median"]
    assert rows[1]["first_kind"] == "hips"


def test_a_squad_of_three_hundred_takes_its_rows_one_by_one(tmp_path):
    lines = "".join(f"S{i},f,{160 + i % 20},60,100 free,{60 + i % 9},3\n" for i in range(300))
    rows = list(
        csv.DictReader(
            io.StringIO(answer("cost", "--squad", write(tmp_path, HEAD + lines), "--csv", "--draws", "200"))
        )
    )
    assert [row["name"] for row in rows] == [f"S{i}" for i in range(300)]
    assert all(float(row["cost_s"]) > 0 for row in rows)
