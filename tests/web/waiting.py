"""Waiting until something is so, where what is looked at is no single locator."""

import time

MOST_S = 60.0
PAUSE_MS = 20.0


def until(page, ask):
    """Ask until the answer is true, and give it; meanwhile the page and its requests go on."""
    end = time.monotonic() + MOST_S
    while not (answer := ask()):
        assert time.monotonic() < end, "it never came to be so"
        page.wait_for_timeout(PAUSE_MS)
    return answer


def until_so(page, script):
    """Wait until a script says so; a page that forbids scripts from texts allows this way only."""
    until(page, lambda: page.evaluate(script))
