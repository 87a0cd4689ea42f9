#!/usr/bin/env python3
"""Designs the impulses of bandLimitedEdge.ts and prints their coefficients: python3 bandLimitedEdge.design.py (NumPy, SciPy).

h(t) = sum of c[j] cos(pi j t / K) on 0..K frames, 0 outside, under linear conditions: h and h'' are zero at both ends, so that the
spectrum falls fast; the integral of h is 1; its mean is DELAY, a whole number of frames; its variance is 0, so that jumps, corners and
bends of the slope all end in the delayed wave. Start: a Kaiser-windowed sinc made minimum-phase by the cepstrum (Oppenheim and
Schafer, Discrete-Time Signal Processing), projected on the cosines. Then least squares on |H|^2 = 1 up to `passband` and on H times
the harmonics of a saw (1 / f) = 0 from `stopband` on, both in cycles per frame. What the stop band lets through folds back as alias.
"""

import numpy as np
from scipy.optimize import least_squares

DELAY = 3


def spectrum(f, frames, terms):
    """Fourier integral over 0..frames of cos(pi j t / frames), one row per frequency."""
    f = np.asarray(f, float)[:, None]
    j = np.arange(terms)[None, :]

    def integral(x):
        y = x * frames
        small = np.abs(y) < 1e-9
        safe = np.where(small, 1, y)
        return frames * np.where(small, 1 + 0.5j * y, (np.exp(1j * safe) - 1) / (1j * safe))

    a, w = np.pi * j / frames, 2 * np.pi * f
    return 0.5 * (integral(a - w) + integral(-a - w))


def minimum_phase(frames, cutoff, beta=8, fine=64):
    n = np.arange(frames * fine) - (frames * fine - 1) / 2
    h = np.sinc(2 * cutoff * n / fine) * np.kaiser(len(n), beta)
    size = 1 << 18
    cepstrum = np.fft.ifft(np.log(np.abs(np.fft.fft(h / h.sum(), size)) + 1e-9)).real
    fold = np.zeros(size)
    fold[0], fold[1 : size // 2], fold[size // 2] = 1, 2, 1
    h = np.fft.ifft(np.exp(np.fft.fft(cepstrum * fold))).real[: len(n)]
    return (np.arange(len(n)) + 0.5) / fine, h * fine


def design(frames, terms, passband, stopband, cutoff, saw, decibel):
    j = np.arange(terms)
    sign = (-1.0) ** j
    whole = (j == 0) * 1.0
    # Double integral of h at the end: frames - mean.
    twice = np.where(j % 2 == 1, 2 * (frames / (np.pi * np.maximum(j, 1))) ** 2, 0)
    # Triple integral of h at the end: ((frames - mean)^2 + variance) / 2; a flat pass band has no variance.
    thrice = np.where(j > 0, frames * (frames / (np.pi * np.maximum(j, 1))) ** 2, frames**3 / 6)
    conditions = np.array([np.ones(terms), sign, j**2.0, sign * j**2, whole, twice, thrice])
    values = np.array([0, 0, 0, 0, 1 / frames, frames / 2 - DELAY, (frames - DELAY) ** 2 / 2])
    fixed = np.linalg.lstsq(conditions, values, rcond=None)[0]
    free = np.linalg.svd(conditions)[2][len(values) :].T
    t, h = minimum_phase(frames, cutoff)
    cosines = np.cos(np.pi * np.outer(t, j) / frames)
    x = np.linalg.lstsq(cosines @ free, h - cosines @ fixed, rcond=None)[0]
    low = spectrum(np.linspace(0, passband, 60), frames, terms)
    f = np.concatenate([np.linspace(stopband, 2, 160), np.linspace(2, 6, 160)[1:]])
    high = spectrum(f, frames, terms) * (10 ** (decibel / 20) * np.minimum(1, saw / f))[:, None]
    low_free, low_fixed, high_free, high_fixed = low @ free, low @ fixed, high @ free, high @ fixed

    def error(x):
        p, s = low_free @ x + low_fixed, high_free @ x + high_fixed
        return np.concatenate([1e3 * (np.abs(p) ** 2 - 1), s.real, s.imag])

    def slope(x):
        p = low_free @ x + low_fixed
        return np.concatenate([2e3 * np.real(np.conj(p)[:, None] * low_free), high_free.real, high_free.imag])

    found = least_squares(error, x, jac=slope, max_nfev=3000, xtol=1e-15, ftol=1e-15, gtol=1e-15)
    return fixed + free @ found.x


def show(name, c, frames, passband, stopband, saw):
    f = np.linspace(0, 6, 12001)
    db = 20 * np.log10(np.abs(spectrum(f, frames, len(c)) @ c) + 1e-30)
    worst = (db + 20 * np.log10(saw / np.maximum(f, 1e-3)))[f >= stopband].max()
    ripple = np.abs(db[f <= passband]).max()
    late = -np.angle((spectrum([1e-4], frames, len(c)) @ c)[0]) / (2e-4 * np.pi)
    print(f"// {name}: within {ripple:.4f} dB to {passband}, alias of a saw at {saw} below {worst:.1f} dB, {late:.4f} frames late")
    print(", ".join(repr(float(x)) for x in c))


for name, frames, terms, passband, stopband, cutoff, saw, decibel in (
    ("NARROW", 20, 30, 0.38, 0.6, 0.45, 0.1, 112),
    ("WIDE", 12, 18, 0.24, 0.76, 0.4, 0.05, 122),
):
    show(name, design(frames, terms, passband, stopband, cutoff, saw, decibel), frames, passband, stopband, saw)
