"""The demo command: loads once, serves, and says in one sentence what is in its way."""

import http.client
import ipaddress
import json
import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from datetime import datetime
from pathlib import Path

import pytest
from django.db.models import Count

from inspect_app.demo import front_end
from inspect_app.demo.front_end import CannotBuild, build
from inspect_app.demo.network import addresses_for_others
from inspect_app.demo.scenario import load_scenario, sign_ins
from inspect_app.inspections.models import Change, Inspection
from inspect_app.people.models import Organisation
from inspect_app.reports.models import Report

ROOT = Path(__file__).parent.parent.parent
ALL = "0.0.0.0"  # noqa: S104 - the very thing under test
SCENARIO = ROOT / "fixtures" / "demo" / "scenario.json"


def demo(*arguments: str, data: Path) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "manage.py", "demo", *arguments],
        cwd=ROOT,
        env=os.environ | {"INSPECT_DATA_DIR": str(data), "INSPECT_DATABASE_URL": ""},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def refusal(process: subprocess.Popen[str]) -> str:
    """The one sentence it stopped with."""
    _, said = process.communicate(timeout=60)
    assert process.returncode == 1
    assert "Traceback" not in said
    assert len(said.strip().splitlines()) == 1
    return said


@pytest.mark.django_db
def test_the_scenario_goes_through_the_same_doors_as_a_phone_and_twice_is_once() -> None:
    given = json.loads(SCENARIO.read_text())["organisations"]
    load_scenario(SCENARIO, site="http://localhost:8000/")
    counts = (Change.objects.count(), Inspection.objects.count(), Report.objects.count())
    assert counts[1] == sum(len(one["inspections"]) for one in given) >= 12
    assert counts[2] == sum(i["report"] for one in given for i in one["inspections"])
    closed = sum(i["closed"] for one in given for i in one["inspections"])
    assert Inspection.objects.exclude(closed_at=None).count() == closed
    # Nothing is seen or photographed after its inspection was closed.
    closings = dict(Inspection.objects.exclude(closed_at=None).values_list("phone_id", "closed_at"))
    for change in Change.objects.filter(inspection_phone_id__in=closings):
        body = json.loads(change.body)
        when = body.get("taken_at") or body.get("recorded_at")
        assert not when or datetime.fromisoformat(when) < closings[change.inspection_phone_id]
    load_scenario(SCENARIO, site="http://localhost:8000/")
    assert (
        Change.objects.count(),
        Inspection.objects.count(),
        Report.objects.count(),
    ) == counts
    assert Organisation.objects.annotate(n=Count("members")).filter(n=0).count() == 0
    assert len(sign_ins(SCENARIO)) == len(given)


def test_a_port_in_use_is_one_sentence(tmp_path: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        assert f"Port {port} is in use" in refusal(demo("--port", port, data=tmp_path))


def test_a_folder_that_cannot_be_written_is_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    assert "cannot be written to" in refusal(demo("--prepare", data=tmp_path / "file" / "x"))


def test_a_missing_or_old_node_is_one_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(CannotBuild, match=r"not installed\. Install Node 20\.19 or newer"):
        build(ROOT, say=print)
    for name in ("node", "npm"):
        program = tmp_path / name
        program.write_text("#!/bin/sh\necho v18.19.1\n")
        program.chmod(0o755)
    with pytest.raises(CannotBuild, match=r"Node v18\.19\.1 is too old"):
        build(ROOT, say=print)


def test_a_build_is_stale_once_a_source_is_newer(tmp_path: Path) -> None:
    for source in front_end.SOURCES:
        (tmp_path / source).mkdir(parents=True)
    page = tmp_path / "frontend" / "dist" / "index.html"
    source = tmp_path / "inspect_app" / "engine" / "api.py"
    source.write_text("")
    assert not front_end.is_built(tmp_path)
    page.parent.mkdir()
    page.write_text("")
    os.utime(source, (1000, 1000))
    assert front_end.is_built(tmp_path)
    os.utime(source, (page.stat().st_mtime + 5,) * 2)
    assert not front_end.is_built(tmp_path)


def test_an_address_this_machine_has_not_is_one_sentence(tmp_path: Path) -> None:
    # 192.0.2.0/24 is nobody's (RFC 5737).
    assert "has no address 192.0.2.7" in refusal(demo("--host", "192.0.2.7", data=tmp_path))


@pytest.mark.parametrize(
    ("host", "others"),
    [
        ("127.0.0.1", []), ("::1", []), ("localhost", []),
        ("192.0.2.7", ["192.0.2.7"]), ("bench.example", ["bench.example"]),
    ],
)  # fmt: skip
def test_only_what_listens_beyond_this_machine_has_an_address_for_phones(
    host: str, others: list[str]
) -> None:
    assert addresses_for_others(host) == others


def test_all_addresses_are_told_as_the_one_this_machine_goes_out_by() -> None:
    for own in addresses_for_others(ALL):
        ip = ipaddress.ip_address(own)
        assert not ip.is_unspecified
        assert not ip.is_loopback
        with socket.socket() as probe:
            probe.bind((own, 0))  # one of its own indeed


def _begins_privately(host: str, port: int) -> None:
    """As a phone in the network: the page, the token, a post from the page's own address."""
    phone = http.client.HTTPConnection(host, port, timeout=10)
    phone.request("GET", "/api/session")
    answer = phone.getresponse()
    token = {
        "Cookie": answer.headers["Set-Cookie"].split(";")[0],
        "X-CSRFToken": json.load(answer)["csrf"],
    }
    origin = {"Origin": f"http://{host}:{port}", "Content-Type": "application/json"}
    phone.request("POST", "/api/session/private", body="{}", headers=origin | token)
    assert json.load(phone.getresponse())["person"]["private"] is True


def test_it_serves_and_says_where_and_as_whom(tmp_path: Path) -> None:
    if not front_end.is_built(ROOT) and shutil.which("npm") is None:
        pytest.skip("the front end is not built, and Node is not installed (nodejs.org)")
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = str(probe.getsockname()[1])
    process = demo("--host", ALL, "--port", port, data=tmp_path)
    try:
        deadline = time.monotonic() + 240
        while True:
            try:
                with urllib.request.urlopen(f"http://localhost:{port}/", timeout=2) as page:
                    assert page.status == 200
                break
            except (urllib.error.URLError, OSError):
                assert process.poll() is None, process.communicate()
                assert time.monotonic() < deadline
                time.sleep(0.2)
        for other in addresses_for_others(ALL):
            _begins_privately(other, int(port))
    finally:
        process.terminate()
    said, _ = process.communicate(timeout=20)
    assert f"http://localhost:{port}/" in said
    for other in addresses_for_others(ALL):
        assert f"On a phone in the same network: http://{other}:{port}/" in said
        assert "need HTTPS" in said
    for _, username, password in sign_ins(SCENARIO):
        assert username in said
        assert password in said
