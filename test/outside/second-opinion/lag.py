"""Lag and polarity of one recording against another, written a second time from the formulas of docs/measuring.md with NumPy and SciPy.

Usage: lag.py < lines, each "REFERENCE.wav SOURCE.wav SEARCH_SECONDS"; one line of JSON comes back for each.
Symbols as there: S auto- and cross-spectra, g2 coherence, K independent values, q quality, s the path's own phase, J the objective.
"""

import json
import sys

import numpy as np
from scipy import fft, optimize, signal
from scipy.io import wavfile

CHANCE, CHANCE_WIDE, CHANCE_ALONE = 1e-2, 1e-4, 1e-6


def mono(name):
    rate, sound = wavfile.read(name)
    if sound.dtype.kind == "i":
        sound = sound / -float(np.iinfo(sound.dtype).min)
    return rate, np.asarray(sound, dtype=np.float64)


def next_power(frames):
    return max(256, int(2 ** np.ceil(np.log2(frames))))


def hann_overlap(x):
    return ((1 - x) * (2 + np.cos(2 * np.pi * x)) / 3 + np.sin(2 * np.pi * x) / (2 * np.pi)) if x < 1 else 0.0


def running_mean(values, half):
    """Mean over the bins k - half[k] ... k + half[k], cut at both ends."""
    total = np.concatenate([[0], np.cumsum(values)])
    k = np.arange(len(values))
    low, high = np.maximum(0, k - half), np.minimum(len(values), k + half + 1)
    return (total[high] - total[low]) / (high - low)


def rough_lag(x, y, rate, search):
    """Whole frames, from spectra whitened and weighted by |g|."""
    size = next_power(max(0.34, search / 0.22) * rate)
    shape = dict(fs=1.0, window="hann", nperseg=size, noverlap=size // 2, detrend=False)
    longer = np.zeros(size)
    x, y = (np.concatenate([longer, part, longer]) for part in (x, y))
    _, sxy = signal.csd(x, y, **shape)
    _, sxx = signal.welch(x, **shape)
    _, syy = signal.welch(y, **shape)
    half = np.full(len(sxx), 4)
    cross, auto = running_mean(sxy, half), running_mean(sxx, half) * running_mean(syy, half)
    chance = 1.5 / (9 * (len(x) / size))
    g2 = np.clip((np.abs(cross) ** 2 / (auto + 1e-300) - chance) / (1 - chance), 0, 1)
    g2[:2] = 0
    curve = fft.irfft(sxy / (np.abs(sxy) + 1e-300) * np.sqrt(g2), 2 * size)
    reach = 2 * int(search * rate)
    lags = np.arange(-reach, reach + 1)
    seen = np.array([max(0.2, hann_overlap(abs(lag) / 2 / size)) for lag in lags])
    return int(np.floor(lags[np.argmax(np.abs(curve[lags]) / seen)] / 2 + 0.5))


def frames_of(sound, width, hop):
    """Frames that hang over both ends: the first ends one hop after the start."""
    count = int(np.ceil(len(sound) / hop)) + width // hop - 1
    first = (np.arange(count) + 1) * hop - width
    line = np.concatenate([np.zeros(width), sound, np.zeros(2 * width)])
    return line[(first + width)[:, None] + np.arange(width)], first


def windowed(pieces):
    """Hann frames without their mean, and the mean square of each."""
    window = signal.get_window("hann", pieces.shape[1], fftbins=True)
    mean = pieces @ window / window.sum()
    level = ((pieces * window) ** 2).sum(1) / (0.375 * len(window)) - mean**2
    return window * (pieces - mean[:, None]), level


def gate(sound, rate, search):
    """Mean square that a frame must exceed to vote: 45 dB under the loud ones of the first pass."""
    size = next_power(max(0.34, search / 0.22) * rate)
    levels = np.sort(windowed(frames_of(sound, size, size // 2)[0])[1])
    return max(1e-14, 3e-5 * levels[int(0.95 * (len(levels) - 1))])


class Sums:
    """Averaged spectra of Hann frames, each recording read ahead by so many frames."""

    def __init__(self, x, y, rate, ahead, gates):
        self.rate = rate
        self.size = size = next_power(0.17 * rate)
        hop = size // 3
        width = 3 * hop
        start = max(0, *(-shift for shift in ahead))
        end = min(len(x) - ahead[0], len(y) - ahead[1])

        def spectra(sound, shift):
            # Only what both have: the rest counts as silence.
            common = np.zeros(len(x))
            common[start:end] = sound[start + shift : end + shift]
            pieces, first = frames_of(common, width, hop)
            framed, level = windowed(pieces)
            return fft.rfft(framed, size, axis=1), level, first

        (fx, lx, first), (fy, ly, _) = spectra(x, ahead[0]), spectra(y, ahead[1])
        played = [lx > gates[0], ly > gates[1]]
        both = played[0] & played[1]
        px, py = np.abs(fx) ** 2, np.abs(fy) ** 2
        self.xx, self.yy = px[played[0]].sum(0), py[played[1]].sum(0)
        cross = np.conj(fx) * fy * both[:, None]
        self.xy = cross.sum(0)
        # Eight parts of the time, to leave each out in turn.
        edges = [part * len(cross) // 8 for part in range(9)]
        self.parts = [cross[start:end].sum(0) for start, end in zip(edges, edges[1:]) if both[start:end].any()]
        self.seconds = both.sum() * hop / rate
        self.hz = np.arange(size // 2 + 1) * rate / size
        # Independent frames, register by register, from those inside all files.
        inside = both & (first >= start) & (first + width <= end)
        share = 1 / (1 + 2 * sum(hann_overlap(j / 3) ** 2 for j in (1, 2)))
        self.frames = np.ones(len(self.hz))
        for low, high in ((0, 250), (250, 2000), (2000, rate)):
            band = (self.hz >= low) & (self.hz < high)
            a = np.sqrt(px[inside][:, band].sum(1) * py[inside][:, band].sum(1))
            if a.any():
                self.frames[band] = max(1, a.sum() ** 2 / (a**2).sum() * share)

    def turned(self, lag):
        return self.xy * np.exp(2j * np.pi * np.arange(len(self.xy)) * lag / self.size)

    def coherence(self, lag, values, most):
        """g2 without its bias, K, smoothed cross-spectrum (turned by `lag`), half width of the smoothing and root of both smoothed auto-spectra."""
        k = np.arange(len(self.xy))
        half = np.ceil((values / self.frames * 1.5 - 1) / 2).astype(int)
        half = np.minimum(np.clip(half, 1, most), np.maximum(1, np.minimum(k // 2, len(k) - 1 - k)))
        degrees = np.maximum(1.0001, self.frames * (2 * half + 1) / 1.5)
        cross = running_mean(self.turned(lag), half)
        xx, yy = running_mean(self.xx, half), running_mean(self.yy, half)
        good = (self.hz >= 25) & (k >= 2) & (xx > 1e-13 * xx.max()) & (yy > 1e-13 * yy.max())
        raw = np.abs(cross) ** 2 / np.where(good, xx * yy, np.inf)
        return np.clip((raw - 1 / degrees) / (1 - 1 / degrees), 0, 1), degrees, cross, half, np.sqrt(xx * yy)


def passes(g2, degrees, part):
    raw = g2 + (1 - g2) / degrees
    return (g2 > 0) & (raw > 1 - part ** (1 / np.maximum(0.1, degrees - 1)))


def third_octaves(turned, level, degrees, half, sign):
    """Edges of the bands in bins, independent values in each, and its mean in phase, one vote per bin."""
    low, end, bands = 4, len(level) - 1, []
    while low < end:
        high = min(end, max(low + 2, int(np.floor(low * 2 ** (1 / 3) + 0.5))))
        k = slice(low, high)
        heard = level[k] > 0
        mean = np.sum(sign * turned[k].real[heard] / level[k][heard]) / (high - low)
        count = np.sum((degrees[k] / (2 * half[k] + 1))[heard])
        bands.append((low, high, count, min(mean, count / (count + 1))))
        low = high
    return [np.array(column) for column in zip(*bands)]


def evidence(log, count, mean):
    """Log-likelihood of the coherence e^log against none, band by band."""
    g = np.exp(log)
    left = -np.expm1(2 * log)
    return count * (2 - np.log(left) - 2 * (1 - g * mean) / left)


def likeliest_profile(count, mean):
    """ln g of all bands: their likelihood together, less four times the squares of the second differences; Newton's way with the expected curvature."""
    size = len(mean)
    bends = np.diff(np.eye(size), 2, axis=0)
    stiff = 8 * bends.T @ bends

    def height(log):
        return np.sum(evidence(log, count, mean)) - 4 * np.sum((bends @ log) ** 2)

    log = np.log(np.maximum(np.minimum(mean, 0.999), 0.5 / np.sqrt(np.maximum(1, count))))
    for _ in range(200):
        g, left = np.exp(log), -np.expm1(2 * log)
        slope = 2 * count * g * (mean - g) * (1 + g * g) / left**2 - stiff @ log
        step = np.linalg.solve(np.diag(2 * g * g * count * (1 + g * g) / left**2 + 1e-3) + stiff, slope)
        share = 1.0
        while share > 1e-4:
            there = np.clip(log + share * np.clip(step, -2, 2), -12, -0.0005)
            if height(there) >= height(log):
                break
            share /= 2
        moved, log = np.max(np.abs(there - log)), there
        if moved < 1e-5 or share <= 1e-4:
            break
    return log


def broad_coherence(turned, level, degrees, half, sign):
    """g2 that the bins around each have in common: a line through the middles of third octaves; 0 without evidence."""
    low, high, count, mean = third_octaves(turned, level, degrees, half, sign)
    logs = likeliest_profile(count, mean)
    middle, last, total = (low + high - 1) / 2, len(logs), 0.0
    shown = evidence(logs, count, mean)
    while total <= 8:
        last -= 1
        if last < 0:
            return np.zeros(len(level))
        total = max(0.0, total + shown[last])
    above = slice(last + 1, None)
    logs[above] = np.minimum(logs[above], logs[last] - 2 * np.log(middle[above] / middle[last]))
    k = np.arange(len(level))
    inside = (k >= 4) & (k < len(level) - 1)
    return np.where(inside, np.interp(k, middle, np.exp(logs)) ** 2, 0)


def qualities(sums, lag, sign, clear_alone=False):
    """q of every bin, with K, the smoothed cross-spectrum, the smoothing, the coherence and the levels that it was made of."""
    g2, degrees, cross, half, level = sums.coherence(lag, 160, 96)
    alone = passes(g2, degrees, CHANCE_ALONE)
    if clear_alone:
        taken = np.where(alone, g2, 0)
    else:
        wide, wide_degrees, _, _, _ = sums.coherence(lag, 1600, 192)
        alone |= passes(g2, degrees, CHANCE) & passes(wide, wide_degrees, CHANCE_WIDE)
        around = broad_coherence(sums.turned(lag), level, degrees, half, sign)
        like = (g2 - around) ** 2 <= 4 * (2 * around * (1 - around) ** 2 / degrees + 1 / degrees**2)
        alone &= ~like
        low = 1
        while low < len(alone):
            octave = alone[low : 2 * low]
            if np.count_nonzero(octave) < 0.02 * len(octave):
                octave[:] = False
            low *= 2
        taken = np.where(like, around, np.where(alone, g2, 0))
    return np.minimum(1000, taken / np.maximum(1e-12, 1 - taken)), degrees, cross, half, g2, level


def highest(sums, lag, sign, weights, q, level):
    """How far from `lag` the weighted bins line up best, within a third of a cycle of their rms frequency."""
    omega = 2 * np.pi * np.arange(len(sums.xy)) / sums.size
    used = np.flatnonzero(weights)
    unit = weights[used] * sign * sums.turned(lag)[used] / (level * np.sqrt(q / (1 + q)))[used]

    def slope(moved):
        return np.sum(omega[used] * (unit * np.exp(1j * omega[used] * moved)).imag)

    rms_bin = np.sqrt(np.sum(weights * np.arange(len(weights)) ** 2) / weights.sum())
    reach = max(0.75, sums.size / (3 * rms_bin))
    spectrum = np.zeros(len(weights), dtype=complex)
    spectrum[used] = unit
    halves = fft.irfft(spectrum, 2 * sums.size)
    places = np.arange(-int(np.ceil(2 * reach)), int(np.ceil(2 * reach)) + 1)
    top = places[np.argmax(halves[places])] / 2
    return optimize.brentq(slope, top - 0.5, top + 0.5, xtol=1e-12)


def refine(sums, near, sign):
    """Lag and weights, found in turn; and what else is told of the pair: coherence, q, smoothed cross-spectrum and where it was straight."""
    omega = 2 * np.pi * np.arange(len(sums.xy)) / sums.size
    lag, turn = near, 0
    while turn < 9:
        q, degrees, cross, half, g2, level = qualities(sums, lag, sign, clear_alone=turn == 0)
        turn += 1
        if not q.any():
            continue
        own = np.minimum(q, g2 / np.maximum(1e-12, 1 - g2))
        s = own_phase(sign * cross, own, degrees, half, omega)
        weights = q / (1 + 2 * degrees * q * s**2)
        moved = highest(sums, lag, sign, weights, q, level)
        straight, lag = lag, lag + moved
        if abs(moved) < 1e-6 and turn > 1:
            break
    size = level * np.sqrt(q / (1 + q))
    return lag, {"weights": weights, "q": q, "g2": g2, "cross": cross, "half": half, "straight": straight, "size": size}


def own_phase(cross, q, degrees, half, omega):
    """The likeliest scatter of the phases of separate groups of bins beside a delay and their noise; 0 where none is nearly as likely."""
    taken, k = [], 1
    while k < len(q):
        taken.append(k)
        k += 2 * half[k] + 1
    taken = np.array(taken)
    noise = 1 / (2 * degrees[taken] * np.where(q[taken] > 0, q[taken], np.nan))
    taken, noise = taken[noise <= 0.04], noise[noise <= 0.04]
    if len(taken) < 4:
        return 0.0
    phase, omega, s2 = np.angle(cross[taken]), omega[taken], 0.0

    def left(s2):
        delay = np.sum(omega * phase / (noise + s2)) / np.sum(omega**2 / (noise + s2))
        return (phase - delay * omega) ** 2

    for _ in range(20):
        weight = 1 / (noise + s2) ** 2
        excess = np.sum(weight * (left(s2) - noise)) - 2 * np.sqrt(2 * np.sum((weight * noise) ** 2))
        s2 = max(0.0, excess / np.sum(weight))

    def twice_log_likelihood(s2):
        return -np.sum(left(s2) / (noise + s2) + np.log(noise + s2))

    return np.sqrt(s2) if twice_log_likelihood(s2) - twice_log_likelihood(0.0) > 6 else 0.0


def first_guess(sums):
    """Lag and sign by |g|-weighted, whitened spectra near the shift that was made."""
    g2, _, cross, _, _ = sums.coherence(0.0, 64, 8)
    curve = fft.irfft(np.sqrt(g2) * sums.xy / np.where(g2 > 0, np.abs(cross), np.inf), 4 * sums.size)
    lags = np.arange(-400, 401)
    top = lags[np.argmax(np.abs(curve[lags]))]
    return top / 4, int(np.sign(curve[top]))


def stated_error(sums, lag, sign, told):
    """Scatter of the lags without each part of time, steadied by what the coherence lets expect, never under the bound."""
    weights, q, used = told["weights"], told["q"], np.flatnonzero(told["weights"])
    omega = 2 * np.pi * np.arange(len(weights)) / sums.size
    looks = 2 * sums.seconds * sums.rate / sums.size
    w2, v, k = (omega**2)[used], weights[used], q[used]
    bound = 1 / np.sqrt(looks * np.sum(w2 * k))
    expected = max(bound, np.sqrt(np.sum(w2 * v**2 / k) / looks) / np.sum(w2 * v))
    pulls = []
    for part in sums.parts:
        turned = sign * part[used] * np.exp(1j * omega[used] * lag) / told["size"][used] * v
        pulls.append((-np.sum(omega[used] * turned.imag), -np.sum(w2 * turned.real)))
    slopes, curvatures = np.array(pulls).T
    without = -(slopes.sum() - slopes) / (curvatures.sum() - curvatures)
    scatter = (len(without) - 1) / len(without) * np.sum((without - without.mean()) ** 2)
    seen = len(without) - 1
    return max(bound, np.sqrt((6 * expected**2 + seen * scatter) / (6 + seen)))


def arrival_spread(sums, lag, told):
    """Mean distance of the octaves' own lags from the broadband one, each octave weighted by its sum of |g|."""
    g, k = np.sqrt(told["g2"]), np.arange(len(told["g2"]))
    level = np.sqrt(running_mean(sums.xx, told["half"]) * running_mean(sums.yy, told["half"]))
    unit = np.where(g > 0, told["cross"] / np.where(level > 0, level, 1), 0)
    total = away = 0.0
    for middle in 1000 * 2.0 ** np.arange(-5, 5):
        low = max(2, round(middle * np.sqrt(0.5) * sums.size / sums.rate))
        high = min(sums.size // 2, round(middle * np.sqrt(2) * sums.size / sums.rate))
        width = high - low
        if width < 6 or g[low:high].mean() < 0.25:
            continue

        def short(excess, band=slice(low, high)):
            return -abs(np.sum(unit[band] * np.exp(2j * np.pi * k[band] * (lag - told["straight"] + excess) / sums.size)))

        reach = sums.size / width
        places = np.linspace(-reach, reach, 17)
        top = places[np.argmin([short(place) for place in places])]
        step = places[1] - places[0]
        excess = optimize.minimize_scalar(short, bounds=(top - step, top + step), method="bounded").x
        total += g[low:high].sum()
        away += g[low:high].sum() * abs(excess)
    return away / total if total > 0 else 0.0


def pair(x, y, rate, search, ahead):
    """Lag, sign, and the weight that the pair has among all pairs of its group. `ahead`: whole frames that each is read ahead by."""
    sums = Sums(x, y, rate, ahead, [gate(x, rate, search), gate(y, rate, search)])
    near, sign = first_guess(sums)
    lag, told = refine(sums, near, sign)
    error, spread = stated_error(sums, lag, sign, told), arrival_spread(sums, lag, told)
    return {"lag": ahead[1] - ahead[0] + lag, "sign": sign, "weight": 1 / (error**2 + (0.1 * spread) ** 2), "spread": spread}


def measure(reference, source, search):
    rate, x = mono(reference)
    _, y = mono(source)
    found = pair(x, y, rate, search, [0, rough_lag(x, y, rate, search)])
    return {"lagSamples": found["lag"], "polarity": "normal" if found["sign"] > 0 else "inverted"}


if __name__ == "__main__":
    for line in sys.stdin:
        reference, source, search = line.split()
        print(json.dumps(measure(reference, source, float(search))))
