"""The mould in three dimensions: cut, apart, turned, with the air that stays shut in."""

from __future__ import annotations

import io
import re
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest

from mouldgen.job.rewrite import said_otherwise
from mouldgen.solid.mesh import Mesh
from mouldgen.solid.stl import stl_bytes
from tests.demo_set import DEMO

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from tests.browser.tab import Tab
    from tests.page_server import PageServer

pytestmark = pytest.mark.heavy

# A blind hole of 12 mm, 20 mm deep, its round of 48 sides [ml].
HOLE_ML = 24.0 * np.sin(2.0 * np.pi / 48) * 6.0**2 * 20.0 / 1000.0
AIR = np.array([0xD4, 0x00, 0x6A])  # --part-air of the light style


def pixels(png: bytes) -> NDArray[np.int64]:
    from PIL import Image  # with the heavy tests' packages

    return np.asarray(Image.open(io.BytesIO(png)).convert("RGB")).astype(np.int64)


def share_changed(one: bytes, other: bytes) -> float:
    return float((pixels(one) != pixels(other)).any(axis=2).mean())


def of_air(png: bytes) -> int:
    """How many dots are nearer to the colour of air than to any other that is there."""
    return int((np.abs(pixels(png) - AIR).sum(axis=2) < 130).sum())


def label(tab: Tab) -> str:
    return tab.page.locator("figure.picture canvas").get_attribute("aria-label") or ""


def test_the_cut_opens_the_mould_and_shuts_it_again(tab: Tab) -> None:
    cut = tab.picture()
    assert "cut through the axis" in label(tab)
    tab.at("picture-cut").uncheck()
    shut = tab.picture()
    assert "cut through the axis" not in label(tab)
    assert share_changed(cut, shut) > 0.02
    tab.at("picture-cut").check()
    assert share_changed(tab.picture(), cut) == 0.0


def test_the_parts_go_apart_and_together(tab: Tab) -> None:
    together = tab.picture()
    assert "put together" in label(tab)
    tab.at("picture-apart").press("End")
    apart = tab.picture()
    assert ", apart, " in label(tab)
    assert share_changed(together, apart) > 0.05
    tab.at("picture-apart").press("Home")
    assert tab.picture() == together
    # All that is there stays in view: nothing of it touches the edge of the picture.
    seen = pixels(apart)
    ground = seen[0, 0]
    for edge in (seen[0], seen[-1], seen[:, 0], seen[:, -1]):
        assert (edge == ground).all()


def test_arrow_keys_turn_it_once_round_to_where_it_was(tab: Tab) -> None:
    canvas = tab.page.locator("figure.picture canvas")
    first = tab.picture()
    canvas.focus()
    focused = tab.picture()  # with the line that shows the focus
    words = {label(tab)}
    for _ in range(9):
        canvas.press("ArrowLeft")
        words.add(label(tab))
    assert share_changed(tab.picture(), focused) > 0.02
    for _ in range(27):
        canvas.press("ArrowLeft")
        words.add(label(tab))
    assert tab.picture() == focused
    assert len(words) == 8  # front, front right, right …
    canvas.press("ArrowUp")
    canvas.press("+")
    assert tab.picture() != focused
    canvas.press("Home")
    canvas.blur()
    assert tab.picture() == first


def test_dragging_turns_it_and_nothing_is_drawn_without_need(tab: Tab) -> None:
    tab.whole()
    first = tab.picture()  # which brings it into view
    box = tab.page.locator("figure.picture canvas").bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    tab.page.mouse.move(x, y)
    tab.page.mouse.down()
    tab.page.mouse.move(x + 120, y, steps=4)
    tab.page.mouse.up()
    assert share_changed(first, tab.picture()) > 0.02

    still = tab.frame
    tab.page.wait_for_timeout(1000)
    assert tab.frame == still


def bell() -> Mesh:
    """A round stick of 30 mm with a blind hole of 12 mm in the end that is not the heavier."""
    profile = np.array([(0, 20), (6, 20), (6, 0), (15, 0), (15, 70), (0, 70)], dtype=float)
    around = np.arange(48) * 2.0 * np.pi / 48
    rings = [
        np.column_stack([r * np.cos(around), r * np.sin(around), np.full(48, z)])
        for r, z in profile[1:-1]
    ]
    corners = np.vstack([*rings, [(0.0, 0.0, 20.0), (0.0, 0.0, 70.0)]])
    k = np.arange(48)
    after = (k + 1) % 48
    faces = [np.column_stack([k, np.full(48, len(corners) - 2), after])]
    for ring in range(len(rings) - 1):
        low, high = 48 * ring, 48 * (ring + 1)
        faces.append(np.column_stack([low + k, low + after, high + after]))
        faces.append(np.column_stack([low + k, high + after, high + k]))
    last = 48 * (len(rings) - 1)
    faces.append(np.column_stack([last + k, last + after, np.full(48, len(corners) - 1)]))
    return Mesh(corners, np.vstack(faces))


@pytest.fixture
def bell_job(server: PageServer) -> str:
    """The demo with an insert whose hole is poured over."""
    folder = server.folder
    (folder / "bell.stl").write_bytes(stl_bytes([bell()]))
    text = Path(f"presets/jobs/{DEMO}.toml").read_text(encoding="utf-8")
    for key, said in (
        ("insert.shape", "scan"), ("insert.file", "bell.stl"), ("insert.file_unit", "mm"),
        ("insert.end_down", "light"), ("insert.flutes", ""), ("insert.flute_area", ""),
        ("insert.diameter", ""), ("insert.length", ""), ("name", "bell"),
    ):  # fmt: skip
        text = said_otherwise(text, key, said)
    (folder / "bell.toml").write_text(text, encoding="utf-8")
    return "bell.toml"


def test_air_that_stays_shut_in_is_shown_and_told(tab: Tab, bell_job: str) -> None:
    assert of_air(tab.picture()) == 0
    tab.opens(bell_job)
    before = tab.picture()
    tab.whole()

    seen = of_air(tab.picture())
    assert seen > 200
    assert of_air(before) < seen / 4
    told = tab.page.locator("figure.picture ul.air li").text_content() or ""
    (ml,) = re.findall(r"([\d.]+) ml of air", told)
    assert float(ml) == pytest.approx(HOLE_ML, rel=0.02)  # told to a hundredth, found on a grid
    assert f"Air stays shut in: {float(ml):.1f} ml." in label(tab)
    tab.press("Undo").whole()
    assert of_air(tab.picture()) == 0
