"""A photo of a jar or of a broken block is seen beside its readings, and can be added there."""

import io

import pytest
from PIL import Image
from starlette.testclient import TestClient

from loamwright.notebook.entry import local_now, new_id
from loamwright.project.demo import load_demo
from loamwright.project.desk import Desk


def picture() -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (60, 40), (150, 110, 80)).save(out, "JPEG")
    return out.getvalue()


@pytest.mark.parametrize(("kind", "page"), [("jar", "shake/jar"), ("crush", "break/block")])
def test_a_photo_stands_beside_what_it_shows(client: TestClient, desk: Desk, kind: str, page: str) -> None:
    project = load_demo(desk, local_now())
    fact = desk.state(project).all(kind)[0]
    address = f"/p/{project}/{page}/{fact.id if kind == 'jar' else fact['block']}"
    assert "data-photo" in client.get(address).text
    sent = client.post(
        f"/p/{project}/photo",
        data={"of": fact.id, "note": "clear water above", "entry_id": new_id(), "back": address},
        files={"file": ("jar.jpg", picture(), "image/jpeg")},
    )
    assert sent.status_code == 303
    html = client.get(address).text
    shown = desk.state(project).all("photo")[0]["blob"]
    assert f'src="/p/{project}/photo/{shown}"' in html
    assert "clear water above" in html
    assert client.get(f"/p/{project}/photo/{shown}").headers["content-type"] == "image/jpeg"
