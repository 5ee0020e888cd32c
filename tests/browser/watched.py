"""What the tests and their fixtures share: names of types, and what a page asked for."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

Pages = dict[str, Path]
Open = Callable[..., Any]


def requests(browser: Any) -> list[str]:
    """Every address asked for since the page was opened."""
    events = [json.loads(entry["message"])["message"] for entry in browser.get_log("performance")]
    return [
        event["params"]["request"]["url"]
        for event in events
        if event["method"] == "Network.requestWillBeSent"
    ]
