"""Heat maps, trend and load: the ramp reads without colour, the numbers read on it, the same figures draw the same."""

from dataclasses import replace
from io import BytesIO

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from deckbuilder.picture.colours import rgb
from deckbuilder.progress import charts
from deckbuilder.progress.analysis import Analysis
from deckbuilder.progress.cells import Cell
from deckbuilder.progress.figures import Verdict
from deckbuilder.progress.heatmap import heat_map
from deckbuilder.progress.load import load_picture
from deckbuilder.progress.simulation import PlannedCard, simulated
from deckbuilder.progress.trend import trend


def pixels(png: bytes) -> np.ndarray:
    with Image.open(BytesIO(png)) as image:
        assert image.format == "PNG"
        assert "transparency" not in image.info
        return np.asarray(image.convert("RGB"))


@given(st.floats(0, 1))
def test_numbers_on_the_ramp_have_enough_contrast(share: float) -> None:
    """WCAG 2.2, 1.4.3: at least 4.5 : 1."""
    ground = charts.ramp_colour(share)
    assert charts.contrast(charts.readable_on(ground), ground) >= 4.5


def test_contrast_is_that_of_its_definition() -> None:
    """WCAG 2.2: black on white is 21 : 1; grey #777777 on white is 4.48 : 1 (widely published example)."""
    assert charts.contrast("#000000", "#ffffff") == pytest.approx(21)
    assert charts.contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)


CONFUSIONS = {
    "none": np.eye(3),
    "protan": np.array([[0.152, 1.053, -0.205], [0.115, 0.786, 0.099], [-0.004, -0.048, 1.052]]),
    "deutan": np.array([[0.367, 0.861, -0.228], [0.280, 0.673, 0.047], [-0.012, 0.043, 0.969]]),
    "tritan": np.array([[1.256, -0.077, -0.179], [-0.078, 0.931, 0.148], [0.005, 0.691, 0.304]]),
}
"""How linear RGB looks to the colour blind: G. M. Machado et al., IEEE Transactions on Visualization and Computer
Graphics 15 (2009), severity 1.0 (from memory, rounded)."""


@pytest.mark.parametrize("sight", CONFUSIONS)
def test_the_ramp_darkens_all_the_way_for_every_sight(sight: str) -> None:
    lightness = []
    for share in np.linspace(charts.RAMP[0][0], 1, 60):
        linear = (np.array(rgb(charts.ramp_colour(float(share)))) / 255) ** 2.2
        lightness.append(CONFUSIONS[sight] @ linear @ np.array([0.2126, 0.7152, 0.0722]))
    assert (np.diff(lightness) < 0).all()


def test_a_weak_cell_is_ringed_and_one_without_data_hatched(analysis: Analysis) -> None:
    cell = Cell(1, "C", 1)
    steady = analysis.cells[cell]
    assert steady.verdict is Verdict.STEADY
    drawn = {
        verdict: pixels(heat_map(1, {**analysis.cells, cell: replace(steady, verdict=verdict)}))[140:212, 95:210]
        for verdict in Verdict
    }
    ring = np.array(rgb(charts.INK))

    def near(picture: np.ndarray, colour: np.ndarray) -> float:
        return float((np.abs(picture.astype(int) - colour).sum(axis=-1) < 24).mean())

    edge = {verdict: picture[4:6, 20:-20] for verdict, picture in drawn.items()}
    assert near(edge[Verdict.WEAK], ring) > 0.5 > near(edge[Verdict.STEADY], ring)
    hatched = drawn[Verdict.NOT_YET]
    assert near(hatched, np.array(rgb(charts.GROUND))) > 0.3
    assert near(hatched, np.array(rgb(charts.HATCH))) > 0.05 > near(drawn[Verdict.STEADY], np.array(rgb(charts.HATCH)))


def test_the_same_figures_draw_the_same_bytes(analysis: Analysis) -> None:
    assert heat_map(2, analysis.cells) == heat_map(2, analysis.cells)
    assert trend(analysis.study) == trend(analysis.study)


def test_pictures_are_as_wide_as_the_necks(analysis: Analysis) -> None:
    course = simulated([PlannedCard(str(number), 1) for number in range(30)], 5, 1)
    for picture in (heat_map(1, analysis.cells), trend(analysis.study), load_picture(course)):
        assert pixels(picture).shape[1] == 720


def test_a_trend_of_no_weeks_and_of_one_can_be_drawn(analysis: Analysis) -> None:
    for weeks in (np.zeros((0, 2)), np.array([[30.0, 20.0]]), np.array([[3.0, 2.0]])):
        assert pixels(trend(replace(analysis.study, weeks=weeks))).size
