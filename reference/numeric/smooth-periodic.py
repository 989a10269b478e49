"""NumPy's and SciPy's answers for the periodic smoothing of engine/gait/smooth-periodic.ts and the residuals of cut-off.ts.

Run: python3 reference/numeric/smooth-periodic.py > reference/numeric/smooth-periodic.json     (SciPy 1.17, NumPy 2.4, no chance involved)

One period of 200 samples: two bumps, a fast ripple, and a straight line that does not close ("open").
`smoothed`: rfft, everything above `harmonics` set to zero, irfft. `slope`, `curvature`: scipy.fftpack.diff of that, per per cent.
`residual`: RMS over the 200 samples of what was taken away, for several numbers of harmonics.
"""
import json
import numpy as np
from scipy.fftpack import diff

n = 200
p = np.arange(n) / n
signal = np.round(40 * np.exp(-((p - 0.3) / 0.08) ** 2) - 15 * np.exp(-((p - 0.7) / 0.05) ** 2) + 0.5 * np.cos(2 * np.pi * 31 * p) + 0.3 * np.sin(2 * np.pi * 9 * p), 9)


def low(x, harmonics):
    spectrum = np.fft.rfft(x)
    spectrum[harmonics + 1 :] = 0
    return np.fft.irfft(spectrum, n)


out = {"signal": signal.tolist(), "cases": [], "residual": []}
for harmonics in [1, 6, 15, 40]:
    s = low(signal, harmonics)
    out["cases"].append({
        "harmonics": harmonics,
        "smoothed": s.tolist(),
        "slope": diff(s, order=1, period=100).tolist(),
        "curvature": diff(s, order=2, period=100).tolist(),
    })
for harmonics in [3, 6, 8, 10, 15, 30, 31]:
    out["residual"].append({"harmonics": harmonics, "rms": float(np.sqrt(np.mean((signal - low(signal, harmonics)) ** 2)))})
print(json.dumps(out))
