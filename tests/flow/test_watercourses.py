"""Watercourse cells and lines."""

import numpy as np
import pytest
from flow_twins import make_terrain, rough_heights

from swalekit.errors import InputError
from swalekit.flow.accumulation import accumulate
from swalekit.flow.network import build_flow_network
from swalekit.flow.watercourses import watercourse_cells, watercourse_lines


def steps_of(network, lines) -> list[tuple[int, int]]:
    """Flat indices of both ends of every step along the lines."""
    steps = []
    for line in lines:
        row, column = np.rint(network.grid.rows_columns(*line.T)).astype(int)
        cells = row * network.grid.shape[1] + column
        steps += list(zip(cells[:-1].tolist(), cells[1:].tolist(), strict=True))
    return steps


@pytest.mark.parametrize("noise_depth_m", [0.3, 1e9])
@pytest.mark.parametrize("seed", range(3))
def test_lines_take_every_step_between_watercourse_cells_once(seed, noise_depth_m):
    """The steps of all lines are those from each watercourse cell to its receiver, save the jumps across ponds."""
    network = build_flow_network(
        make_terrain(rough_heights(np.random.default_rng(seed), (20, 25), tilt=0.05)), noise_depth_m=noise_depth_m
    )
    accumulated = accumulate(network)
    wet = watercourse_cells(network, accumulated, 6.0).ravel()
    inner = set(np.flatnonzero(wet)) - set(network.hollows.pit)
    expected = [(i, network.receiver[i]) for i in sorted(inner) if network.receiver[i] != i]
    lines = watercourse_lines(network, watercourse_cells(network, accumulated, 6.0))
    assert sorted(steps_of(network, lines)) == expected
    assert len(expected) > 50


def test_lines_meet_at_a_confluence():
    """Two branches end at the centre of the cell where the trunk begins."""
    heights = [[9, 6, 9, 6, 9], [9, 5, 9, 5, 9], [9, 9, 4, 9, 9], [9, 9, 3, 9, 9], [9, 9, 2, 9, 9]]
    network = build_flow_network(make_terrain(heights), noise_depth_m=0.0)
    lines = watercourse_lines(network, watercourse_cells(network, accumulate(network), 5.0))
    firsts, lasts = ({tuple(line[end]) for line in lines} for end in (0, -1))
    assert len(lines) == 3
    assert len(firsts & lasts) == 1
    assert all((np.diff(line[:, 1]) < 0).all() for line in lines)


def test_line_ends_at_a_kept_hollow_and_begins_anew_at_its_spill():
    """No line crosses a pond."""
    row = [9, 8, 3, 7, 6, 5]
    network = build_flow_network(make_terrain([[9] * 6, row, [9] * 6]), noise_depth_m=0.5)
    lines = watercourse_lines(network, watercourse_cells(network, accumulate(network), 2.0))
    assert max(np.hypot(*np.diff(line, axis=0).T).max() for line in lines) < 1.5


def test_no_watercourse_is_no_line():
    """Where no cell drains the threshold area there are no lines."""
    network = build_flow_network(make_terrain(np.eye(4)), noise_depth_m=0.0)
    assert watercourse_lines(network, watercourse_cells(network, accumulate(network), 100.0)) == []


def test_threshold_of_zero_fails():
    """A threshold that makes every cell a watercourse is refused."""
    network = build_flow_network(make_terrain(np.eye(4)), noise_depth_m=0.0)
    with pytest.raises(InputError, match="threshold_m2 is 0"):
        watercourse_cells(network, np.ones((4, 4)), 0.0)
