"""Tone of a blend, worked out a second time from docs/tone.md: loss and level over frequency; and the level of a file that was written."""

import numpy as np
from scipy import fft, signal


def densities(signals, rate, length, padded, hop, window, overlap):
    """Sums of spectra over frames that reach beyond both ends: energy per Hz; and how many independent frames were summed."""
    frames = np.arange(-length + hop, len(signals[0]), hop)
    longer = [np.pad(sound, (length, length + padded)) for sound in signals]
    count = len(signals)
    sums = np.zeros((count, count, padded // 2 + 1), complex)
    energies = []
    for start in frames:
        cut = [sound[start + length : start + 2 * length] * window for sound in longer]
        energies.append(sum(np.sum(part**2) for part in cut))
        spectra = [fft.rfft(part, padded) for part in cut]
        for i in range(count):
            for j in range(i, count):
                sums[i, j] += np.conj(spectra[i]) * spectra[j]
    energies = np.array(energies)
    own = signal.correlate(window, window, method="fft")[length - 1 :] / np.sum(window**2)
    apart = own[hop:length:hop]
    independent = energies.sum() ** 2 / np.sum(energies**2) / (1 + 2 * np.sum(apart**2))
    return sums / overlap, np.arange(padded // 2 + 1) * rate / padded, max(1.0, independent)


def shared(sums, independent, pool):
    """The cross-spectra without what chance adds to their coherence, pooled over bins on both sides."""
    out = sums.copy()
    if independent < 8:
        return out
    kernel = np.ones(2 * pool + 1)

    def pooled(values):
        return np.convolve(values, kernel, "same")

    for i in range(len(sums)):
        for j in range(i + 1, len(sums)):
            both = pooled(sums[i, i].real * sums[j, j].real)
            seen = np.minimum(1, pooled(np.abs(sums[i, j]) ** 2) / np.maximum(both, 1e-300))
            # c + (1 - c)^2 / K = seen, the root between 0 and 1
            k = independent
            a, b, c = 1 / k, 1 - 2 / k, 1 / k - seen
            true = np.where(seen <= 1 / k, 0, (-b + np.sqrt(np.maximum(0, b * b - 4 * a * c))) / (2 * a))
            out[i, j] *= np.sqrt(np.clip(true, 0, 1) / np.maximum(seen, 1e-300))
    return out


def summed(sums, hz, gains, later):
    """Energy densities of a sum: as it is, and with all that is shared in phase."""
    power = sum(g * g * sums[i, i].real for i, g in enumerate(gains))
    in_phase = power.copy()
    for i in range(len(gains)):
        for j in range(i + 1, len(gains)):
            both = 2 * gains[i] * gains[j]
            power = power + both * (sums[i, j] * np.exp(2j * np.pi * hz * (later[i] - later[j]))).real
            in_phase = in_phase + abs(both) * np.abs(sums[i, j])
    return power, in_phase


class Tone:
    """One group, its sources as they lie on the stems moved by whole frames."""

    def __init__(self, signals, rate):
        self.rate = rate
        length = 16384
        n = (np.arange(length) + 0.5) / length
        # Its square and that of its copy half a length away add up to 1.
        complementary = np.sin(np.pi / 2 * np.sin(np.pi * n) ** 2)
        normal, hz, independent = densities(signals, rate, length, length, length // 2, complementary, 1.0)
        hann = signal.get_window("hann", 4 * length)
        low, low_hz, low_independent = densities(signals, rate, 4 * length, 8 * length, length, hann, 1.5)
        self.scales = [
            (low, shared(low, low_independent, 8), low_hz, self.low_share(low_hz)),
            (normal, shared(normal, independent, 4), hz, 1 - self.low_share(hz)),
        ]

    @staticmethod
    def low_share(hz):
        return 0.5 + 0.5 * np.cos(np.pi * np.clip((hz - 400) / 200, 0, 1))

    def curves(self, gains, later):
        """Energies at 24 points per octave around 440 Hz: of the loss (power, in phase), of the level (power, in phase)."""
        points = np.arange(np.ceil(24 * np.log2(25 / 440)), np.floor(24 * np.log2(20000 / 440)) + 1)
        out = np.zeros((4, len(points)))
        for sums, common, hz, share in self.scales:
            width = share * hz[1] / np.where(hz == 0, 2, 1)
            values = [*summed(common, hz, gains, later), *summed(sums, hz, gains, later)]
            place = 24 * np.log2(np.maximum(hz, 1e-9) / 440)
            for at, point in enumerate(points):
                near = np.flatnonzero(np.abs(place - point) < 1)
                triangle = (1 - np.abs(place[near] - point)) * width[near]
                for row, value in zip(out, values):
                    row[at] += np.sum(triangle * value[near])
        return 440 * 2 ** (points / 24), out

    def energy(self, gains, later):
        return sum(
            np.sum(summed(sums, hz, gains, later)[0] * share * hz[1] / np.where(hz == 0, 2, 1))
            for sums, _, hz, share in self.scales
        )


def told(tone, before, after):
    """Loss and level before and after, dB, null under -60 dB of the loudest point; and the broadband change."""
    hz, was = tone.curves(*before)
    _, now = tone.curves(*after)
    loudest = max(was[2].max(), now[2].max())

    def curve(energies):
        sounds = energies[3] >= 1e-6 * loudest
        with np.errstate(divide="ignore", invalid="ignore"):
            loss = -10 * np.log10(np.clip(energies[0] / energies[1], 1e-6, 1))
            level = 10 * np.log10(energies[2] / loudest)
        return {
            "lossDb": [float(value) if played else None for value, played in zip(loss, sounds)],
            "levelDb": [float(value) if played else None for value, played in zip(level, sounds)],
        }

    change = 10 * np.log10(tone.energy(*after) / tone.energy(*before))
    return {"frequenciesHz": list(map(float, hz)), "before": curve(was), "after": curve(now), "broadbandChangeDb": change}


def level_db(sound, rate):
    """Level of a file at the same points, dB under the loudest: what was written, not what was predicted."""
    _, energies = Tone([sound], rate).curves([1.0], [0.0])
    return [float(value) for value in 10 * np.log10(energies[2] / energies[2].max())]
