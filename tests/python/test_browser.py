"""The page as a person meets it: on a screen, a telephone, in the dark, on paper."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from shutil import which
from subprocess import run
from typing import TYPE_CHECKING

import pytest

import mountwright as mw

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

pytestmark = pytest.mark.browser

# Sizes in points of 1/72 in: A4 of ISO 216, Letter of ANSI/ASME Y14.1.
PAPERS = {"A4": (595, 842), "Letter": (612, 792)}


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    # Imported here: where the browser's tests are deselected, its library may be missing.
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        # Root, as in a container, has no sandbox of its own.
        chromium = playwright.chromium.launch(
            executable_path=which("chromium"), args=["--no-sandbox"]
        )
        yield chromium
        chromium.close()


@pytest.fixture(scope="module", params=["pods", "rings"])
def plan(request: pytest.FixtureRequest) -> mw.Plan:
    found: mw.Plan = request.getfixturevalue(request.param)
    return found


@pytest.fixture(scope="module")
def url(plan: mw.Plan, tmp_path_factory: pytest.TempPathFactory) -> str:
    return plan.write_packet(tmp_path_factory.mktemp("packet")).as_uri()


def opened(browser: Browser, url: str, width: int, scheme: str = "light") -> Page:
    context = browser.new_context(
        viewport={"width": width, "height": 800},
        color_scheme="dark" if scheme == "dark" else "light",
    )
    page = context.new_page()
    page.goto(url)
    return page


@pytest.mark.parametrize("width", [360, 768, 1280])
def test_nothing_is_wider_than_the_screen(browser: Browser, url: str, width: int) -> None:
    page = opened(browser, url, width)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.context.close()


def test_the_page_is_quiet_and_asks_for_nothing(browser: Browser, url: str) -> None:
    context = browser.new_context()
    page = context.new_page()
    said: list[str] = []
    asked: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("request", lambda request: asked.append(request.url))
    page.goto(url)
    assert said == []
    assert [it for it in asked if not it.startswith(("data:", url))] == []
    context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_page_is_accessible(browser: Browser, url: str, scheme: str) -> None:
    # The rules of WCAG 2.1 levels A and AA that axe-core can check, contrast among them. The page
    # forbids scripts; axe is let in past that rule, which is checked elsewhere.
    from axe_playwright_python.sync_playwright import Axe

    context = browser.new_context(
        bypass_csp=True, color_scheme="dark" if scheme == "dark" else "light"
    )
    page = context.new_page()
    page.goto(url)
    found = Axe().run(page, options={"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"]})
    assert found.violations_count == 0, found.generate_report()
    context.close()


@pytest.mark.parametrize("paper", PAPERS)
def test_bench_cards_fit_one_page_each(
    browser: Browser, plan: mw.Plan, url: str, tmp_path: Path, paper: str
) -> None:
    pages = printed(browser, url, tmp_path, paper)
    hot = 0
    for part in plan.parts:
        heading = rf"BENCH CARD +{re.escape(part.name)}"
        found = [i for i, page in enumerate(pages) if re.search(heading, page)]
        assert len(found) == 1, part.name
        cards = pages[found[0]].count("BENCH CARD")
        # What stands at the foot of a card stands on the same page.
        assert pages[found[0]].count("Before it leaves the bench") == cards
        assert pages[found[0]].count("Air bags and the driver") == cards
        if part.recipe:
            # The card of a heated part has a page to itself, from the first page on.
            assert (found[0], cards) == (hot, 1)
            hot += 1
    for number, text in enumerate(pages, start=1):
        assert f"Page {number} of {len(pages)}" in text
        assert plan.job.name in text
    # A few pages, not fifteen.
    assert len(pages) <= 7 + len(plan.parts)


@pytest.mark.parametrize("paper", PAPERS)
def test_nothing_is_cut_off_on_paper(
    browser: Browser, url: str, tmp_path: Path, paper: str
) -> None:
    printed(browser, url, tmp_path, paper)
    boxes = run(
        ["pdftotext", "-bbox", tmp_path / f"{paper}.pdf", "-"],
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    wide, _ = PAPERS[paper]
    right = [float(x) for x in re.findall(r'<word [^>]*xMax="([\d.]+)"', boxes)]
    assert len(right) > 200
    # Half the margin of 12 mm: text that runs out of its box would stand there.
    assert max(right) < wide - 17


def test_cautions_are_not_smaller_than_the_text(browser: Browser, url: str) -> None:
    page = opened(browser, url, 1280)
    for medium in ("screen", "print"):
        page.emulate_media(media=medium)
        sizes = page.evaluate(
            "[document.body, ...document.querySelectorAll('.bench .cautions li')]"
            ".map(e => parseFloat(getComputedStyle(e).fontSize))"
        )
        assert len(sizes) > 1
        assert min(sizes) >= sizes[0], medium
    page.context.close()


def test_dark_mode_prints_black_on_white(browser: Browser, url: str) -> None:
    page = opened(browser, url, 1280, "dark")
    colours = "getComputedStyle(document.body)"
    assert page.evaluate(f"{colours}.backgroundColor") == "rgb(23, 26, 30)"
    page.emulate_media(media="print", color_scheme="dark")
    assert page.evaluate(f"{colours}.backgroundColor") == "rgb(255, 255, 255)"
    assert page.evaluate(f"{colours}.color") == "rgb(27, 31, 35)"
    page.context.close()


def printed(browser: Browser, url: str, folder: Path, paper: str) -> list[str]:
    page = opened(browser, url, 1280, "dark")
    pdf = folder / f"{paper}.pdf"
    page.pdf(path=pdf, format=paper)
    page.context.close()
    text = run(
        ["pdftotext", "-layout", pdf, "-"], capture_output=True, text=True, check=True
    ).stdout
    return [re.sub(r"[ ]+\n", "\n", one) for one in text.split("\f") if one.strip()]


@pytest.mark.parametrize("paper", PAPERS)
def test_the_card_of_a_part_that_fails_is_loud_and_fits_one_page(
    browser: Browser, hopeless: mw.Plan, tmp_path: Path, paper: str
) -> None:
    url = hopeless.write_packet(tmp_path / "packet").as_uri()
    pages = printed(browser, url, tmp_path, paper)
    for part, text in zip(hopeless.parts, pages, strict=False):
        assert re.search(rf"BENCH CARD +{re.escape(part.name)}", text)
        assert "DO NOT MAKE" in text
        assert "Air bags and the driver" in text
    page = opened(browser, url, 1280)
    page.emulate_media(media="print")
    size, head, line = page.evaluate(
        "[document.body, document.querySelector('.bench .stop strong'),"
        " document.querySelector('.fails li')].map(e => parseFloat(getComputedStyle(e).fontSize))"
    )
    assert head > 2 * size
    assert line >= size
    page.context.close()
