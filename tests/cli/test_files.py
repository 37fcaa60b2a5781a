"""Export, import, backup, doctor, projects, rules."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

from loamwright.rules import book


def test_a_project_goes_into_another_notebook_whole(done: Callable[..., Any], wall: str, tmp_path: Path) -> None:
    file = tmp_path / "wall.zip"
    sent = done("export", "School wall", str(file))
    other = str(tmp_path / "other.notebook")
    got = done("import", str(file), "--notebook", other)
    assert (got["project"], got["root"], got["kept"]) == (wall, sent["root"], sent["entries"])
    assert done("import", str(file), "--notebook", other)["had"] == sent["entries"]
    assert done("projects", "--notebook", other)[0]["name"] == "School wall"
    assert done("export", wall, str(tmp_path / "again.zip"), "--notebook", other)["root"] == sent["root"]


def test_nothing_is_overwritten(run: Callable[..., Any], wall: str, tmp_path: Path) -> None:
    file = tmp_path / "there.zip"
    file.write_text("mine")
    for words in (("export", "School wall", str(file)), ("backup", str(file))):
        result = run(*words)
        assert (result.exit_code, "nothing was overwritten" in result.output) == (1, True)
    assert file.read_text() == "mine"


def test_a_backup_opens_and_holds_the_same(done: Callable[..., Any], wall: str, tmp_path: Path) -> None:
    copy = tmp_path / "copy.notebook"
    assert done("backup", str(copy))["size_bytes"] > 0
    assert done("doctor", "--notebook", str(copy))["entries"] == done("doctor")["entries"]


def test_doctor_tells_how_the_file_is_kept(done: Callable[..., Any], run: Callable[..., Any], wall: str, path: Path) -> None:
    found = done("doctor")
    assert found["integrity"] == "ok"
    assert found["journal"].lower() == found["journal_chosen"].lower()
    assert found["binding"] in ("sqlite3", "pysqlite3")
    assert found["tables"] == found["tables_known"]
    with closing(sqlite3.connect(path)) as direct:  # the standard library's own binding as a second witness
        assert found["entries"] == direct.execute("SELECT count(*) FROM entry").fetchone()[0]
    text = run("doctor").output
    assert f"SQLite {found['sqlite']} through {found['binding']}" in text
    assert found["journal_why"] in text
    assert str(path) in text


def test_doctor_names_entries_that_need_care(done: Callable[..., Any], wall: str, path: Path) -> None:
    with closing(sqlite3.connect(path)) as direct:
        # a body as an older or damaged device could have sent it: the name is a number
        old = direct.execute("SELECT id FROM entry WHERE kind = 'stabiliser'").fetchone()[0]
        direct.execute("UPDATE entry SET body = ? WHERE id = ?", ('{"name":7,"type":"cement"}', old))
        direct.commit()
    assert list(done("doctor")["not_understood"]) == [old]


def test_two_corrections_on_two_machines_are_contested_until_one_names_both(
    done: Callable[..., Any], wall: str, tmp_path: Path
) -> None:
    note = done("today", "note", "--text", "dry wind")["kept"]
    there, other = str(tmp_path / "there.zip"), str(tmp_path / "other.notebook")
    done("export", wall, there)
    done("import", there, "--notebook", other)
    done("today", "note", "--correct", note, "--text", "wet wind")
    done("today", "note", "--correct", note, "--text", "no wind", "--notebook", other)
    back = str(tmp_path / "back.zip")
    done("export", wall, back, "--notebook", other)
    done("import", back)
    assert done("doctor")["contested"] == [note]
    assert [each["question"] for each in done("today", "show")["questions"] if each["grade"] == "contested"] == ["contested"]
    done("today", "note", "--correct", note, "--text", "calm")
    assert done("doctor")["contested"] == []
    assert [fact["values"]["text"] for fact in done("today", "show")["facts"]["note"]] == ["calm"]


def test_doctor_makes_no_notebook(done: Callable[..., Any], path: Path) -> None:
    assert done("doctor")["exists"] is False
    assert not path.exists()


def test_doctor_fails_a_damaged_file(run: Callable[..., Any], wall: str, path: Path) -> None:
    with closing(sqlite3.connect(path)) as direct:
        direct.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        direct.execute("PRAGMA writable_schema = ON")
        changed = "replace(sql, 'hash TEXT NOT NULL', 'hash INTEGER NOT NULL')"
        direct.execute(f"UPDATE sqlite_master SET sql = {changed} WHERE name = 'entry'")
        direct.commit()
    result = run("doctor")
    assert result.exit_code == 1
    assert "Integrity check: ok" not in result.output


def test_the_demo_is_a_new_project_each_time(done: Callable[..., Any]) -> None:
    first, second = done("demo")["project"], done("demo")["project"]
    assert first != second
    assert {each["project"] for each in done("projects")} == {first, second}


def test_rules_are_listed_with_their_standing(done: Callable[..., Any], run: Callable[..., Any]) -> None:
    assert {each["rule"] for each in done("rules", "list")} == set(book.rule_keys())
    rule = done("rules", "show", "is_1725_2013")
    assert {clause["standing"] for clause in rule["clauses"]} <= {"document", "second-hand", "memory"}
    assert "known: " in run("rules", "show", "is_1725_2013").output
