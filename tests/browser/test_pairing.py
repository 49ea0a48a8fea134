"""Adding a phone: by the address in home's picture, by a typed code, and what comes first."""

from __future__ import annotations

import re
from io import BytesIO
from typing import Any

import qrcode
from playwright.sync_api import Browser, BrowserContext, Page, expect

from helpers import browser as browsers
from helpers import camera
from helpers.camera import Camera
from helpers.desk import DeskHome
from helpers.live import LiveServer

IPHONE = (
    "Mozilla/5.0 (iPhone; CPU iPhone OS 17_5 like Mac OS X) AppleWebKit/605.1.15 "
    "(KHTML, like Gecko) Version/17.5 Mobile/15E148 Safari/604.1"
)
STANDALONE = "Object.defineProperty(navigator, 'standalone', { get: () => true });"


def devices(page: Page) -> list[dict[str, Any]]:
    """The list of devices, as a paired phone gets it."""
    found: Any = page.evaluate("async () => (await fetch('/api/devices')).json()")
    return list(found["devices"] if isinstance(found, dict) else found)


def skip_questions(page: Page) -> None:
    """Past the first questions."""
    page.get_by_role("button", name="Skip it all").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("At the sale")


def test_the_address_in_the_picture_adds_the_phone_with_one_tap_and_again_takes_its_place(
    phone: BrowserContext, home: DeskHome
) -> None:
    page = phone.new_page()
    code = home.pairing_code()
    page.goto(f"{home.url}/pair#{code}")
    expect(page.get_by_role("heading", level=1)).to_have_text("Add this phone")
    assert browsers.axe_violations(page) == []
    page.get_by_role("button", name="Add this phone").tap()
    skip_questions(page)
    (one,) = [d for d in devices(page) if d["name"] == "My phone"]
    assert not one.get("revoked")
    page.goto("about:blank")
    page.goto(f"{home.url}/pair#{home.pairing_code()}")
    page.get_by_label("What do you call this phone?").fill("Blue phone")
    page.get_by_role("button", name="Add this phone").tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("At the sale")
    names = [d["name"] for d in devices(page) if not d.get("revoked")]
    assert "Blue phone" in names
    assert "My phone" not in names


def test_opening_the_address_alone_spends_nothing(
    phone: BrowserContext, second_phone: BrowserContext, home: DeskHome
) -> None:
    address = f"{home.url}/pair#{home.pairing_code()}"
    looked = phone.new_page()
    looked.goto(address)
    expect(looked.get_by_role("button", name="Add this phone")).to_be_visible()
    page = second_phone.new_page()
    page.goto(address)
    page.get_by_role("button", name="Add this phone").tap()
    skip_questions(page)
    looked.get_by_role("button", name="Add this phone").tap()
    expect(looked.locator(".notice.stop")).to_be_visible()
    expect(looked.get_by_role("button", name="Type another code")).to_be_visible()


def test_a_typed_code_adds_the_phone_and_a_wrong_one_keeps_what_was_typed(
    phone: BrowserContext, home: DeskHome
) -> None:
    page = phone.new_page()
    page.goto(home.url)
    code = page.get_by_label("Or type the code")
    page.get_by_role("button", name="Add this phone").tap()
    expect(page.get_by_text("Type the code that home shows.")).to_be_visible()
    code.fill("AAAA")
    page.get_by_role("button", name="Add this phone").tap()
    expect(page.get_by_text("The code has 10 symbols; this has 4.")).to_be_visible()
    code.fill("AB-CDEF-GHJK")
    page.get_by_role("button", name="Add this phone").tap()
    expect(code).to_have_attribute("aria-invalid", "true")
    expect(code).to_have_value("AB-CDEF-GHJK")
    assert browsers.axe_violations(page) == []
    code.fill(home.pairing_code().lower())
    page.get_by_label("What do you call this phone?").fill("Rosa's phone")
    page.get_by_role("button", name="Add this phone").tap()
    skip_questions(page)
    assert "Rosa's phone" in [d["name"] for d in devices(page)]


def test_while_home_is_gone_the_code_stays_and_the_cure_is_said(
    phone: BrowserContext, live_server: LiveServer
) -> None:
    page = phone.new_page()
    code = live_server.pairing_code()
    page.goto(live_server.url)
    page.get_by_label("Or type the code").fill(code)
    live_server.kill()
    page.get_by_role("button", name="Add this phone").tap()
    expect(page.get_by_text("Home can't be reached.")).to_be_visible()
    expect(page.get_by_label("Or type the code")).to_have_value(code)
    live_server.start()
    page.get_by_role("button", name="Add this phone").tap()
    skip_questions(page)


def test_an_iphone_is_told_to_go_to_the_home_screen_first_and_the_code_is_not_spent(
    chromium: Browser, home: DeskHome
) -> None:
    code = home.pairing_code()
    with browsers.phone(chromium, user_agent=IPHONE) as tab:
        page = tab.new_page()
        page.goto(f"{home.url}/pair#{code}")
        expect(page.get_by_text("Add to the home screen first")).to_be_visible()
        expect(page.get_by_text(code)).to_be_visible()
        expect(page.get_by_role("button", name="Add this phone")).to_have_count(0)
        assert browsers.axe_violations(page) == []
    with browsers.phone(chromium, user_agent=IPHONE) as app:
        app.add_init_script(STANDALONE)
        page = app.new_page()
        page.goto(home.url)
        page.get_by_label("Or type the code").fill(code)
        page.get_by_role("button", name="Add this phone").tap()
        skip_questions(page)
        assert len([d for d in devices(page) if d["name"] == "My phone"]) == 1


def test_the_picture_is_scanned_in_the_app_itself_and_still_waits_for_a_tap(
    home: DeskHome, lens: Camera
) -> None:
    code = home.pairing_code()
    picture = BytesIO()
    qrcode.make(f"{home.url}/pair#{code}").save(picture, "PNG")
    still = camera.still([(picture.getvalue(), (640, 360), 400)])
    lens.show(still)
    with browsers.phone(lens.browser) as phone:
        page = phone.new_page()
        page.goto(home.url)
        page.get_by_role("button", name="Scan the picture at home").tap()
        expect(page.get_by_label("Or type the code")).to_have_value(code, timeout=15_000)
        page.get_by_role("button", name="Add this phone").tap()
        skip_questions(page)


def test_the_first_answers_become_the_households_numbers(
    phone: BrowserContext, home: DeskHome
) -> None:
    page = phone.new_page()
    page.goto(f"{home.url}/pair#{home.pairing_code()}")
    page.get_by_role("button", name="Add this phone").tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("Your numbers")
    assert browsers.axe_violations(page) == []
    page.get_by_label("An hour of your work is worth").fill("22")
    page.get_by_label("Cash you start with").fill("140.50")
    page.get_by_label("Half").check()
    page.get_by_label("Side chair").fill("61")
    page.get_by_label("Time zone").fill("Middle/Earth")
    page.get_by_role("button", name="Save and go to the sale").tap()
    expect(page.get_by_text("This time zone is not known.")).to_be_visible()
    page.get_by_label("Time zone").fill("America/Chicago")
    page.get_by_role("button", name="Save and go to the sale").tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("At the sale")
    setting, kinds = page.evaluate(
        """() => {
          const { household } = document.querySelector('crest-shell');
          return [household.setting, household.all('kind')];
        }"""
    )
    assert (setting["wage_per_hour"], setting["cash_start"]) == (2200, 14_050)
    assert (setting["salvage_ppm"], setting["time_zone"]) == (500_000, "America/Chicago")
    assert setting["min_profit"] == 1500
    assert re.match(r"\d{4}-\d\d-\d\dT", setting["set_up_at"])
    prices = {kind["name"]: (kind["typical_price"], kind["sureness"]) for kind in kinds}
    assert prices["Side chair"] == (6100, "fair")
    assert prices["Armchair"][1] == "guess"
