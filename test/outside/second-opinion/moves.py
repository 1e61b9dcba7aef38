"""What a recipe asks for, worked out a second time from docs/recipe.md, measuring.md and rendering.md: lags, moves, gains, blends, timeline.

Only what the demo song uses: mono sources of one rate with a time stamp, shares and plain gains, `hold: reference`. No verdicts: every
source is moved.
"""

import pathlib
import struct
import warnings

import lag as lags
import numpy as np
import yaml
from scipy import fft, signal
from scipy.io import wavfile


def recorded(name):
    """Rate, sound (full scale 1) and time stamp of a broadcast WAVE file (EBU Tech 3285: the stamp stands 338 bytes into `bext`)."""
    with warnings.catch_warnings():
        # SciPy says so of every chunk that is not sound.
        warnings.simplefilter("ignore", wavfile.WavFileWarning)
        rate, words = wavfile.read(name)
    head = pathlib.Path(name).read_bytes()[:65536]
    at = head.find(b"bext")
    stamp = struct.unpack_from("<Q", head, at + 8 + 338)[0] if at >= 0 else 0
    return rate, words / -float(np.iinfo(words.dtype).min), stamp


def loudness(sound, rate):
    """ITU-R BS.1770-5 at 48 kHz, integrated, of one channel; filters as printed in annex 1, tables 1 and 2."""
    assert rate == 48000
    shelf = [1.53512485958697, -2.69169618940638, 1.19839281085285], [1, -1.69065929318241, 0.73248077421585]
    high_pass = [1, -2, 1], [1, -1.99004745483398, 0.99007225036621]
    weighted = signal.lfilter(*high_pass, signal.lfilter(*shelf, sound))
    hop = rate // 10
    hops = (weighted[: len(weighted) // hop * hop] ** 2).reshape(-1, hop).mean(1)
    blocks = np.convolve(hops, np.full(4, 0.25), "valid")
    blocks = blocks[blocks > 10 ** ((-70 + 0.691) / 10)]
    return -0.691 + 10 * np.log10(blocks[blocks > blocks.mean() / 10].mean())


def solved(sounds, reference, rate, search):
    """Lags of all sources from all pairs by weighted least squares, and their signs against the reference."""
    order = [reference, *[name for name in sounds if name != reference]]
    shifts = {name: lags.rough_lag(sounds[reference], sounds[name], rate, search) for name in order[1:]}
    shifts[reference] = 0
    rows, values, weights, signs = [], [], [], {reference: 1}
    for i, first in enumerate(order):
        for second in order[i + 1 :]:
            found = lags.pair(sounds[first], sounds[second], rate, search, [shifts[first], shifts[second]])
            if first == reference:
                signs[second] = found["sign"]
            elif found["sign"] != signs[first] * signs[second]:
                continue
            rows.append([(name == second) - (name == first) for name in order[1:]])
            values.append(found["lag"])
            weights.append(np.sqrt(found["weight"]))
    weighted = np.array(rows) * np.array(weights)[:, None]
    lag = np.linalg.lstsq(weighted, np.array(values) * np.array(weights), rcond=None)[0]
    return dict(zip(order, [0.0, *lag])), signs


def decibels(text):
    number, unit = text.split()
    assert unit == "dB"
    return 10 ** (float(number) / 20)


class Song:
    """Sources with their places and signs, and blends with their gains, before anything is turned down."""

    def __init__(self, recipe):
        text = yaml.safe_load(pathlib.Path(recipe).read_text())
        self.sources, self.blends = {}, {}
        for group, told in text["groups"].items():
            align = told.get("align", {})
            search = float(align.get("search", "40 ms").removesuffix(" ms")) / 1000
            assert set(align) <= {"search"}
            files = {
                name: recorded(pathlib.Path(recipe).parent / source["file"].format(take=text["take"]))
                for name, source in told["sources"].items()
            }
            self.rate = next(iter(files.values()))[0]
            first = min(stamp for _, _, stamp in files.values())
            # As the stamps place them.
            laid = {name: np.pad(sound, (stamp - first, 0)) for name, (_, sound, stamp) in files.items()}
            lag, sign = solved(laid, told["reference"], self.rate, search)
            for name, (_, sound, stamp) in files.items():
                self.sources[group, name] = {"sound": sound, "stamp": stamp, "shift": -lag[name], "sign": sign[name]}
            for name, blend in told["blends"].items():
                self.blends[name] = self.blend(group, told["reference"], blend)
        moved = [(s["stamp"], s["stamp"] + np.floor(s["shift"])) for s in self.sources.values()]
        self.start = int(min(min(both) for both in moved))
        ends = [s["stamp"] + len(s["sound"]) + np.ceil(s["shift"]) for s in self.sources.values()]
        # A blend as recorded ends where its recordings end.
        ends += [
            self.sources[blend["group"], part]["stamp"] + len(self.sources[blend["group"], part]["sound"])
            for blend in self.blends.values()
            if not blend["aligned"]
            for part in blend["gains"]
        ]
        self.frames = int(max(ends)) - self.start

    def blend(self, group, reference, told):
        parts = told["parts"]
        if any(isinstance(value, str) for value in parts.values()):
            shares = {name: decibels(value) for name, value in parts.items()}
        else:
            shares = {name: value / sum(parts.values()) for name, value in parts.items()}
        gains = {}
        for name, share in shares.items():
            match = 0.0
            if told.get("match", "loudness") == "loudness":
                level = {n: loudness(self.sources[group, n]["sound"], self.rate) for n in (name, reference)}
                match = level[reference] - level[name]
            gains[name] = share * 10 ** (match / 20)
        return {"group": group, "aligned": told.get("aligned", True), "gains": gains}

    def place(self, group, name, aligned=True):
        """Where the first frame of a source comes to lie on the stems, frames and fractions."""
        source = self.sources[group, name]
        return source["stamp"] - self.start + (source["shift"] if aligned else 0)

    def moved(self, group, name, aligned=True):
        """One source on the timeline of the stems: the exact shift of its whole band-limited self, in one transform."""
        source = self.sources[group, name]
        at = self.place(group, name, aligned)
        sign = source["sign"] if aligned else 1
        size = fft.next_fast_len(self.frames + 65536, real=True)
        spectrum = fft.rfft(source["sound"], size)
        turn = np.exp(-2j * np.pi * np.arange(len(spectrum)) / size * at)
        return sign * fft.irfft(spectrum * turn, size)[: self.frames]

    def mixed(self, name):
        blend = self.blends[name]
        return sum(gain * self.moved(blend["group"], part, blend["aligned"]) for part, gain in blend["gains"].items())


def true_peak(sound):
    """Largest value between the frames, 8 times oversampled through one transform."""
    size = fft.next_fast_len(len(sound), real=True)
    return np.abs(8 * fft.irfft(fft.rfft(sound, size), 8 * size)).max()


def turned_down(peak, ceiling=-1.0):
    """Steps of half a dB until the peak is at the ceiling or under it, dB."""
    return max(0.0, np.ceil((20 * np.log10(peak) - ceiling - 1e-6) / 0.5) * 0.5)
