"""Every screen of the web app, each with the one line that opens it."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import quote

from playwright.sync_api import Page, Route, expect

ROOT = Path(__file__).resolve().parents[2]
FIXTURES = ROOT / "fixtures"
PERSON = {"username": "every-screen", "name": "E. Screen", "password": "every-screen-once"}

# Records of the demo, by machine: what is found there, and whether the inspection is closed.
TRUCK, MOTORCYCLE, BUGGY, SOUND, APART = (
    "everything_wrong", "metric_commas", "us_fractions", "nearly_new", "hard_neglected",
)  # fmt: skip
CLOSED = {SOUND}


@dataclass(frozen=True, slots=True)
class Screen:
    """One screen. where: the address after the inspection's; shows: its heading or a part of it;
    of: the record it is of, None for a screen of no inspection; do: what is tapped there first."""

    name: str
    where: str
    shows: str
    of: str | None = TRUCK
    do: Callable[[Page], None] | None = None

    def open(self, page: Page, ids: dict[str, str]) -> None:
        """Go there by its address, wait for its heading, and do what is to be done there."""
        screen, _, about = self.where.partition("/")
        prefix = "" if self.of is None else f"i/{ids[self.of]}/"
        page.goto(f"/#/{prefix}{screen}/{quote(about, safe='')}")
        expect(page.locator("h1")).to_contain_text(self.shows)
        if self.do is not None:
            self.do(page)


def _open_all(page: Page) -> None:
    """Everything that is folded away."""
    page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")


def _open_set_up(page: Page) -> None:
    """What can wait comes a moment after the rest."""
    expect(page.get_by_text("You and your units")).to_be_visible()
    _open_all(page)


def _which_one(page: Page) -> None:
    """Asked once the guide of this very machine is here."""
    expect(page.get_by_role("heading", name="Which one was it?")).to_be_visible(timeout=20_000)


def _which_part(page: Page) -> None:
    _which_one(page)
    page.get_by_role("link", name="Where the coil rubs").first.click()
    expect(page.get_by_role("link", name="Say which one it was")).to_be_visible()


def _not_now(page: Page) -> None:
    """A work declined, and the sentence that is signed for it."""
    page.get_by_text("Not now").first.click()
    expect(page.get_by_text("Not to be done now").first).to_be_visible()


def _no_number(page: Page) -> None:
    page.get_by_role("textbox").first.fill("1e3")
    page.locator("nav.bench .next").press("Enter")
    expect(page.locator(".problem").first).to_be_visible()


def _issue(page: Page) -> None:
    page.get_by_role("button", name="Issue the report").click()
    expect(page.get_by_role("link", name="Download the PDF")).to_be_visible(timeout=60_000)


def _mark_it(page: Page) -> None:
    page.get_by_role("link", name="Mark it").click()
    page.wait_for_url("**/photo/**")
    expect(page.locator("nav.bench")).to_be_visible()


def _ungraded(page: Page) -> None:
    """Nothing is graded while an answer is of a spring that the set-up has no more."""
    page.get_by_text(re.compile("^Dampers, front")).click()
    springs = page.get_by_role("group", name="Springs on each").first
    springs.get_by_text("1", exact=True).click()
    page.locator("nav.bench .next").click()
    page.wait_for_function("() => !location.hash.includes('/setup')")
    page.goto(re.sub(r"(/i/[^/]+)/.*", r"\1/assessment", page.url))
    expect(page.locator("h1")).to_contain_text("cannot be graded", timeout=20_000)


def _refused(page: Page) -> None:
    """The server will not have what was changed last."""
    page.context.route("**/api/sync", _refusing)
    page.locator("label.word").first.click()
    page.goto("/#/outbox")
    page.get_by_role("button", name="Try now").click()
    expect(page.get_by_text("Refused: needs you")).to_be_visible()
    page.context.unroute("**/api/sync")


def _refusing(route: Route) -> None:
    changes = (route.request.post_data_json or {})["changes"]
    why = {"outcome": "refused", "why": "It is too long to be kept.", "position": None}
    results = [{"id": change["id"], **why} for change in changes]
    route.fulfill(json={"results": results, "changes": [], "cursor": None, "more": False})


SCREENS = [
    Screen("start", "", "Inspections", None),
    Screen("who is signed in", "sign-in", "E. Screen", None),
    Screen("screen and gloves", "look", "Screen and gloves", None),
    Screen("waiting to be sent", "outbox", "Waiting to be sent", None),
    Screen("machine", "m/019b7def-6680-7793-8186-e1171fbf9d2f", "The bitsa", None),
    Screen("set-up, truck", "setup", "What is it", do=_open_set_up),
    Screen("set-up, buggy", "setup", "What is it", BUGGY, _open_set_up),
    Screen("set-up, motorcycle", "setup", "What is it", MOTORCYCLE, _open_set_up),
    Screen("figures", "figures/front", "Known figures", do=_open_all),
    Screen("figures, motorcycle", "figures/rear", "Known figures", MOTORCYCLE, _open_all),
    Screen("conditions", "conditions", "How does it stand"),
    Screen("cautions", "cautions", "Before you touch it"),
    Screen("step, words", "step/mounting@front_left", "mount"),
    Screen("step, words, motorcycle", "step/shaft_seal@front", "", MOTORCYCLE),
    Screen("step, number", "step/ride_height@front_left", "ight"),
    Screen("step, no number", "step/ride_height@front_right", "ight", do=_no_number),
    Screen("step, readings", "step/bearing_play@front_left/lower", "earing"),
    Screen("step, bounce", "step/bounce@front_left", "", do=_open_all),
    Screen("step, height, motorcycle", "step/ride_height@rear", "ight", MOTORCYCLE),
    Screen("step, marks", "step/shaft_surface@front_left", "haft"),
    Screen("step, photos", "step/body_wall@front_left", "", do=_open_all),
    Screen("picture, marked", "step/body_wall@front_left", "", do=_mark_it),
    Screen("step, several true", "step/ride_feel", "", SOUND),
    Screen("step, two answers", "step/bearing_play@front_left/lower", "earing", APART),
    Screen("step, closed by danger", "step/ride_feel", ""),
    Screen("bounce by the phone", "bounce/bounce@front_left", "Record the bounce"),
    Screen("cannot get to it", "why/bearing_play@front_left/lower", "Why can you not get to it"),
    Screen("map", "map", "The machine"),
    Screen("map, motorcycle", "map", "The machine", MOTORCYCLE),
    Screen("map, buggy", "map", "The machine", BUGGY),
    Screen("open items", "open", "", do=_open_all),
    Screen("open items, which one was it", "open", "", APART, _which_one),
    Screen("step, which part", "open", "", APART, _which_part),
    Screen("assessment", "assessment", "Park it"),
    Screen("assessment, buggy", "assessment", "", BUGGY, _open_all),
    Screen("assessment, motorcycle", "assessment", "", MOTORCYCLE, _open_all),
    Screen("assessment, sound", "assessment", "", SOUND, _open_all),
    Screen("finding, bearing", "finding/bearing_play@front_left/lower", "earing", do=_open_all),
    Screen("finding, marks", "finding/shaft_surface@front_left", "", do=_open_all),
    Screen("finding, bounce", "finding/bounce@front_left", "", do=_open_all),
    Screen("finding, height", "finding/ride_height@front_left", "", do=_open_all),
    Screen("finding, coil", "finding/coil_contact@rear_left", "", do=_open_all),
    Screen("finding, closed", "finding/ride_height@front_left", "in order", SOUND),
    Screen("height", "height", "How it stands"),
    Screen("height, motorcycle", "height", "How it stands", MOTORCYCLE),
    Screen("report", "report", ""),
    Screen("agree and sign", "sign", "", TRUCK, _not_now),
    Screen("report, closed", "report", "", SOUND),
    Screen("read only", "step/shaft_seal@front_left", "", SOUND),
    Screen("not on this phone", "i/no-such-inspection", "Not on this", None),
    Screen("report, issued", "report", "", SOUND, _issue),
    Screen("grade refused", "setup", "What is it", APART, _ungraded),
    Screen("something was refused", "step/guard@front_left", "", BUGGY, _refused),
]  # fmt: skip
FIRST_SCREENS = [
    Screen("first start", "", "Look at it, and it draws itself", None),
    Screen("sign in", "sign-in", "Sign in", None),
]


def sign_in(page: Page) -> None:
    """As the person of `fill`, until everything of hers is on the phone."""
    page.goto("/#/sign-in")
    page.get_by_role("textbox", name="Name you sign in with").fill(PERSON["username"])
    page.get_by_role("textbox", name="Password").fill(PERSON["password"])
    page.locator("nav.bench .next").click()
    expect(page.get_by_text("1 closed")).to_be_visible(timeout=30_000)


def fill(data_folder: Path, made_in: Path) -> dict[str, str]:
    """Load one person's inspections into the server's data; the id of each, by record."""
    scenario, ids = _scenario(made_in)
    path = made_in / "scenario.json"
    path.write_text(json.dumps(scenario), encoding="utf-8")
    code = (
        "import pathlib; from inspect_app.demo.scenario import load_scenario; "
        f"load_scenario(pathlib.Path({str(path)!r}), site='http://localhost')"
    )
    environment = {**os.environ, "INSPECT_DATA_DIR": str(data_folder)}
    environment.pop("DJANGO_SETTINGS_MODULE", None)
    manage = [sys.executable, str(ROOT / "manage.py"), "shell", "-v0", "-c", code]
    subprocess.run(manage, cwd=ROOT, env=environment, check=True)
    return ids


def _scenario(made_in: Path) -> tuple[dict[str, Any], dict[str, str]]:
    demo = json.loads((FIXTURES / "demo" / "scenario.json").read_text(encoding="utf-8"))
    wanted = (TRUCK, MOTORCYCLE, BUGGY, SOUND, APART)
    inspections, ids, machines = [], {}, {}
    for organisation in demo["organisations"]:
        for one in organisation["inspections"]:
            name = Path(one["record"]).stem
            if name not in wanted:
                continue
            record = json.loads((FIXTURES / "records" / f"{name}.json").read_text(encoding="utf-8"))
            if name == APART:
                _set_apart(record)
            path = made_in / f"{name}.json"
            path.write_text(json.dumps(record), encoding="utf-8")
            ids[name] = record["id"]
            machines[one["machine"]] = next(
                machine for machine in organisation["machines"] if machine["id"] == one["machine"]
            )
            inspections.append(
                one | {"record": str(path), "report": False, "closed": name in CLOSED}
            )
    return {
        "photos_folder": str(_photos(made_in)),
        "organisations": [
            {
                "name": "Every screen",
                "people": [PERSON | {"role": "manager"}],
                "machines": list(machines.values()),
                "inspections": inspections,
            }
        ],
    }, ids


def _set_apart(record: dict[str, Any]) -> None:
    """One check answered twice, and one answered before two springs were told apart."""
    observations = record["observations"]
    (play,) = (
        one for one in observations
        if (one["checkpoint"], one.get("at"), one.get("part"))
        == ("bearing_play", "front_left", "lower")
    )  # fmt: skip
    observations.append(
        {
            **{key: play[key] for key in ("checkpoint", "at", "part", "status")},
            "id": "01900000-0000-7000-8000-000000000001",
            "seen": "felt",
        }
    )
    coils = [
        one for one in observations
        if one["checkpoint"] == "coil_contact" and one.get("at") == "front_left"
    ]  # fmt: skip
    for one in coils[1:]:
        observations.remove(one)
    coils[0]["part"] = None


def _photos(made_in: Path) -> Path:
    """Few of the pictures: each is read, turned and made small anew."""
    folder = made_in / "photos"
    folder.mkdir()
    for name in ("body_groove.jpg", "bearing_feeler.jpg", "seal_dripping.jpg"):
        (folder / name).symlink_to(FIXTURES / "photos" / name)
    return folder
