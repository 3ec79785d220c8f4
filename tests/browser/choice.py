"""Which browser to take: a pure function of the system, its environment and the files that are there."""

from collections.abc import Callable, Iterator, Mapping

VARIABLE = "CHROMIUM"
"""Names a browser, and then no other is tried."""

_PROGRAMS = (
    *("google-chrome", "google-chrome-stable", "chromium", "chromium-browser"),
    *("microsoft-edge", "microsoft-edge-stable"),
)
_LINUX = ("/opt/google/chrome/chrome", "/usr/bin/chromium", "/snap/bin/chromium", "/opt/microsoft/msedge/msedge")
_MAC = ("Google Chrome", "Chromium", "Microsoft Edge")
_WINDOWS_BASES = ("PROGRAMFILES", "PROGRAMFILES(X86)", "LOCALAPPDATA")
_WINDOWS = (
    r"Google\Chrome\Application\chrome.exe",
    r"Chromium\Application\chrome.exe",
    r"Microsoft\Edge\Application\msedge.exe",
)


def candidates(environment: Mapping[str, str], platform: str, is_file: Callable[[str], bool]) -> list[str | None]:
    """Return the browsers to try, the best first.

    Args:
        environment: the process's variables.
        platform: the system, as `sys.platform` calls it.
        is_file: tells whether a file is there.

    Returns:
        Paths, and None for the one that Playwright fetched itself. Where the variable CHROMIUM names a browser it is
        the only one, there or not.
    """
    named = environment.get(VARIABLE)
    if named:
        return [named]
    found = [path for path in _places(environment, platform) if is_file(path)]
    return [*dict.fromkeys(found), None]


def _places(environment: Mapping[str, str], platform: str) -> Iterator[str]:
    """Yield where Chrome, Chromium and Edge are put by their installers and by distributions."""
    if platform == "win32":
        bases = [environment[name] for name in _WINDOWS_BASES if environment.get(name)]
        yield from (rf"{base}\{path}" for path in _WINDOWS for base in bases)
    elif platform == "darwin":
        bases = ["", environment["HOME"]] if environment.get("HOME") else [""]
        yield from (f"{base}/Applications/{name}.app/Contents/MacOS/{name}" for name in _MAC for base in bases)
    else:
        folders = [folder for folder in environment.get("PATH", "").split(":") if folder]
        yield from (f"{folder}/{name}" for name in _PROGRAMS for folder in folders)
        yield from _LINUX
