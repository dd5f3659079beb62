"""The swimmer in a file: written, read, overridden, broken."""

import json
import os
import pathlib
import resource
import shutil
import signal
import stat
import subprocess
import tempfile

import pytest

from typed import DRAGCALC, RACE, WHO, answer, as_json, one_line, refused, run, with_value

COST = ["cost", *RACE, "--hip-drop", "4deg", "--draws", "2000"]
SWIMMER = {"name": "Demo", "sex": "f", "stature": "172cm", "mass": "63kg"}


@pytest.fixture
def write(tmp_path):
    def write(content, name="swimmer.json"):
        path = tmp_path / name
        if isinstance(content, bytes):
            path.write_bytes(content)
        else:
            path.write_text(content if isinstance(content, str) else json.dumps(content))
        return str(path)

    return write


def files(folder):
    return sorted(os.listdir(folder))


# --- reading ----------------------------------------------------------------------------------------


def test_the_file_is_the_options(write):
    path = write(SWIMMER)
    assert as_json(*COST, "--swimmer", path) == as_json(*COST, *WHO)
    full = write(
        {
            **SWIMMER,
            "dimensions": {"chest_girth": "91cm", "hip_breadth": "13in"},
            "incline": "8deg",
            "k": "27kg/m",
        }
    )
    said = [
        *WHO,
        "--dim",
        "chest_girth=91cm",
        "--dim",
        "hip_breadth=13in",
        "--incline",
        "8deg",
        "--k",
        "27kg/m",
    ]
    assert as_json(*COST, "--swimmer", full) == as_json(*COST, *said)
    named = as_json("drag", "--speed", "1.5mps", "--swimmer", full)
    assert named["swimmer"].pop("name") == "Demo"
    nameless = as_json("drag", "--speed", "1.5mps", *said)
    assert nameless["swimmer"].pop("name") == ""
    assert named == nameless


@pytest.mark.parametrize(
    "option, value",
    [
        ("--sex", "m"),
        ("--height", "180cm"),
        ("--mass", "70kg"),
        ("--incline", "5deg"),
        ("--dim", "chest_girth=95cm"),
    ],
)
def test_the_command_line_wins(write, option, value):
    path = write({**SWIMMER, "dimensions": {"chest_girth": "91cm"}, "incline": "8deg"})
    said = [*WHO, "--dim", "chest_girth=91cm", "--incline", "8deg"]
    assert as_json(*COST, "--swimmer", path, option, value) == as_json(
        *COST, *with_value(said, option, value)
    )
    assert as_json(*COST, "--swimmer", path, option, value) != as_json(*COST, "--swimmer", path)


@pytest.mark.parametrize(
    "text",
    [
        '{"stature":"172cm","mass":"63kg","sex":"f"}',
        '\ufeff{"stature":"172cm","mass":"63kg","sex":"f"}',
        '{\r\n "sex": "female",\r\n "stature": "1.72 m",\r\n "mass": "63 kg"\r\n}\r\n',
        '{"stature":"172cm","mass":"63kg","sex":"f","dimensions":{}}',
        '{"st\\u0061ture":"172cm","mass":"63kg","sex":"f","name":"\\u00e9\\ud83d\\ude00"}',
    ],
)
def test_the_same_swimmer_written_otherwise(write, text):
    assert as_json(*COST, "--swimmer", write(text)) == as_json(*COST, *WHO)


def test_what_the_file_lacks_the_command_line_gives(write):
    assert as_json(*COST, "--swimmer", write({"sex": "f"}), "--height", "172cm", "--mass", "63kg") == as_json(
        *COST, *WHO
    )
    assert "mass" in refused(*COST, "--swimmer", write({"stature": "172cm"}))


def test_a_name_cannot_play_tricks_on_the_screen(write):
    text = answer("body", "--swimmer", write({**SWIMMER, "name": "A\u001b[31m\nCost 0 s"}))
    assert "\x1b" not in text and text.splitlines()[0].startswith("A")
    assert as_json("body", "--swimmer", write({**SWIMMER, "name": "Bé"}))["name"] == "Bé"


def test_her_file_may_say_where_her_record_is(write, tmp_path):
    (tmp_path / "girls").mkdir()
    swims = [("snorkel", 14.21), ("every-2", 14.47), ("every-2", 14.52), ("snorkel", 14.25)]
    swims += [("snorkel", 14.19), ("every-2", 14.49), ("every-2", 14.44), ("snorkel", 14.26)]
    rows = [
        f"2026-11-20,{who},swim,crawl,{how},a,{i + 1},25,{time + more:.2f},stopwatch"
        for who, more in (("Demo", 0.0), ("Other", 2.0))
        for i, (how, time) in enumerate(swims)
    ]
    head = "date,swimmer,kind,stroke,how,set,order,distance (m),time (s),by"
    record = write("\n".join([head, *rows, ""]), "squad.csv")
    path = write({**SWIMMER, "record": "../squad.csv"}, "girls/demo.json")
    plain = write(SWIMMER, "plain.json")
    named = ["--record", record, "--name", "Demo"]
    alone, known = as_json(*COST, "--swimmer", plain), as_json(*COST, "--swimmer", plain, *named)
    assert known["cost_s"] != alone["cost_s"]
    assert as_json(*COST, "--swimmer", path) == known
    assert as_json(*COST, "--swimmer", path, "--record", "none") == alone
    assert "By her record" in answer(*COST, "--swimmer", path)
    event = COST[1 : COST.index("--hip-drop")]
    of_file = as_json("measured", *event, "--swimmer", path, "--draws", "2000")
    assert of_file == as_json(
        "measured", record, *event, "--swimmer", plain, "--name", "Demo", "--draws", "2000"
    )
    # A question that no record narrows does not care where it is.
    away = write({**SWIMMER, "record": "gone.csv"}, "away.json")
    drag = ["drag", "--speed", "1.6m/s", "--draws", "500"]
    assert as_json(*drag, "--swimmer", away) == as_json(*drag, "--swimmer", plain)
    assert "gone.csv" in refused(*COST, "--swimmer", away)
    assert "record in" in refused(*COST, "--swimmer", write({**SWIMMER, "record": 3}, "number.json"))
    # Written by the body's own command, seen from where it is written.
    saved = str(tmp_path / "girls" / "saved.json")
    answer("body", *WHO, "--name", "Demo", "--record", record, "--save", saved)
    assert as_json(*COST, "--swimmer", saved)["cost_s"] == known["cost_s"]


# --- broken files -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "text, words",
    [
        ('{"stature": "172cm",\n "mass": 63kg"}', ["line 2", "column"]),
        (
            '{"stature": "172cm"\n "mass": "63kg"}',
            ["line 2, column 7"],
        ),  # the end of what should not be there
        ('{"stature": "172cm", "mass": "63kg"', ["line 1", "column"]),
        ('{"stature": "172cm", "mass": "63', ["line 1", "column"]),
        ("{", ["line 1"]),
        ("{\n\n\n", ["line"]),
        ("stature = 172cm\n", ["line 1, column 1"]),
        ("\n\n  x", ["line 3, column 3"]),
        ("{'stature': '172cm'}", ["line 1, column 2"]),
        ('{"stature": "172cm",}', ["line 1"]),
        ('{"stature": "172cm"} {}', ["line 1"]),
        ("\x00\x01\x02\x03", ["line 1, column 1"]),
        ('{"stature": "172\ncm"}', ["line"]),
        ("// comment\n{}", ["line 1"]),
        ('{"mass": NaN}', ["line 1"]),
    ],
)
def test_syntax_errors_say_where(write, text, words):
    line = refused(*COST, "--swimmer", write(text))
    assert "swimmer file" in line and "swimmer.json" in line and "allowed" in line
    for word in words:
        assert word in line, line


@pytest.mark.parametrize(
    "content",
    [
        bytes(range(256)) * 16,
        b"\x7fELF\x02\x01\x01" + bytes(100),
        b"PK\x03\x04" + bytes(300),
        b"\xff\xfe{\x00}\x00",
        b'{"name": "\xff\xfe", "stature": "172cm"}',
        b'{"name": "\xc3',
        b"\x00" * 1000,
    ],
)
def test_binary_files_are_refused(write, content):
    line = refused(*COST, "--swimmer", write(content))
    assert "line 1" in line or "line 2" in line


@pytest.mark.parametrize(
    "tree, words",
    [
        ({**SWIMMER, "stature": 172}, ["stature", "172", "unit"]),
        ({**SWIMMER, "mass": 63.5}, ["mass", "63.5", "unit"]),
        ({**SWIMMER, "mass": None}, ["mass", "null", "unit"]),
        ({**SWIMMER, "mass": True}, ["mass", "true", "unit"]),
        ({**SWIMMER, "mass": ["63kg"]}, ["mass", "63kg", "unit"]),
        ({**SWIMMER, "sex": 1}, ["sex", "1"]),
        ({**SWIMMER, "sex": "q"}, ["sex", "q", "f, m"]),
        ({**SWIMMER, "name": 7}, ["name", "7", "a text"]),
        ({**SWIMMER, "stature": "172"}, ["stature", "172", "without a unit"]),
        ({**SWIMMER, "stature": "63kg"}, ["stature", "63kg", "a mass", "a length"]),
        ({**SWIMMER, "mass": "172cm"}, ["mass", "172cm", "a length", "a mass"]),
        ({**SWIMMER, "mass": ""}, ["mass", "nothing", "a mass"]),
        ({**SWIMMER, "mass": "-63kg"}, ["mass", "-63 kg", "20 kg"]),
        ({**SWIMMER, "mass": "700kg"}, ["mass", "700 kg", "250 kg"]),
        ({**SWIMMER, "mass": "nan kg"}, ["mass", "nan", "a mass"]),
        ({**SWIMMER, "stature": "17m"}, ["stature", "17 m", "2.4 m"]),
        ({**SWIMMER, "incline": "9cm"}, ["incline", "9cm", "an angle"]),
        ({**SWIMMER, "k": "28N"}, ["k in", "28N", "kg/m"]),
        ({**SWIMMER, "dimensions": "none"}, ["dimensions", "none", "object"]),
        ({**SWIMMER, "dimensions": ["chest_girth"]}, ["dimensions", "chest_girth", "object"]),
        ({**SWIMMER, "dimensions": {"chest_girth": 91}}, ["chest_girth", "91", "unit"]),
        ({**SWIMMER, "dimensions": {"chest_girth": "91kg"}}, ["chest_girth", "91kg", "a length"]),
        ({**SWIMMER, "dimensions": {"chest_girth": "9m"}}, ["chest_girth", "900 cm"]),
        ({**SWIMMER, "dimensions": {"chest_grith": "91cm"}}, ["chest_grith", "chest_girth"]),
        ({**SWIMMER, "dimensions": {"zzz": "91cm"}}, ["zzz", "dragcalc body"]),
        ({**SWIMMER, "dimensions": {"a\nb\u001b[2J": 1}}, ["a\\x0ab", "unit"]),
        ({**SWIMMER, "height": "172cm"}, ["height", "key"]),
        ({**SWIMMER, "weight": "63kg"}, ["weight", "key", "mass"]),
        ({**SWIMMER, "statur": "172cm"}, ["statur", "stature"]),
        ({**SWIMMER, "\n\u001b[2J": "172cm"}, ["key", "\\x0a"]),
        ({**SWIMMER, "": ""}, ["key", "stature"]),
        ([1, 2], ["[1,2]", "object"]),
        ("172cm", ["172cm", "object"]),
        (None, ["null", "object"]),
        (5, ["5", "object"]),
    ],
)
def test_wrong_contents_name_the_key(write, tree, words):
    line = refused(*COST, "--swimmer", write(json.dumps(tree)))
    for word in words:
        assert word in line, line


@pytest.mark.parametrize(
    "text, words",
    [
        ('{"stature": "172cm", "mass": "63kg", "mass": "70kg"}', ["mass", "two values"]),
        ('{"stature": "172cm", "mass": "63kg", "stature": "172cm"}', ["stature", "two values"]),
        (
            '{"stature": "172cm", "mass": "63kg", "dimensions": {"chest_girth": "90cm", "chest_girth": "91cm"}}',
            ["chest_girth", "two values"],
        ),
        ('{"stature": "172cm", "mass": 1e999}', ["number too large"]),
        ('{"stature": "172cm", "mass": -1e999}', ["number too large"]),
        ("[" * 400_000 + "]" * 400_000, ["nested"]),
        ('{"a":' * 100_000 + "1" + "}" * 100_000, ["nested"]),
        ('{"stature": "' + "9" * 5000 + 'cm", "mass": "63kg"}', ["stature", "characters long"]),
        ('{"mass": ' + json.dumps(["y" * 1000] * 100) + "}", ["mass", "unit"]),
    ],
    ids=[
        "mass twice",
        "stature twice",
        "dimension twice",
        "huge number",
        "huge negative number",
        "deep array",
        "deep object",
        "long value",
        "long list",
    ],
)
def test_files_made_to_hurt(write, text, words):
    line = refused(*COST, "--swimmer", write(text))
    for word in words:
        assert word in line, line


def test_the_same_name_in_two_objects_is_no_duplicate(write):
    line = refused(
        *COST, "--swimmer", write('{"dimensions": {"mass": "63cm"}, "mass": "63kg", "stature": "172cm"}')
    )
    assert "unknown body dimension 'mass'" in line


@pytest.mark.parametrize(
    "make, words",
    [
        (lambda p: None, ["existing file"]),
        (lambda p: p.mkdir(), ["existing file"]),
        (lambda p: p.write_bytes(b""), ["empty"]),
        (lambda p: os.mkfifo(p), ["existing file"]),
        (lambda p: os.symlink("nowhere", p), ["existing file"]),
        (lambda p: os.symlink(p.name, p), ["existing file"]),
        (lambda p: p.write_text(" \n \n"), ["line 2"]),
        (
            lambda p: os.truncate(os.open(p, os.O_CREAT | os.O_WRONLY), 100_000_000),
            ["100000000 bytes", "1 MB"],
        ),
        (lambda p: p.write_text(json.dumps({**SWIMMER, "name": "x" * 1_000_000})), ["bytes", "1 MB"]),
    ],
)
def test_what_is_no_swimmer_file(tmp_path, make, words):
    path = tmp_path / "s.json"
    make(path)
    line = refused(*COST, "--swimmer", str(path))
    assert "swimmer file" in line
    for word in words:
        assert word in line, line


@pytest.mark.parametrize(
    "path",
    ["", "/dev/zero", "/dev/null", "/", "a" * 5000, "x\ny", "\x1b[31m", "/proc/self/mem", "/proc/self/maps"],
    ids=lambda path: ascii(path)[:20],
)
def test_odd_paths(path):
    assert "swimmer file" in refused(*COST, "--swimmer", path)


# --- writing ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "who",
    [
        WHO,
        ["--height", "67.716535in", "--mass", "138.8912lb"],
        ["--sex", "m", "--height", "5ft8.3in", "--mass", "10st3.7lb"],
        [
            "--sex",
            "m",
            "--height",
            "1.8034567891234m",
            "--mass",
            "77.123456789kg",
            "--dim",
            "chest_girth=97.7777777777cm",
            "--dim",
            "foot_length=10.7in",
            "--incline",
            "7.7777777deg",
            "--k",
            "27.123456789kg/m",
        ],
        ["--height", "1.7200000000000002m", "--mass", "63.00000000000001kg", "--incline", "0.1rad"],
    ],
)
def test_saved_and_read_again_is_the_same_to_the_last_digit(tmp_path, who):
    path = str(tmp_path / "demo.json")
    assert answer("body", *who, "--save", path) == answer("body", *who)
    for args in (COST, ["drag", "--speed", "1.5mps"], ["body"]):
        assert answer(*args, "--swimmer", path, "--json") == answer(*args, *who, "--json")
    again = str(tmp_path / "again.json")
    answer("body", "--swimmer", path, "--save", again)
    assert open(again).read() == open(path).read()
    assert files(tmp_path) == ["again.json", "demo.json"]


def test_the_file_is_made_for_people(tmp_path):
    path = tmp_path / "demo.json"
    answer("body", *WHO, "--dim", "chest_girth=91cm", "--incline", "9deg", "--save", str(path))
    assert json.loads(path.read_text()) == {
        "sex": "f",
        "stature": "172 cm",
        "mass": "63 kg",
        "dimensions": {"chest_girth": "91 cm"},
        "incline": "9 deg",
    }
    assert path.read_text().endswith("\n")


def test_the_name_is_kept(write, tmp_path):
    path = str(tmp_path / "b.json")
    answer("body", "--swimmer", write({**SWIMMER, "name": 'Zoë "Z"\n\u2603'}), "--save", path)
    assert json.load(open(path))["name"] == 'Zoë "Z"\n\u2603'


def test_an_existing_file_is_only_replaced_by_force(tmp_path):
    path = tmp_path / "demo.json"
    path.write_text("precious")
    line = refused("body", *WHO, "--save", str(path))
    assert "save" in line and "exists" in line and "--force" in line
    assert path.read_text() == "precious" and files(tmp_path) == ["demo.json"]
    answer("body", *WHO, "--save", str(path), "--force")
    assert json.loads(path.read_text())["mass"] == "63 kg" and files(tmp_path) == ["demo.json"]


def test_nothing_is_written_for_a_swimmer_who_cannot_be(tmp_path):
    path = tmp_path / "demo.json"
    path.write_text("precious")
    for bad in (
        with_value(WHO, "--mass", "700kg"),
        with_value(WHO, "--sex", "q"),
        [*WHO, "--dim", "nose=6cm"],
        [*WHO, "--json", "--csv"],
    ):
        refused("body", *bad, "--save", str(path), "--force")
        refused("body", *bad, "--save", str(tmp_path / "new.json"))
    assert path.read_text() == "precious" and files(tmp_path) == ["demo.json"]


@pytest.mark.parametrize(
    "path",
    [
        "",
        "/nonexistent/folder/demo.json",
        "/dev/full",
        "/dev/null",
        "/proc/demo.json",
        "/tmp",
        "/",
        "/dev/null/demo.json",
        "a" * 300,
    ],
)
def test_places_that_cannot_be_written(tmp_path, path):
    for force in ([], ["--force"]):
        done = run("body", *WHO, "--save", path, *force, cwd=tmp_path)
        assert "save" in one_line(done)
    assert stat.S_ISCHR(os.stat("/dev/null").st_mode) and stat.S_ISCHR(os.stat("/dev/full").st_mode)
    assert files(tmp_path) == []


def test_a_folder_that_may_not_be_written():
    # No lock holds root, so root sends somebody else, with a copy of the program where anybody can reach it.
    somebody = {} if os.geteuid() else {"user": 65534, "group": 65534, "extra_groups": []}
    with tempfile.TemporaryDirectory(dir="/tmp") as outer:
        os.chmod(outer, 0o755)
        program = shutil.copy(DRAGCALC, os.path.join(outer, "dragcalc"))
        os.chmod(program, 0o755)
        folder = pathlib.Path(outer, "locked")
        folder.mkdir()
        path = folder / "demo.json"
        path.write_text("precious")
        folder.chmod(0o555)
        for target in (path, folder / "new.json"):
            done = subprocess.run(
                [program, "body", *WHO, "--save", str(target), "--force"],
                capture_output=True,
                timeout=1200,
                cwd="/",
                **somebody,
            )
            line = one_line(done)
            assert "save" in line and "written" in line
        assert path.read_text() == "precious" and files(folder) == ["demo.json"]
        folder.chmod(0o755)


def test_a_full_disk_leaves_the_old_file(tmp_path):
    path = tmp_path / "demo.json"
    path.write_text("precious")

    def no_room():
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (10, 10))

    line = one_line(run("body", *WHO, "--save", str(path), "--force", preexec_fn=no_room))
    assert "save" in line and path.read_text() == "precious" and files(tmp_path) == ["demo.json"]
