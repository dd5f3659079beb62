"""stroke, balance, aids and evidence: contract, sense, and what they refuse."""

import csv
import io
import json
import re

import pytest

from typed import answer, as_json, evidence, refused, strict

WHO = ["--sex", "m", "--height", "180cm", "--mass", "75kg"]
STROKE = ["stroke", "--speed", "1.5mps", *WHO, "--draws", "100"]
INTERVAL = {"median", "low", "high", "level"}


def ordered(interval):
    assert set(interval) == INTERVAL
    return interval["low"] <= interval["median"] <= interval["high"]


def test_stroke_contract():
    tree = as_json("stroke", "--speed", "1.6mps", *WHO, "--hip-drop", "4deg")
    for key in (
        "centre_of_mass_cv",
        "centre_of_mass_peak_fluctuation",
        "hip_cv",
        "hip_peak_fluctuation",
        "speed_change_full",
        "speed_change_quasi_steady",
        "full_over_quasi_steady",
    ):
        assert ordered(tree[key]), key
    assert tree["without_breath"]["work_J"] == pytest.approx(
        tree["without_breath"]["dissipation_J"], rel=1e-9
    )
    assert tree["with_breath"]["mean_speed_m_s"] < tree["without_breath"]["mean_speed_m_s"]
    assert tree["centre_of_mass_cv"]["median"] < tree["hip_cv"]["median"]
    words = answer("stroke", "--speed", "1.6mps", *WHO)
    assert "centre of mass" in words and "never compare" in words and "Breath" not in words
    lines = answer("stroke", "--speed", "1.6mps", *WHO, "--csv").splitlines()
    assert lines[0].startswith("t_s,v_m_s,when,") and len(lines) > 100


def test_cost_by_the_full_motion_says_by_how_much_it_differs():
    main = ["cost", "--event", "100 free", "--time", "1:02.40", *WHO, "--hip-drop", "4deg"]
    full_motion = [*main, "--within-stroke", "--draws", "400"]
    quick, full = as_json(*main), as_json(*full_motion)
    ratio = full["full_over_quasi_steady"]
    assert ordered(ratio)
    assert full["cost_s"]["median"] == pytest.approx(quick["cost_s"]["median"] * ratio["median"], rel=0.1)
    words = " ".join(answer(*full_motion).split())
    assert "quasi-steady price" in words and "which nobody has measured" in words


def test_cost_of_the_same_breath_with_aids():
    main = ["cost", "--event", "100 free", "--time", "1:02.40", *WHO, "--hip-drop", "3deg"]
    bare, belt, tube = as_json(*main), as_json(*main, "--belt", "2kg"), as_json(*main, "--snorkel")
    assert ordered(belt["aid_ratio"]) and belt["aid_ratio"]["median"] > 1
    assert belt["cost_s"]["median"] > bare["cost_s"]["median"]
    assert any("quick-release" in line for line in belt["cautions"])
    assert tube["cost_s"]["high"] == 0.0
    lifted = as_json(*main[:-2], "--head-lift", "10cm")
    assert lifted["hip_drop_deg"] > 0.0 and lifted["cost_s"]["median"] > 0.0
    assert as_json(*main[:-2], "--head-lift", "0cm")["cost_s"]["high"] == 0.0


def test_a_lifted_head_as_an_angle_or_a_rise():
    stroke = ["stroke", "--speed", "1.6mps", *WHO, "--draws", "100"]
    assert (
        as_json(*stroke, "--head-lift", "10cm")["hip_drop_deg"]
        > as_json(*stroke, "--head-lift", "5cm")["hip_drop_deg"]
        > 0
    )
    drag = ["drag", "--speed", "1.5mps", *WHO, "--incline", "0deg"]
    level = as_json(*drag)["projected_area_m2"]
    by_angle, by_rise = (
        as_json(*drag, "--head-lift", lift)["projected_area_m2"] for lift in ("30deg", "10cm")
    )
    assert by_angle > level and by_rise > level


def test_balance_contract():
    tree = as_json("balance", *WHO, "--belt", "2kg", "--buoy", "3L")
    for key in (
        "centre_of_buoyancy_m",
        "centre_of_mass_m",
        "still_moment_N_m",
        "stiffness_N_m_per_deg",
        "immersion_m",
    ):
        assert key in tree, key
    by_name = {effect["aid"]: effect["incline_change_deg"] for effect in tree["aids"]}
    assert any(name.startswith("belt") and change > 0 for name, change in by_name.items())
    assert any(name.startswith("buoy") and change < 0 for name, change in by_name.items())
    assert "quick-release" in answer("balance", *WHO, "--belt", "2kg")
    assert "Yanai" in answer("balance", *WHO)


def test_aids_contract():
    tree = as_json(
        "aids",
        "--speed",
        "1.5mps",
        *WHO,
        "--snorkel",
        "--belt",
        "2kg",
        "--shorts",
        "--drogue",
        "300cm2",
        "--tether",
        "20N",
        "--buoy",
        "3L",
    )
    rows = tree["aids"]
    assert tree["want"] is None and tree["when"] == "breath"
    for row in rows:
        for key in (
            "drag_area_m2",
            "k_added_kg_m",
            "speed_change",
            "incline_change_deg",
            "breath_penalty_ratio",
        ):
            assert key in row, (row["aid"], key)
    ratio = {row["aid"]: row["breath_penalty_ratio"]["median"] for row in rows}
    # Common practice: a belt or drag shorts make the same breath cost more; with a snorkel it costs nothing.
    assert ratio["belt"] > 1 and ratio["shorts"] > 1 and ratio["snorkel"] == 0
    wanted = as_json("aids", "--speed", "1.5mps", *WHO, "--want", "x1.5", "--draws", "500")
    assert {entry["aid"] for entry in wanted["want"]} >= {"belt", "shorts", "drogue", "tether"}


def test_aids_change_drag_and_stroke():
    plain = as_json("drag", "--speed", "1.5mps", *WHO)
    towed = as_json("drag", "--speed", "1.5mps", *WHO, "--drogue", "300cm2")
    assert towed["active"]["total_N"] > plain["active"]["total_N"] + 20
    belted = as_json("drag", "--speed", "1.5mps", *WHO, "--belt", "3kg")
    assert belted["incline_deg"] > plain["incline_deg"]
    assert any("quick-release" in line for line in belted["cautions"])
    assert "drogue 300 cm2" in answer("drag", "--speed", "1.5mps", *WHO, "--drogue", "300cm2")
    assert towed["swimmer"]["worn"] == ["drogue 300 cm2"] and towed["active"]["worn_N"] > 20
    assert (
        as_json(*STROKE, "--tether", "20N")["without_breath"]["mean_thrust_N"]
        > as_json(*STROKE)["without_breath"]["mean_thrust_N"]
    )


def test_a_snorkel_leaves_no_breath_to_price():
    stroke = [*STROKE, "--hip-drop", "4deg"]
    assert "speed_change_full" in as_json(*stroke)
    assert "hip drop: got 4deg; allowed: nothing with a snorkel" in refused(*stroke, "--snorkel")
    tube = as_json(*stroke[:-2], "--snorkel")
    assert "speed_change_full" not in tube and tube["when"] == "never"


def test_stroke_without_a_breath_says_that_none_is_priced():
    never = [*STROKE, "--hip-drop", "4deg", "--breathe", "never"]
    assert "No breath lifts the head, so none is priced." in as_json(*never)["notes"]
    assert "so none is priced" in " ".join(answer(*never).split()) and as_json(*never)["when"] == "never"


def test_in_backstroke_the_drop_is_there_all_the_way():
    stroke = [*STROKE, "--hip-drop", "4deg"]
    back = as_json(*stroke, "--stroke", "back")
    assert back["when"] == "always" and back["hip_drop_deg"] == pytest.approx(4.0)
    assert back["speed_change_full"]["median"] < as_json(*stroke)["speed_change_full"]["median"] < 0
    assert re.search(
        r"hips 4\.0 deg \(3\.\d cm\) lower all the way", " ".join(answer(*stroke, "--stroke", "back").split())
    )


def test_stroke_says_how_many_draws_and_why():
    words = " ".join(answer("stroke", "--speed", "1.5mps", *WHO).split())
    assert "Draws 400: each solves the periodic motion" in words


def test_csv_of_aids_answers_what_was_wanted():
    args = ["aids", "--speed", "1.5mps", *WHO, "--want", "x1.5", "--draws", "500"]
    rows = list(csv.DictReader(io.StringIO(answer(*args, "--csv"))))
    wanted = as_json(*args)["want"]
    assert [row["aid"] for row in rows] == [w["aid"] for w in wanted]
    for row, w in zip(rows, wanted):
        assert float(row["amount"]) == w["amount"] and row["reachable"] == str(w["reachable"]).lower()
        assert "quick-release" in row["cautions"]


def test_answers_about_one_breath_say_why_they_differ():
    for args in (
        ["stroke", "--hip-drop", "4deg", "--draws", "100"],
        ["aids", "--snorkel", "--hip-drop", "4deg", "--draws", "100"],
    ):
        words = " ".join(answer(*args, "--speed", "1.5mps", *WHO).split())
        assert "One breath has a slightly different price in each answer" in words and "power" in words


def test_intervals_say_whom_they_are_about():
    def width(whom):
        passive = as_json("drag", "--speed", "1.5mps", *WHO, "--for", whom)["passive"]
        return passive["high_N"] - passive["low_N"]

    assert width("swimmer") > width("mean-of=12") > width("typical") * 0.9


def test_evidence_contract():
    tree = json.loads(evidence("--json"), parse_constant=strict)
    rows = tree["rows"]
    assert len(rows) >= 80 and tree["studies"] == len({row["study"] for row in rows}) >= 35
    for row in rows:
        assert set(row) >= {
            "id",
            "study",
            "kind",
            "skill",
            "quantity",
            "unit",
            "measured",
            "sd",
            "n",
            "predicted",
            "low",
            "high",
            "inside",
            "source",
            "note",
        }
        assert row["inside"] == (row["low"] <= row["measured"] <= row["high"])
    assert tree["coverage"] == pytest.approx(sum(row["inside"] for row in rows) / len(rows))
    assert 0.4 < tree["coverage_50"] < 0.6 and 0.7 < tree["coverage_80"] < 0.9 and tree["log_score"] > 45
    assert 0.6 * tree["half_width_median"] < tree["half_width_known"] < tree["half_width_median"] < 0.4
    assert sum(tree["tilt_model_weights"].values()) == pytest.approx(1)
    assert tree["narrowing"][0]["price"] > 0.1
    words = evidence()
    assert "Coverage" in words and "OUT" in words
    assert f"{100 * tree['half_width_known']:.0f} % if every coefficient were known" in " ".join(
        words.split()
    )
    assert len(evidence("--csv").splitlines()) == len(rows) + 1


@pytest.mark.parametrize(
    "args, words",
    [
        (["stroke", *WHO], ["speed"]),
        (["stroke", "--speed", "1.5", *WHO], ["speed", "1.5"]),
        (["stroke", "--speed", "1.5mps", *WHO, "--cycle", "9s"], ["cycle", "9", "0.3"]),
        (["stroke", "--speed", "1.5mps", *WHO, "--breathe", "every-2"], ["hip drop", "nothing"]),
        (["drag", "--speed", "1.5mps", *WHO, "--head-lift", "90cm"], ["head lift", "90", "cm"]),
        (["stroke", "--speed", "1.5mps", *WHO, "--effort", "lots"], ["effort", "lots", "power or thrust"]),
        (["balance", *WHO, "--belt", "2"], ["belt", "2"]),
        (["balance", *WHO, "--belt", "200kg"], ["belt", "200", "kg"]),
        (["balance", *WHO, "--belt", "2kg", "--belt-at", "5m"], ["belt", "5", "m"]),
        (["balance", *WHO, "--lungs", "some"], ["lungs", "some", "full"]),
        (["balance", *WHO, "--lungs", "90L"], ["lungs", "90"]),
        (["balance", *WHO, "--head-lift", "3m"], ["head", "cm"]),
        (["aids", "--speed", "1.5mps", *WHO, "--drogue", "9kg"], ["drogue", "9kg"]),
        (["aids", "--speed", "1.5mps", *WHO, "--drogue", "9m2"], ["drogue", "9"]),
        (["aids", "--speed", "1.5mps", *WHO, "--tether", "-5N"], ["tether", "-5"]),
        (["aids", "--speed", "1.5mps", *WHO, "--want", "x100"], ["want", "100"]),
        (["aids", "--speed", "1.5mps", *WHO, "--breathe", "never"], ["breath"]),
        (["drag", "--speed", "1.5mps", *WHO, "--for", "mean-of=0"], ["for", "mean-of=0", "swimmer"]),
        (["drag", "--speed", "1.5mps", *WHO, "--waves", "havelok"], ["wave model", "havelok", "havelock"]),
        (["drag", "--speed", "1.5mps", *WHO, "--waves", "havelock"], ["depth"]),
        (["drag", "--speed", "1.5mps", *WHO, "--knee-bend", "400deg"], ["knee", "400"]),
        (
            ["cost", "--event", "200 IM", "--time", "2:30", *WHO, "--hip-drop", "3deg", "--within-stroke"],
            ["within stroke", "medley"],
        ),
        (
            [
                "cost",
                "--event",
                "100 free",
                "--time",
                "1:02",
                *WHO,
                "--hip-drop",
                "3deg",
                "--when",
                "always",
                "--belt",
                "2kg",
            ],
            ["aids", "a drop that stays", "at each breath"],
        ),
    ],
)
def test_refuses(args, words):
    line = refused(*args)
    for word in words:
        assert word in line, line


def test_stroke_and_aids_say_what_a_lift_is_of():
    for command in ("stroke", "aids"):
        lift = [command, "--speed", "1.5mps", *WHO, "--head-lift", "6cm", "--draws", "100"]
        words = " ".join(answer(*lift).split())
        assert (
            "head 6.0 cm higher at each breath, a breath every 2 arm strokes, which sinks the hips" in words
        )
        assert "assumed" in words and "; a hip drop of" not in words
        assert as_json(*lift)["head_lift_deg"] > 10
        assert re.search(
            r"hips 4\.0 deg \(3\.\d cm\) lower and head 6\.0 cm higher",
            " ".join(answer(*lift, "--hip-drop", "4deg").split()),
        )
        assert "head lift: got 6cm; allowed: nothing in backstroke" in refused(*lift, "--stroke", "back")
        both = as_json(*lift, "--hip-drop", "4deg")
        hips = as_json(*lift[:-4], "--draws", "100", "--hip-drop", "4deg")
        change = "speed_change_full" if command == "stroke" else "breath_cost"
        assert abs(both[change]["median"]) > abs(hips[change]["median"])
        rows = list(csv.DictReader(io.StringIO(answer(*lift, "--csv"))))
        assert all(float(row["head_lift_deg"]) > 10 for row in rows)


def test_hips_that_stay_low_in_backstroke_cost_in_aids_what_they_cost_in_stroke():
    back = ["--speed", "1.5mps", *WHO, "--stroke", "back", "--hip-drop", "4deg"]
    in_aids = as_json("aids", *back, "--snorkel")
    full = as_json("stroke", *back)["speed_change_quasi_steady"]["median"]
    assert in_aids["breath_cost"]["median"] == pytest.approx(-full, rel=0.15)
    # A snorkel lifts no hips that are low without a breath.
    assert in_aids["aids"][0]["same_drop_ratio"]["median"] == pytest.approx(1, rel=0.1)
    assert "same drop costs x" in answer("aids", *back, "--snorkel")
