"""What a phone sends: each entry kept once, each bad line refused by itself, pictures looked at, nothing lost, no failure."""

import base64
import io
import json
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from starlette.testclient import TestClient

from loamwright.notebook import pictures, store
from loamwright.notebook.arriving import FORMAT
from loamwright.notebook.canonical import digest
from loamwright.notebook.entry import new_id, write
from loamwright.project.desk import Desk

PHONE = new_id()


def note(project: str, clock, text: str = "dry wind", **more: Any) -> dict[str, Any]:
    """A note as a phone makes it."""
    entry = write("note", {"text": text}, project=project, moment=clock(), by="MB", device=PHONE, **more)
    return json.loads(entry.envelope)


def push(client: TestClient, entries: list[Any], **more: Any) -> dict[str, Any]:
    answer = client.post("/bench/push", json={"device": PHONE, "entries": entries, **more})
    assert answer.status_code == 200, answer.text
    return answer.json()


def picture(kind: str = "JPEG", size: tuple[int, int] = (40, 30), **more: Any) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", size, (120, 60, 30)).save(out, kind, **more)
    return out.getvalue()


def photo(project: str, clock, data: bytes) -> dict[str, Any]:
    body = {"of": project, "blob": digest(data), "note": "crack"}
    return json.loads(write("photo", body, project=project, moment=clock(), device=PHONE).envelope)


def blob(data: bytes, mark: str | None = None) -> dict[str, str]:
    return {"sha256": mark or digest(data), "data": base64.b64encode(data).decode()}


# --- entries ---


def test_an_entry_is_kept_once_however_often_it_comes(client: TestClient, project: str, clock, desk: Desk) -> None:
    sent = note(project, clock)
    assert push(client, [sent, sent])["kept"] == [sent["id"]]
    again = push(client, [sent])
    assert (again["kept"], again["had"], again["aside"], again["refused"]) == ([], [sent["id"]], [], [])
    assert [fact["text"] for fact in desk.state(project).all("note")] == ["dry wind"]


def test_a_good_line_is_kept_beside_bad_ones(client: TestClient, project: str, clock, desk: Desk) -> None:
    good = note(project, clock)
    lines: list[Any] = [
        {**note(project, clock), "id": "not an id"},
        {key: value for key, value in note(project, clock).items() if key != "offset"},
        {**note(project, clock), "at": "yesterday"},
        {**note(project, clock), "body": "words"},
        {**note(project, clock), "body": {"text": "\ud800"}},
        "no entry",
        None,
        7,
        good,
    ]
    body = json.dumps({"device": PHONE, "entries": lines})
    said = client.post("/bench/push", content=body, headers={"Content-Type": "application/json"}).json()
    assert said["kept"] == [good["id"]]
    assert [each["code"] for each in said["refused"]] == ["envelope_not_understood"] * 8
    assert said["refused"][0]["id"] == "not an id"
    assert all(each["words"].startswith("This line is not an entry") for each in said["refused"])
    assert len(desk.state(project).all("note")) == 1


def test_kinds_and_schemas_of_a_newer_phone_are_kept(client: TestClient, project: str, clock, desk: Desk) -> None:
    unknown = {**note(project, clock), "kind": "weather_balloon"}
    newer = {**note(project, clock), "schema": 9}
    assert push(client, [unknown, newer])["kept"] == [unknown["id"], newer["id"]]
    assert store.entry_by_id(desk.notebook, unknown["id"]) is not None


def test_another_entry_under_the_same_id_is_set_aside(client: TestClient, project: str, clock, desk: Desk) -> None:
    first = note(project, clock)
    push(client, [first])
    assert push(client, [{**first, "body": {"text": "wet wind"}}])["aside"] == [first["id"]]
    assert [entry.body["text"] for entry in store.read_aside(desk.notebook)] == ["wet wind"]


def test_a_form_whose_answer_was_lost_and_that_was_then_kept_on_the_phone_is_one_entry(
    client: TestClient, home: str, project: str, clock, desk: Desk
) -> None:
    form_id = new_id()
    assert client.post(f"{home}/write/note", data={"text": "dry wind", "entry_id": form_id}).status_code == 303
    clock.ahead(minutes=3)
    said = push(client, [note(project, clock, entry_id=form_id)])
    assert (said["had"], said["aside"]) == ([form_id], [])
    assert store.read_aside(desk.notebook) == []


def test_two_phones_correcting_one_entry_leave_both_corrections_live(client: TestClient, project: str, clock, desk: Desk) -> None:
    first = note(project, clock)
    push(client, [first])
    one = note(project, clock, "dry wind, east", replaces=(first["id"],), reason="typing slip")
    other = note(project, clock, "dry wind, west", replaces=(first["id"],), reason="typing slip")
    push(client, [other])
    push(client, [one])
    fact = desk.state(project).fact(first["id"], "note")
    assert len(fact.contested) == 1
    assert {entry.body["text"] for entry in desk.state(project).versions.heads(fact.id)} == {"dry wind, east", "dry wind, west"}


def test_no_cookie_is_asked_for_but_another_site_is_not_taken(client: TestClient, project: str, clock) -> None:
    client.cookies.clear()
    assert push(client, [note(project, clock)])["kept"]
    body = {"device": PHONE, "entries": [note(project, clock)]}
    assert client.post("/bench/push", json=body, headers={"Origin": "http://elsewhere.example"}).status_code == 403


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"{",
        b"[]",
        b'"words"',
        b"{}",
        b'{"entries": {}}',
        b'{"entries": [], "blobs": [3]}',
        b"\xff\xfe",
        b"[" * 100_000,
        b"NaN",
    ],
)
def test_what_is_no_push_is_a_sentence(client: TestClient, body: bytes) -> None:
    answer = client.post("/bench/push", content=body)
    assert (answer.status_code, answer.json()["code"]) == (400, "push_not_read")
    assert "stays on the phone" in answer.json()["words"]


def test_too_much_at_once_is_not_taken_and_says_so(client: TestClient) -> None:
    answer = client.post("/bench/push", content=b" " * (32 * 1024**2 + 1))
    assert (answer.status_code, answer.json()["code"]) == (413, "push_too_large")


def test_many_lines_at_once_are_taken(client: TestClient, project: str, clock, desk: Desk) -> None:
    lines = [note(project, clock, f"wind {n}") for n in range(2_000)]
    assert push(client, lines)["kept"] == [line["id"] for line in lines]
    assert len(desk.state(project).all("note")) == 2_000


def test_the_lead_of_the_phones_clock_is_told_and_kept_beside_the_arrival(client: TestClient, project: str, clock) -> None:
    # The fixture's clock stands at 2026-03-04 08:00; the phone's is a day ahead: 24 h = 86 400 000 ms.
    ahead = clock() + timedelta(days=1)
    assert push(client, [note(project, clock)], now=ahead.isoformat())["clock_ahead_ms"] == 86_400_000
    assert push(client, [note(project, clock)], now="half past nine")["clock_ahead_ms"] == 0


# --- pictures ---


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_photo_comes_with_its_entry_and_is_seen_beside_it(
    client: TestClient, home: str, project: str, clock, kind: str
) -> None:
    data = picture(kind)
    sent = photo(project, clock, data)
    assert push(client, [sent], blobs=[blob(data)])["kept"] == [sent["id"]]
    shown = client.get(f"{home}/photo/{digest(data)}")
    assert shown.content == data
    assert shown.headers["content-type"] == f"image/{kind.lower()}"
    assert shown.headers["x-content-type-options"] == "nosniff"
    assert shown.headers["content-disposition"].startswith("inline")
    page = client.get(f"{home}/entry/{project}").text
    assert f'src="{home}/photo/{digest(data)}"' in page
    assert 'alt="Photo of Test wall: crack"' in page


def png_head(width: int, height: int) -> bytes:
    """A PNG that says it is this large (the IHDR chunk of the PNG standard, ISO/IEC 15948, 11.2.2), with no points in it."""
    import struct
    import zlib

    head = b"IHDR" + struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + struct.pack(">I", 13) + head + struct.pack(">I", zlib.crc32(head)) + b"\0\0\0\0IEND\xaeB`\x82"


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>", "picture_not_known"),
        (b"MZ\x90\x00 a program", "picture_not_known"),
        (b"\xff\xd8\xff\xe0 a program that begins like a photo", "picture_not_read"),
        (picture(size=(400, 300), quality=95)[:900], "picture_not_read"),
        (png_head(50_000, 50_000), "picture_too_many_points"),
        (b"RIFF\0\0\0\0WEBPVP8 ", "picture_not_read"),
    ],
)
def test_what_is_no_picture_is_refused_with_its_photo_and_the_rest_is_kept(
    client: TestClient, project: str, clock, desk: Desk, data: bytes, code: str
) -> None:
    sent, other = photo(project, clock, data), note(project, clock)
    said = push(client, [sent, other], blobs=[blob(data)])
    assert said["kept"] == [other["id"]]
    assert [(each["id"], each["code"]) for each in said["refused"]] == [(sent["id"], code)]
    assert store.read_blob(desk.notebook, digest(data)) is None


def test_a_picture_that_is_not_what_its_hash_says_is_refused(client: TestClient, project: str, clock, desk: Desk) -> None:
    data, other = picture(), picture(size=(41, 30))
    sent = photo(project, clock, data)
    said = push(client, [sent], blobs=[blob(other, mark=digest(data))])
    assert [(each["id"], each["code"]) for each in said["refused"]] == [(sent["id"], "picture_changed")]
    said = push(client, [sent], blobs=[{"sha256": digest(data), "data": "not base64!"}])
    assert [each["code"] for each in said["refused"]] == ["picture_changed"]
    assert push(client, [sent], blobs=[blob(data)])["kept"] == [sent["id"]]


def test_a_picture_over_the_limit_is_refused(client: TestClient, project: str, clock) -> None:
    data = picture() + b"\0" * pictures.MOST_BYTES
    said = push(client, [photo(project, clock, data)], blobs=[blob(data)])
    assert [each["code"] for each in said["refused"]] == ["picture_too_large"]


def test_a_photo_whose_picture_has_not_come_says_so(client: TestClient, home: str, project: str, clock) -> None:
    push(client, [photo(project, clock, picture())])
    assert "This picture has not arrived here yet" in client.get(f"{home}/entry/{project}").text
    assert client.get(f"{home}/photo/{digest(picture())}").status_code == 404


def test_pictures_of_other_projects_are_not_shown(client: TestClient, project: str, clock, desk: Desk, hand) -> None:
    data = picture()
    push(client, [photo(project, clock, data)], blobs=[blob(data)])
    other = desk.open_project({"name": "Another"}, hand())
    desk.keep([other])
    assert client.get(f"/p/{other.id}/photo/{digest(data)}").status_code == 404


def test_a_plain_form_keeps_a_photo_made_small_and_upright(client: TestClient, home: str, project: str, desk: Desk) -> None:
    # Orientation 6 (Exif 2.32, tag 0x0112): the row 0 is the right-hand side, so 2400 wide by 1200 stands 1200 by 2400.
    exif = Image.Exif()
    exif[0x0112] = 6
    exif[0x010E] = "where it was taken"
    data = picture(size=(2400, 1200), exif=exif)
    form_id = new_id()
    form = {"of": project, "note": "north wall", "entry_id": form_id, "back": f"{home}/entry/{project}"}
    for _ in range(2):
        answer = client.post(f"{home}/photo", data=form, files={"file": ("a.jpg", data, "image/jpeg")})
        assert (answer.status_code, answer.headers["location"]) == (303, f"{home}/entry/{project}?kept={form_id}")
    (fact,) = desk.state(project).all("photo")
    kept = store.read_blob(desk.notebook, fact["blob"])
    assert kept is not None
    shown = Image.open(io.BytesIO(kept))
    # 1600 is the longest side kept: 1200 × 1600 / 2400 = 800.
    assert (shown.format, shown.size, len(shown.getexif())) == ("JPEG", (800, 1600), 0)


def test_a_clear_ground_becomes_paper(client: TestClient, home: str, project: str, desk: Desk) -> None:
    out = io.BytesIO()
    Image.new("RGBA", (20, 20), (0, 0, 0, 0)).save(out, "PNG")
    client.post(f"{home}/photo", data={"of": project}, files={"file": ("a.png", out.getvalue(), "image/png")})
    kept = store.read_blob(desk.notebook, desk.state(project).all("photo")[0]["blob"])
    assert kept is not None
    assert Image.open(io.BytesIO(kept)).getpixel((10, 10)) == (255, 255, 255)


@pytest.mark.parametrize("file", [b"", b"words", b"\xff\xd8\xff\xe0 no photo"])
def test_a_plain_form_without_a_photo_is_a_sentence(client: TestClient, home: str, project: str, desk: Desk, file: bytes) -> None:
    answer = client.post(f"{home}/photo", data={"of": project}, files={"file": ("a.jpg", file, "image/jpeg")})
    assert answer.status_code == 422
    assert client.post(f"{home}/photo", data={"of": project}).status_code == 422
    assert client.post(f"{home}/photo", data={"of": "nothing"}, files={"file": ("a.jpg", picture())}).status_code == 404
    assert desk.state(project).all("photo") == []


# --- the sheet, the worker, the file ---


def test_the_sheet_says_which_of_the_phones_entries_are_here(client: TestClient, project: str, clock) -> None:
    here, not_here = note(project, clock), new_id()
    push(client, [here])
    sheet = client.post("/bench/sheet", json={"project": project, "device": PHONE, "have": [here["id"], not_here, 3]}).json()
    assert sheet["has"] == [here["id"]]
    assert sheet["project"]["id"] == project
    assert sheet["kinds"]["note"]["fields"][0]["name"] == "text"
    assert client.post("/bench/sheet", json={"project": "nothing", "have": []}).status_code == 404
    assert client.post("/bench/sheet", content=b"{").status_code == 400


def test_the_worker_is_asked_for_anew_and_names_files_that_are_there(client: TestClient) -> None:
    answer = client.get("/sw.js")
    assert answer.headers["cache-control"] == "no-cache"
    assert answer.headers["content-type"].startswith("text/javascript")
    version, files = answer.text.splitlines()[:2]
    assert client.get("/ready").headers["loamwright-version"] in version
    paths = json.loads(files.removeprefix("const FILES = ").removesuffix(";"))
    assert {"/bench", "/static/outbox.js", "/static/twin.js", "/static/look.css", "/static/loam-text-400-base.woff2"} <= set(
        paths
    )
    assert {path: client.get(path).status_code for path in paths} == dict.fromkeys(paths, 200)


def test_who_the_phone_says_is_at_the_bench_is_known_to_the_pages(client: TestClient, home: str) -> None:
    assert client.post("/bench/who", json={"name": "Ana Žužek"}).status_code == 204
    assert 'data-by="Ana Žužek"' in client.get(f"{home}/today").text


def waiting_file(entries: list[dict[str, Any]], blobs: list[bytes] = ()) -> bytes:  # type: ignore[assignment]
    lines: list[dict[str, Any]] = [{"format": FORMAT, "device": PHONE, "written": "2026-03-04T06:00:00.000Z"}, *entries]
    lines += [{"blob": digest(data), "data": base64.b64encode(data).decode()} for data in blobs]
    return "".join(f"{json.dumps(line)}\n" for line in lines).encode()


def test_a_file_of_what_waits_is_taken_in_line_by_line(client: TestClient, project: str, clock, desk: Desk) -> None:
    data = picture()
    first, second = note(project, clock, "one\u2028line"), photo(project, clock, data)
    file = waiting_file([first, second], [data]) + b'{"half": \n'
    page = client.post("/bench/import", files={"file": ("waiting.jsonl", file)}).text
    assert "2 entries taken in" in page
    assert "1 line not taken" in page
    again = client.post("/bench/import", files={"file": ("waiting.jsonl", file)}).text
    assert "2 were here already" in again
    assert len(desk.state(project).all("note")) == 1
    assert store.read_blob(desk.notebook, digest(data)) == data


@pytest.mark.parametrize("file", [b"", b"PK\x03\x04", b"{}\n", b"\xff" * 100, b"[1]\n"])
def test_any_other_file_is_a_sentence(client: TestClient, file: bytes) -> None:
    answer = client.post("/bench/import", files={"file": ("waiting.jsonl", file)})
    assert answer.status_code == 422
    assert "<main" in answer.text
    assert client.get("/bench/import").status_code == 200


def test_the_shell_takes_such_a_file_too(tmp_path: Path, project: str, clock, desk: Desk) -> None:
    from click.testing import CliRunner

    from loamwright.cli.main import main

    path = tmp_path / "waiting.jsonl"
    sent = note(project, clock)
    path.write_bytes(waiting_file([sent]))
    told = CliRunner().invoke(main, ["import", str(path), "--notebook", str(desk.notebook.path)])
    assert (told.exit_code, told.output.strip()) == (0, "1 entry taken in")
    path.write_bytes(waiting_file([sent, {"no": "entry"}]))
    told = CliRunner().invoke(main, ["import", str(path), "--notebook", str(desk.notebook.path), "--json"])
    assert told.exit_code == 1
    assert json.loads(told.output)["had"] == 1
    assert [each["code"] for each in json.loads(told.output)["refused"]] == ["envelope_not_understood"]
