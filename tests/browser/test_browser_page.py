"""The page in a real browser: sorts, ticks, prints, asks for nothing, can be used by everybody."""

from __future__ import annotations

import re
from base64 import b64decode
from typing import Any

import pytest
from watched import Open, Pages, requests

pytestmark = pytest.mark.browser

NAMES = ["garden", "family", "stuck"]
PAPERS = {"A4": (8.27, 11.69), "Letter": (8.5, 11.0)}
"""Inches (ISO 216; ANSI/ASME Y14.1, both from memory)."""
MARGIN = 14 / 25.4


def all_of(browser: Any, selector: str) -> list[Any]:
    return list(browser.find_elements("css selector", selector))


def ranks(browser: Any) -> list[str]:
    return [row.get_attribute("data-rank") for row in all_of(browser, "#s1 tr[data-rank]")]


def sorts(browser: Any, key: int) -> list[float | None]:
    cells = all_of(browser, f"#s1 tr[data-rank] td:nth-of-type({key + 1})")
    found = [cell.get_attribute("data-sort") for cell in cells]
    return [None if value is None else float(value) for value in found]


def tick(browser: Any, *wanted: int) -> None:
    boxes = all_of(browser, "#s1 tr[data-rank] input")
    for place in wanted:
        browser.execute_script("arguments[0].scrollIntoView({block: 'center'})", boxes[place])
        boxes[place].click()


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("width", [1280, 360])
def test_no_error_no_request_no_sideways_scrolling(
    opened: Open, pages: Pages, name: str, width: int
) -> None:
    browser = opened(name, width=width)
    for details in all_of(browser, "details"):
        browser.execute_script("arguments[0].open = true", details)
    if all_of(browser, "#s1 tr[data-rank] input"):
        tick(browser, 0, 1)
        assert all_of(browser, "#s1 .chosen table")
    wide = browser.execute_script("return document.documentElement.scrollWidth")
    assert wide <= width
    assert browser.get_log("browser") == []
    assert requests(browser) == [pages[name].as_uri()]


def test_every_column_sorts_both_ways(opened: Open) -> None:
    browser = opened("garden")
    buttons = all_of(browser, "#s1 .compared thead button")
    assert len(buttons) == len(all_of(browser, "#s1 .compared > .held thead th")) > 5
    for key, button in enumerate(buttons[1:]):
        for sign in (1, -1):
            button.click()
            values = sorts(browser, key)
            known = [sign * value for value in values if value is not None]
            assert known == sorted(known), button.text
            assert None not in values[: len(known)]
            heading = browser.execute_script("return arguments[0].parentElement", button)
            assert heading.get_attribute("aria-sort") == (
                "ascending" if sign == 1 else "descending"
            )
    buttons[0].click()
    assert ranks(browser) == [str(rank) for rank in range(1, 11)]
    assert len(all_of(browser, "#s1 [aria-sort]")) == 1


def test_sorting_by_keyboard_is_told(opened: Open) -> None:
    browser = opened("garden")
    first = ranks(browser)
    button = all_of(browser, "#s1 .compared thead button")[-1]
    button.send_keys("\n")
    button.send_keys(" ")
    assert ranks(browser) != first
    said = all_of(browser, "#s1 [role=status]")[0].text
    assert said == "Sorted by score mm, largest first."


def test_two_ticked_stand_side_by_side(opened: Open) -> None:
    browser = opened("garden")
    tick(browser, 0)
    assert not all_of(browser, "#s1 .chosen table")
    assert all_of(browser, "#s1 [role=status]")[0].text.startswith("One ticked")
    tick(browser, 7)
    heads = [th.text for th in all_of(browser, "#s1 .chosen thead th")]
    assert heads == ["candidate", "1", "8"]
    for rank, column in ((1, 1), (8, 2)):
        shown = all_of(browser, f"#s1 .chosen tbody tr:not(:first-child) td:nth-of-type({column})")
        cells = all_of(browser, f'#s1 tr[data-rank="{rank}"] td')
        assert [cell.text for cell in shown] == [cell.text for cell in cells]
    assert len(all_of(browser, "#s1 .chosen svg")) == 2
    only, none = all_of(browser, "#s1 .chosen button")
    only.click()
    seen = [each.get_attribute("id") for each in all_of(browser, "article") if each.is_displayed()]
    assert seen == ["s1-c1", "s1-c8"]
    none.click()
    assert not all_of(browser, "#s1 .chosen table")
    assert all(each.is_displayed() for each in all_of(browser, "article"))


def printed(browser: Any, paper: str) -> bytes:
    width, height = PAPERS[paper]
    asked = {"paperWidth": width, "paperHeight": height}
    return b64decode(browser.execute_cdp_cmd("Page.printToPDF", asked)["data"])


def sheets(pdf: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf))


@pytest.mark.parametrize("paper", list(PAPERS))
def test_it_prints_whole(opened: Open, paper: str) -> None:
    browser = opened("garden")
    pdf = printed(browser, paper)
    assert pdf.startswith(b"%PDF")
    # ten candidates of at least two sheets each, and a few sheets for what all share
    assert 22 <= sheets(pdf) <= 75
    tick(browser, 0, 7)
    all_of(browser, "#s1 .chosen button")[0].click()
    assert sheets(printed(browser, paper)) < sheets(pdf) / 2


@pytest.mark.parametrize("paper", list(PAPERS))
@pytest.mark.parametrize("name", NAMES)
def test_no_table_is_cut_on_paper(opened: Open, name: str, paper: str) -> None:
    browser = opened(name)
    inside = int((PAPERS[paper][0] - 2 * MARGIN) * 96)
    size = {"width": inside, "height": 900, "deviceScaleFactor": 1, "mobile": False}
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)
    # every cell ends on the paper, and every text inside its cell
    edges = browser.execute_script(
        "return Array.from(document.querySelectorAll('th, td, figure'))"
        ".map(e => Math.max(e.getBoundingClientRect().right,"
        " e.getBoundingClientRect().left + e.scrollWidth))"
    )
    assert len(edges) > 20
    assert max(edges) <= inside + 1
    assert not [b for b in all_of(browser, ".compared input, nav, .skip") if b.is_displayed()]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize("width", [1280, 360])
def test_no_serious_finding_of_axe(opened: Open, name: str, dark: bool, width: int) -> None:
    from importlib.resources import files

    browser = opened(name, dark=dark, width=width)
    if all_of(browser, "#s1 tr[data-rank] input"):
        tick(browser, 0, 1)
    axe = files("axe_core_python").joinpath("axe.min.js").read_text("utf-8")
    # as a driver's script, which the page's policy does not see
    browser.execute_script(axe)
    found = browser.execute_async_script(
        "const done = arguments[arguments.length - 1];"
        "axe.run(document, {resultTypes: ['violations']}).then(done);"
    )
    told = [
        f"{each['id']} ({each['impact']}): {node['html'][:160]} {node['failureSummary'][:200]}"
        for each in found["violations"]
        if each["impact"] in ("serious", "critical")
        for node in each["nodes"][:3]
    ]
    assert told == []
    assert len(found["passes"]) > 10


def test_without_script_the_table_is_whole_and_unsorted(opened: Open) -> None:
    browser = opened("garden", script=False)
    rows = all_of(browser, "#s1 tr[data-rank]")
    assert [row.get_attribute("data-rank") for row in rows] == [str(n) for n in range(1, 11)]
    assert all(row.is_displayed() for row in rows)
    assert not all_of(browser, "#s1 .compared thead button")
    assert not [e for e in all_of(browser, ".scripted") if e.is_displayed()]
    assert all(each.is_displayed() for each in all_of(browser, "article .pattern"))


def test_the_first_tab_leads_past_the_top(opened: Open) -> None:
    browser = opened("garden")
    from selenium.webdriver.common.keys import Keys

    browser.find_element("css selector", "body").send_keys(Keys.TAB)
    first = browser.switch_to.active_element
    assert first.get_attribute("class") == "skip"
    assert first.is_displayed()
    first.send_keys(Keys.ENTER)
    assert browser.current_url.endswith("#found")
