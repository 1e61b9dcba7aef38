"""What one would write in an afternoon: line files up by whole-file correlation, move them in the spectrum, add them up.

Usage: scipy-render.py FOLDER FILE...   The first file is the reference. Writes 32-bit words, since scipy writes no 24-bit ones.
It has no verdict, no meters, no dither, no tone and no report; it is here for its time and memory alone.
"""

import pathlib
import sys

import numpy as np
from scipy import fft
from scipy.io import wavfile

SEARCH = 1920


def read(name):
    rate, words = wavfile.read(name)
    return rate, words.astype(np.float64) / 2**31


folder = pathlib.Path(sys.argv[1])
folder.mkdir(parents=True, exist_ok=True)
rate, reference = read(sys.argv[2])
size = fft.next_fast_len(2 * len(reference), real=True)
reference_spectrum = fft.rfft(reference, size)
turn = -2j * np.pi * np.arange(len(reference_spectrum)) / size
blend = np.zeros(len(reference))
for name in sys.argv[2:]:
    _, sound = read(name)
    spectrum = fft.rfft(sound, size)
    curve = fft.irfft(np.conj(reference_spectrum) * spectrum, size)
    near = np.concatenate([curve[-SEARCH:], curve[: SEARCH + 1]])
    top = int(np.argmax(np.abs(near)))
    a, b, c = near[top - 1 : top + 2]
    lag = top - SEARCH + 0.5 * (a - c) / (a - 2 * b + c)
    moved = fft.irfft(spectrum * np.exp(-turn * lag), size)[: len(reference)]
    blend += moved / len(sys.argv[2:])
    words = np.clip(moved * 2**31, -(2**31), 2**31 - 1).astype(np.int32)
    wavfile.write(folder / pathlib.Path(name).name, rate, words)
wavfile.write(folder / "blend.wav", rate, np.clip(blend * 2**31, -(2**31), 2**31 - 1).astype(np.int32))
