"""The Content-Security-Policy of a page, read as a browser does (W3C, Content Security Policy Level 3, from memory)."""

import re
from html.parser import HTMLParser

INLINE = "'unsafe-inline'"
LOCAL = {"'none'", "'self'", "file:", "data:", INLINE}
"""Sources that are no network; a browser may know a page in a folder by its scheme only."""


class _Head(HTMLParser):
    """Finds the policy, and what a page would load or run before it holds."""

    def __init__(self) -> None:
        super().__init__()
        self.policy: str | None = None
        self.early: list[str] = []
        self.inline: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "meta" and given.get("http-equiv") == "Content-Security-Policy":
            self.policy = given["content"]
        elif self.policy is None and tag in ("script", "link", "style", "img"):
            self.early.append(tag)
        self.inline += [name for name, _ in attrs if name.startswith("on")]
        self.inline += [tag] if tag == "script" and "src" not in given else []


def policy_of(page: str) -> dict[str, set[str]]:
    """Return the sources of each directive; the policy holds for all of the page, which has no script in its HTML."""
    head = _Head()
    head.feed(page)
    assert head.policy is not None
    assert head.early == head.inline == []
    directives = (re.split(r"\s+", part.strip()) for part in head.policy.split(";"))
    return {name: set(sources) for name, *sources in directives}


def assert_nothing_foreign(policy: dict[str, set[str]]) -> None:
    """No script but the page's own, no network, no form that is sent, no other base."""
    assert policy["default-src"] == policy["base-uri"] == policy["form-action"] == {"'none'"}
    for sources in policy.values():
        assert sources <= LOCAL
    assert policy.get("script-src", {"'none'"}) <= {"'none'", "'self'", "file:"}
