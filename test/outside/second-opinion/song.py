"""A whole song a second time, from its recipe and its recordings alone; then what was delivered is looked at.

Usage: song.py RECIPE.yaml FOLDER. One document of JSON: shifts, gains and tone for comparison with report.json; what is left of each
delivered stem after the one made here is taken away, dB against the stem; and the level of each delivered blend over frequency.
"""

import json
import pathlib
import sys

import moves
import numpy as np
import tone
from scipy import fft


# The promise of docs/rendering.md for a move by a fraction of a frame.
HIGHEST_HZ = 20000


def left_db(delivered, made, rate):
    size = fft.next_fast_len(len(made), real=True)
    kept = slice(0, int(HIGHEST_HZ * size / rate))
    stem, left = (np.abs(fft.rfft(sound, size)[kept]) ** 2 for sound in (delivered, delivered - made))
    return float(10 * np.log10(max(left.sum() / stem.sum(), 1e-30)))


def main(recipe, folder):
    song = moves.Song(recipe)
    mixes = {name: song.mixed(name) for name in song.blends}
    down = max(moves.turned_down(moves.true_peak(mix)) for mix in mixes.values())
    gain = 10 ** (-down / 20)
    stems = {}

    def compare(name, made):
        rate, delivered, stamp = moves.recorded(pathlib.Path(folder) / f"lantern_street_{name}.wav".replace("-", "_"))
        assert rate == song.rate and stamp == song.start and len(delivered) == song.frames, name
        stems[name] = left_db(delivered, made, rate)
        return delivered

    blends = {}
    views = {}
    for group, name in song.sources:
        compare(f"{group}_{name}", song.moved(group, name))
        views.setdefault(group, []).append(name)
    seen = {}
    for name, blend in song.blends.items():
        delivered = compare(name, gain * mixes[name])
        group = blend["group"]
        parts = [part for part in views[group] if any(part in b["gains"] for b in song.blends.values() if b["group"] == group)]
        if group not in seen:
            laid = []
            for part in parts:
                line = np.zeros(song.frames + 2)
                sound = song.sources[group, part]["sound"]
                at = int(np.floor(song.place(group, part) + 0.5))
                line[at : at + len(sound)] = sound
                laid.append(line)
            seen[group] = tone.Tone(laid, song.rate)
        gains = [gain * blend["gains"].get(part, 0.0) for part in parts]
        signs = [song.sources[group, part]["sign"] if blend["aligned"] else 1 for part in parts]
        whole = [np.floor(song.place(group, part) + 0.5) for part in parts]
        later = [
            [(song.place(group, part, aligned) - at) / song.rate for part, at in zip(parts, whole)]
            for aligned in (False, blend["aligned"])
        ]
        told = tone.told(seen[group], (gains, later[0]), ([g * s for g, s in zip(gains, signs)], later[1]))
        blends[name] = {
            "gains": {part: gain * value for part, value in blend["gains"].items()},
            **told,
            "deliveredDb": tone.level_db(delivered, song.rate),
        }
    sources = {
        f"{group}/{name}": {"shiftSamples": float(s["shift"]), "polarity": "normal" if s["sign"] > 0 else "inverted"}
        for (group, name), s in song.sources.items()
    }
    print(json.dumps({"turnDownDb": float(down), "sources": sources, "stemsLeftDb": stems, "blends": blends}))


main(*sys.argv[1:])
