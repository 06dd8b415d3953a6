"""Smooth randomness: fields whose roughness falls off with scale, as real ground does."""

import numpy as np

from making.frame import Floats, chance, grid_shape, settle


def draw_fractal(topic: str, cell_m: float, longest_m: float, steepness: float) -> Floats:
    """Return a random field of mean 0 and standard deviation 1, shape (rows, columns).

    Parameters
    ----------
    topic
        Names the field; the same topic gives the same field.
    cell_m
        Cell width [m].
    longest_m
        Longest wavelength that is allowed [m]; longer ones are held back.
    steepness
        Slope of the amplitude spectrum: 1 is rough, 2.5 is smooth.

    Notes
    -----
    White noise filtered in the frequency domain (spectral synthesis). The field is drawn on a larger square
    so that opposite edges do not match.
    """
    rows, columns = grid_shape(cell_m)
    size = int(1.25 * max(rows, columns))
    size += size % 2
    white = settle(chance(topic).random((size, size)) - 0.5, 6)
    along_row = np.fft.rfftfreq(size, cell_m)
    along_column = np.fft.fftfreq(size, cell_m)
    frequency = np.hypot(along_column[:, None], along_row[None, :])
    amplitude = (frequency**2 + 1.0 / longest_m**2) ** (-steepness / 2)
    amplitude[0, 0] = 0.0
    field = np.fft.irfft2(np.fft.rfft2(white) * amplitude, s=(size, size))[:rows, :columns]
    return settle((field - field.mean()) / field.std())


def make_ridged(field: Floats) -> Floats:
    """Return the field folded so that its zero lines become crests: 1 on a crest, less on both sides."""
    return settle(1.0 - np.abs(field) / np.abs(field).max())
