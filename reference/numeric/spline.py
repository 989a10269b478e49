"""SciPy's answers for the splines and the periodic smoothing of engine/numeric and engine/gait.

Run: python3 reference/numeric/spline.py > reference/numeric/spline.json     (SciPy 1.10, NumPy 1.24, no chance involved)
"""
import json
import numpy as np
from scipy.interpolate import CubicSpline

x = np.array([0.0, 4, 8, 14, 20, 31, 40, 52, 60, 71, 83, 92, 100])
y = np.round(np.sin(x / 9) * 3 + x / 50, 6)
yp = y.copy()
yp[-1] = yp[0]
at = np.array([0.0, 1.3, 4, 9.9, 33.3, 55.5, 77.7, 97.1, 100])
out = {"x": x.tolist(), "at": at.tolist()}
for name, values, ends in [("not-a-knot", y, "not-a-knot"), ("periodic", yp, "periodic")]:
    s = CubicSpline(x, values, bc_type=ends)
    out[name] = {"y": values.tolist(), "value": s(at).tolist(), "slope": s(at, 1).tolist(), "curvature": s(at, 2).tolist()}
n = 200
p = np.arange(n) / n
signal = np.round(40 * np.exp(-((p - 0.3) / 0.08) ** 2) - 15 * np.exp(-((p - 0.7) / 0.05) ** 2) + 0.5 * np.cos(2 * np.pi * 31 * p), 9)
spectrum = np.fft.rfft(signal)
kept = spectrum.copy()
kept[7:] = 0
out["smooth"] = {"signal": signal.tolist(), "harmonics": 6, "smoothed": np.fft.irfft(kept, n).tolist()}
print(json.dumps(out))
