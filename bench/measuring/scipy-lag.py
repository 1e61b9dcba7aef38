"""What a person would write with a general-purpose library: whole files, the highest peak, its sign.

Usage: scipy-lag.py < lines, each "REFERENCE.f32 SOURCE.f32 SEARCH_FRAMES" (32-bit floats without a header); one line of JSON comes back
for each, with lag (frames) and sign by plain correlation and by phase transform.
"""

import json
import sys

import numpy as np
from scipy import fft, signal


def peak(curve, lags, search):
    near = np.abs(lags) <= search
    curve, lags = curve[near], lags[near]
    top = int(np.argmax(np.abs(curve)))
    lag = float(lags[top])
    if 0 < top < len(curve) - 1:
        a, b, c = np.abs(curve[top - 1 : top + 2])
        lag += 0.5 * (a - c) / (a - 2 * b + c) if a - 2 * b + c < 0 else 0.0
    return {"lagSamples": lag, "sign": int(np.sign(curve[top]))}


def plain(x, y, search):
    curve = signal.correlate(y, x, method="fft")
    return peak(curve, signal.correlation_lags(len(y), len(x)), search)


def phase_transform(x, y, search):
    size = fft.next_fast_len(len(x) + len(y), real=True)
    cross = np.conj(fft.rfft(x, size)) * fft.rfft(y, size)
    curve = fft.irfft(cross / (np.abs(cross) + 1e-15 * np.abs(cross).max() + 1e-300), size)
    lags = np.arange(-search, search + 1)
    return peak(curve[lags], lags, search)


for line in sys.stdin:
    first, second, search = line.split()
    x, y = (np.fromfile(name, dtype="<f4").astype(np.float64) for name in (first, second))
    print(json.dumps({"plain": plain(x, y, int(search)), "phase": phase_transform(x, y, int(search))}))
