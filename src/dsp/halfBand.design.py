#!/usr/bin/env python3
"""Designs the half-band filters of halfBand.ts and prints their coefficients: python3 halfBand.design.py (NumPy).

Elliptic half-band low-pass as two chains of first-order all-passes in z^2, H(z) = (A(z^2) + B(z^2) / z) / 2, in closed form from
theta functions: R. A. Valenzuela and A. G. Constantinides, Digital signal processing schemes for efficient interpolation and
decimation, IEE Proc. G 130(6), 1983. `width` is the width of the transition round a quarter of the rate, in
cycles per frame at the higher rate. Printed: coefficients in rising order, which go to the chains in turn; pass-band loss and stop-band
attenuation as they come out; delay of direct voltage in frames at the higher rate.
"""

import numpy as np


def design(count, width):
    k = np.tan((1 - 2 * width) * np.pi / 4) ** 2
    root = (1 - k * k) ** 0.25
    e = 0.5 * (1 - root) / (1 + root)
    q = e * (1 + e**4 * (2 + e**4 * (15 + 150 * e**4)))
    order = 2 * count + 1
    result = []
    for c in range(1, count + 1):
        i = np.arange(12)
        top = q**0.25 * np.sum((-1.0) ** i * q ** (i * (i + 1)) * np.sin((2 * i + 1) * c * np.pi / order))
        i = np.arange(1, 12)
        bottom = 0.5 + np.sum((-1.0) ** i * q ** (i * i) * np.cos(2 * i * c * np.pi / order))
        w = (top / bottom) ** 2
        x = np.sqrt((1 - w * k) * (1 - w / k)) / (1 + w)
        result.append((1 - x) / (1 + x))
    return result


def response(coefficients, w):
    z = np.exp(-2j * w)
    chains = [1, 1]
    for i, c in enumerate(coefficients):
        chains[i % 2] = chains[i % 2] * (c + z) / (1 + c * z)
    return (chains[0] + np.exp(-1j * w) * chains[1]) / 2


for name, count, width in (("STEEP", 8, 0.05), ("GENTLE", 2, 0.33)):
    coefficients = design(count, width)
    low = np.abs(response(coefficients, np.linspace(0, np.pi * (0.5 - width), 4000)))
    high = np.abs(response(coefficients, np.linspace(np.pi * (0.5 + width), np.pi, 4000)))
    delay = -np.angle(response(coefficients, np.array([1e-4])))[0] / 1e-4
    print(f"{name}: {[float(c) for c in coefficients]}")
    print(f"  pass {20 * np.log10(low.min()):.1e} dB, stop {20 * np.log10(high.max()):.1f} dB, delay {delay:.3f} frames")
