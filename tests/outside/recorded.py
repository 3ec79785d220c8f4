"""Measures of one plucked note; their percentiles over recorded ones, with source and licences: `recorded_notes.json`.

Conventions: mono samples of one note from its onset, at least 1.2 s; frequencies Hz, times s, levels dB. A measure is
NaN where a note does not tell it.

Partials are the peaks near a stiff string's series, n·f·√(1 + B·n²) (Fletcher 1964), followed with a Hann window. What
the ringing partials leave of the first 50 ms, after a least-squares fit to the next 200 ms, is the attack's residue.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from scipy.signal import butter, fftconvolve, hilbert, sosfiltfilt

from deckbuilder.sound.samples import Samples

HOP = 0.005  # s from one look at a partial to the next
SIZE = 1 << 19  # of the spectrum in which partials are found
MOST = 40  # partials
HIGHEST = 9500.0  # Hz
NEPER = 8.686  # dB


@dataclass(frozen=True)
class Register:
    """Percentiles of some pitches' measures.

    Args:
        pitches: MIDI note numbers.
        limits: 5th and 95th percentile of each measure.
    """

    pitches: range
    limits: Mapping[str, tuple[float, float]]


def _registers() -> tuple[Register, ...]:
    table = json.loads(Path(__file__).with_name("recorded_notes.json").read_text("utf-8"))
    found = []
    for name, measures in table["registers"].items():
        low, high = map(int, name.removeprefix("midi ").split("-"))
        limits = {measure: (measures[measure][0], measures[measure][-1]) for measure in table["measures"]}
        found.append(Register(range(low, high + 1), limits))
    return tuple(found)


REGISTERS = _registers()


@dataclass(frozen=True)
class Partial:
    """A partial of a note over time: its number and Hz, and its level at some times."""

    number: int
    hertz: float
    times: Samples
    levels: Samples

    def fall(self, begin: float, end: float) -> float:
        """Return how fast it falls from one time to another, dB/s."""
        inside = (self.times >= begin) & (self.times <= end)
        return float(-np.polyfit(self.times[inside], self.levels[inside], 1)[0]) if inside.sum() >= 8 else np.nan

    def heard(self, duration: float) -> tuple[float, float]:
        """Return from when until when it can be followed: from its peak until it is 45 dB below."""
        early = self.times < 0.15
        peak = self.levels[early].max() if early.any() else self.levels.max()
        end = min(duration - 0.03, 1.5)
        lost = (self.levels <= peak - 45) & (self.times >= 0.2)
        if lost.any():
            end = min(end, float(self.times[np.argmax(lost)]))
        return float(self.times[np.argmax(self.levels[: max(1, int(early.sum()))])]), end

    def beating(self, begin: float, end: float) -> float:
        """Return how far its level strays from a smooth fall, dB SD."""
        inside = (self.times >= begin) & (self.times <= min(end, begin + 1.2))
        times, levels = self.times[inside], self.levels[inside]
        return float(np.std(levels - np.polyval(np.polyfit(times, levels, 2), times)))


def measured(samples: Samples, midi: int, rate: int) -> dict[str, float]:
    """Measure a note.

    Args:
        samples: the note.
        midi: its MIDI note number.
        rate: samples a second.
    """
    loud = np.abs(samples)
    x = samples[max(0, int(np.argmax(loud > 0.02 * loud.max())) - 22) :]
    x = x / np.abs(x).max()
    duration = len(x) / rate
    numbers, hertz, low, stiffness = series(x, midi, rate)
    partials = [followed(x, number, each, low, rate) for number, each in zip(numbers, hertz, strict=True)]
    falls = {p.hertz: p.fall(p.times[0] + 0.01, min(duration - 0.05, p.times[0] + 0.35)) for p in partials}
    ringing = {each: max(0.0, fall) / NEPER for each, fall in falls.items() if np.isfinite(fall)}
    spans = {p.number: (p, *p.heard(duration)) for p in partials if p.number <= 20}
    spans = {number: (p, begin, end) for number, (p, begin, end) in spans.items() if end - begin >= 0.25}
    t60 = {n: 60 / max(0.5, p.fall(begin, min(end, begin + 1.0))) for n, (p, begin, end) in spans.items()}
    residue, high = _attack(x, np.array(list(ringing)), np.array(list(ringing.values())), rate)
    levels = [_level(x, at, rate) for at in (0.0, 0.4, 0.8)]
    return {
        **{f"T60_{n}": t60[n] if t60.get(n, 99) < 60 else np.nan for n in (1, 3, 5)},
        "Tirreg": _irregularity({n: time for n, time in t60.items() if n <= 10 and time < 60}),
        "el_ratio_sd": _stages({n: span for n, span in spans.items() if n <= 8}),
        "beat": float(np.median([p.beating(begin, end) for n, (p, begin, end) in spans.items() if n <= 8] or [np.nan])),
        "cen0": _centroid(x, 0.0, rate),
        "cen4": _centroid(x, 0.4, rate),
        "hi": high,
        "resid": residue,
        "attack": rise(x, rate),
        "B": stiffness * 1e5,
        "rough": _roughness(partials),
        "lev4": levels[1] - levels[0],
        "lev8": levels[2] - levels[0],
    }


def series(x: Samples, midi: int, rate: int) -> tuple[list[int], list[float], float, float]:
    """Return numbers and Hz of the partials that stand out, the fundamental and the inharmonicity."""
    part = x[int(0.03 * rate) : int(0.03 * rate) + int(0.6 * rate)]
    spectrum = np.abs(np.fft.rfft(part * np.hanning(len(part)), SIZE))
    bins = SIZE / rate
    near = 440 * 2 ** ((midi - 69) / 12) * 2 ** (np.linspace(-1.2, 1.2, 481) / 12)
    relative = np.log(1e-6 + spectrum / spectrum.max())
    sums = [sum(relative[round(n * low * bins)] for n in range(1, 7) if n * low < 9000) for low in near]
    f0, stiffness = float(near[int(np.argmax(sums))]), 1e-5 * 2 ** ((midi - 40) / 18)
    numbers: list[int] = []
    found: list[float] = []
    for n in range(1, MOST + 1):
        wanted = n * f0 * np.sqrt(1 + stiffness * n * n)
        if wanted > HIGHEST:
            break
        half = max(2.0, min(0.3 * f0, 3 + 0.012 * wanted))
        first, last = int((wanted - half) * bins), int((wanted + half) * bins) + 1
        top = first + int(np.argmax(spectrum[first:last]))
        around = spectrum[max(0, int((wanted - f0 / 2) * bins)) : int((wanted + f0 / 2) * bins)]
        if top in (first, last - 1) or spectrum[top] < max(6 * np.median(around), 1e-4 * spectrum.max()):
            continue
        below, peak, above = np.log(spectrum[top - 1 : top + 2])
        found.append(float((top + 0.5 * (below - above) / (below - 2 * peak + above)) / bins))
        numbers.append(n)
        if len(numbers) >= 6:
            f0, stiffness = _fitted(np.array(numbers, float), np.array(found))
    return numbers, found, f0, stiffness


def _fitted(numbers: Samples, hertz: Samples) -> tuple[float, float]:
    """Fit (f/n)² = f0²·(1 + B·n²); partials far off the line count less and less."""
    squares: Samples = (hertz / numbers) ** 2
    basis: Samples = np.vstack((np.ones(len(numbers)), numbers**2)).T
    line: Samples = np.zeros(2)
    weight: Samples = np.sqrt(numbers)
    for _ in range(3):
        line = np.asarray(np.linalg.lstsq(basis * weight[:, None], squares * weight, rcond=None)[0], np.float64)
        weight = np.sqrt(numbers) / (1 + ((squares - basis @ line) / line[0] / 1e-3) ** 2)
    if line[1] < 0:
        return float(np.sqrt(np.mean(squares))), 0.0
    return float(np.sqrt(line[0])), float(line[1] / line[0])


def followed(x: Samples, number: int, hertz: float, low: float, rate: int) -> Partial:
    """Follow a partial in a window of five periods of the note."""
    hop, length = round(HOP * rate), int(max(0.04, 5 / low) * rate)
    window = np.hanning(length)
    turned = x * np.exp(-2j * np.pi * hertz * np.arange(len(x)) / rate)
    level = np.abs(fftconvolve(turned, window / (window.sum() / 2), mode="valid"))[::hop]
    return Partial(number, hertz, (np.arange(len(level)) * hop + length / 2) / rate, 20 * np.log10(level + 1e-9))


def _irregularity(t60: Mapping[int, float]) -> float:
    """Return how far decay times scatter about a line over the partials' numbers, octaves."""
    if len(t60) < 5:
        return np.nan
    numbers, logs = np.array(list(t60)), np.log2(list(t60.values()))
    return float(np.std(logs - np.polyval(np.polyfit(numbers, logs, 1), numbers)))


def _stages(spans: Mapping[int, tuple[Partial, float, float]]) -> float:
    """Return how far early falls over late ones scatter, octaves."""
    ratios = [
        partial.fall(begin, begin + 0.2) / partial.fall(begin + 0.5, end)
        for partial, begin, end in spans.values()
        if end - begin > 0.8 and partial.fall(begin + 0.5, end) > 3
    ]
    return float(np.std(np.log2(np.clip(ratios, 0.1, 10)))) if len(ratios) >= 3 else np.nan


def _roughness(partials: list[Partial]) -> float:
    """Return how far partials 2 to 13 stick out from their neighbours, dB SD, at 80 ms."""
    profile = np.full(30, np.nan)
    for partial in partials:
        if partial.number <= 30:
            profile[partial.number - 1] = partial.levels[np.argmin(np.abs(partial.times - 0.08))]
    differences = profile[1:13] - (profile[:12] + profile[2:14]) / 2
    steps = differences[np.isfinite(differences)]
    return float(np.std(steps)) if len(steps) > 3 else np.nan


def _centroid(x: Samples, at: float, rate: int) -> float:
    length = round(2048 * rate / 44_100)
    part = x[int(at * rate) : int(at * rate) + length]
    power, hertz = np.abs(np.fft.rfft(part * np.hanning(length))) ** 2, np.fft.rfftfreq(length, 1 / rate)
    inside = (hertz > 40) & (hertz < 10_000)
    return float((hertz[inside] * power[inside]).sum() / power[inside].sum())


def _level(x: Samples, at: float, rate: int) -> float:
    return float(10 * np.log10(np.mean(x[int(at * rate) : int((at + 0.05) * rate)] ** 2) + 1e-12))


def rise(x: Samples, rate: int) -> float:
    """Return how long the envelope takes from 10 to 90 % of its peak in the first 80 ms, ms."""
    before = 2000
    envelope = np.abs(hilbert(np.concatenate((np.zeros(before), x[: int(0.25 * rate)]))))
    window = np.hanning(int(0.004 * rate))
    envelope = np.convolve(envelope, window / window.sum(), "same")
    top = envelope[: before + int(0.08 * rate)].max()
    high = int(np.argmax(envelope > 0.9 * top))
    return float(int(np.argmax(envelope[:high][::-1] < 0.1 * top)) / rate * 1000)


def _attack(x: Samples, hertz: Samples, rates: Samples, rate: int) -> tuple[float, float]:
    """Return what ringing partials do not explain of the first 50 ms, and what lies above 2 kHz, dB of the whole."""

    def basis(times: Samples) -> Samples:
        fading, turns = np.exp(-np.outer(times, rates)), 2 * np.pi * np.outer(times, hertz)
        return np.hstack([fading * np.cos(turns), fading * np.sin(turns)])

    cut = int(0.05 * rate)
    later = np.arange(cut, int(0.25 * rate)) / rate
    ringing = np.linalg.lstsq(basis(later), x[cut : cut + len(later)], rcond=None)[0]
    left, whole = x[:cut] - basis(np.arange(cut) / rate) @ ringing, float(np.sum(x[:cut] ** 2))
    above = butter(4, 2000, "high", fs=rate, output="sos")
    high = sosfiltfilt(above, np.concatenate((np.zeros(500), x[:cut])))
    return float(10 * np.log10(np.sum(left**2) / whole)), float(10 * np.log10(np.sum(high**2) / whole))
