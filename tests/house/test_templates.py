"""Rules that the templates, style sheets and scripts keep: nothing inline, nothing fetched from elsewhere."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))
SHEETS_AND_SCRIPTS = sorted([*(ROOT / "static").rglob("*.css"), *(ROOT / "static").rglob("*.js")])
COMMENT = re.compile(r"{% comment %}.*?{% endcomment %}", re.DOTALL)
TAG = re.compile(r"{%.*?%}|{#.*?#}", re.DOTALL)
VARIABLE = re.compile(r"{{.*?}}", re.DOTALL)


def name_of(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


class InlineFinder(HTMLParser):
    """Collects what a strict content security policy would refuse."""

    def __init__(self) -> None:
        super().__init__()
        self.faults: list[str] = []
        self.inside = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.inside = tag if tag in {"script", "style"} else ""
        if tag == "style":
            self.faults.append(f"line {self.getpos()[0]}: <style> in a page")
        for attribute, _value in attrs:
            if attribute == "style" or attribute.startswith(("on", "hx-on")):
                self.faults.append(f"line {self.getpos()[0]}: {attribute}= on <{tag}>")

    def handle_data(self, data: str) -> None:
        if self.inside == "script" and data.strip():
            self.faults.append(f"line {self.getpos()[0]}: script in the page")

    def handle_endtag(self, tag: str) -> None:
        if tag == self.inside:
            self.inside = ""


def inline_faults(source: str) -> list[str]:
    """Return the faults of one template; its tags are blanked, both arms of an ``if`` are read."""
    finder = InlineFinder()
    finder.feed(VARIABLE.sub("value", TAG.sub(" ", COMMENT.sub(" ", source))))
    finder.close()
    return finder.faults


@pytest.mark.parametrize("path", TEMPLATES, ids=name_of)
def test_a_template_has_no_inline_style_script_or_handler(path: Path) -> None:
    assert inline_faults(path.read_text()) == []


@pytest.mark.parametrize(
    "source",
    [
        '<p style="color:red">',
        "<script>go()</script>",
        '<button onclick="go()">',
        '<a hx-on:click="go()">',
        "<style>p{}</style>",
        '<p {% if late %}style="x"{% endif %}>',
    ],
)
def test_the_rule_against_inline_code_sees_each_kind_of_it(source: str) -> None:
    assert len(inline_faults(source)) == 1


@pytest.mark.parametrize("path", [path for path in TEMPLATES if path.parent.name == "parts"], ids=name_of)
def test_a_part_is_named_as_one_and_opens_by_saying_its_root_and_context(path: Path) -> None:
    opening = COMMENT.match(path.read_text())
    assert path.name.startswith("_")
    assert opening is not None
    assert "Context:" in opening.group()
    assert re.search(r"\b(Root|No root)\b", opening.group())


@pytest.mark.parametrize("path", SHEETS_AND_SCRIPTS, ids=name_of)
def test_a_style_sheet_or_script_fetches_nothing_from_elsewhere(path: Path) -> None:
    source = path.read_text().replace("http://www.w3.org/2000/svg", "")
    assert re.findall(r"https?://\S+|@import[^;]*|url\(\s*[\"']?//[^)]*", source) == []


@pytest.mark.parametrize("path", TEMPLATES, ids=name_of)
def test_a_template_loads_nothing_from_another_host(path: Path) -> None:
    loads = re.findall(
        r"""(?:src|action|hx-(?:get|post)|<link[^>]*href)\s*=\s*["'](?:https?:)?//[^"']*""", path.read_text()
    )
    assert loads == []


@pytest.mark.parametrize("path", [p for p in SHEETS_AND_SCRIPTS if p.suffix == ".css"], ids=name_of)
def test_every_file_a_style_sheet_names_is_there(path: Path) -> None:
    named = re.findall(r"url\(\s*[\"']?([^)\"']+)", path.read_text())
    assert [
        name for name in named if not name.startswith("data:") and not (path.parent / name).is_file()
    ] == []


@pytest.mark.parametrize("path", SHEETS_AND_SCRIPTS, ids=name_of)
def test_a_style_sheet_or_script_stays_under_400_lines(path: Path) -> None:
    assert len(path.read_text().splitlines()) < 400


def test_both_ways_into_night_shift_set_the_same_colours() -> None:
    source = (ROOT / "static/css/tokens.css").read_text()
    blocks = re.findall(r'\[data-theme="(?:light"\]\)|dark"\]) \{(.*?)\}', source, re.DOTALL)
    nights = [dict(re.findall(r"(--[\w-]+):\s*([^;]+);", block)) for block in blocks]
    assert len(nights) == 2
    assert len(nights[0]) > 10
    assert nights[0] == nights[1]


def luminance(colour: str) -> float:
    """Return the relative luminance of ``#rrggbb`` (WCAG 2.2, definition of relative luminance)."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours (WCAG 2.2, definition of contrast ratio)."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def themes() -> dict[str, dict[str, str]]:
    source = (ROOT / "static/css/tokens.css").read_text()
    day, night = (
        dict(re.findall(r"--([\w-]+):\s*(#[0-9a-f]{6});", text)) for text in source.split("@media", 1)
    )
    return {"day": day, "night": night}


@pytest.mark.parametrize("theme", ["day", "night"])
@pytest.mark.parametrize("ink", ["ink", "soft", "down", "up", "stop", "warn", "note", "ok"])
@pytest.mark.parametrize("ground", ["paper", "sheet"])
def test_every_ink_stands_out_seven_to_one_on_paper_and_sheet(theme: str, ink: str, ground: str) -> None:
    colours = themes()[theme]
    assert contrast(colours[ink], colours[ground]) >= 7  # WCAG 2.2, 1.4.6 Contrast (Enhanced)


@pytest.mark.parametrize("theme", ["day", "night"])
def test_the_edge_of_a_field_stands_out_three_to_one(theme: str) -> None:
    colours = themes()[theme]
    # WCAG 2.2, 1.4.11 Non-text Contrast
    assert min(contrast(colours["edge"], colours["paper"]), contrast(colours["edge"], colours["sheet"])) >= 3
