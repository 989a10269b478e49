"""SciPy's answers for quaternions and the attitude filter of engine/control.

Run: python3 reference/numeric/attitude.py > reference/numeric/attitude.json     (SciPy 1.17, Python 3.11, no chance involved)

turns: three unlike rates one after the other, as products of scipy.spatial.transform.Rotation; quaternions as w, x, y, z.
filter: the two-state filter of small errors, theta' = omega - b + kp (a - theta), b' = -ki (a - theta), as a linear system with
omega = bias + ramp t and a = sin(2 pi f t)/10 in continuous time, by scipy.integrate.solve_ivp (DOP853, rtol 1e-11).
sway: relative angle y of a mass on a spring and damper whose foot turns by theta(t) = 0.3 sin(2 pi 0.9 t):
y'' + 2 zeta w y' + w^2 y = -theta'', likewise.
"""
import json
import numpy as np
from scipy.integrate import solve_ivp
from scipy.spatial.transform import Rotation

rates = np.array([[0.3, -1.2, 0.5], [-2.0, 0.1, 0.0], [0.0, 4.0, -3.0]])
times = [0.25, 0.5, 0.125]
r = Rotation.identity()
steps = []
for w, t in zip(rates, times):
    r = r * Rotation.from_rotvec(w * t)
    x, y, z, s = r.as_quat()
    steps.append({"rate": w.tolist(), "time": t, "quaternion": [s, x, y, z], "matrix": r.as_matrix().ravel().tolist()})

kp, ki, bias, ramp, f = 0.5, 0.0625, 0.01, 0.0005, 0.9
a = lambda t: np.sin(2 * np.pi * f * t) / 10
filt = solve_ivp(lambda t, s: [bias + ramp * t - s[1] + kp * (a(t) - s[0]), -ki * (a(t) - s[0])], (0, 40), [0, 0],
                 method="DOP853", rtol=1e-11, atol=1e-14, t_eval=[0.5, 2, 5, 10, 20, 40])

zeta, wn, A, g = 0.2, 2 * np.pi * 10, 0.3, 2 * np.pi * 0.9
sway = solve_ivp(lambda t, s: [s[1], A * g * g * np.sin(g * t) - 2 * zeta * wn * s[1] - wn * wn * s[0]], (0, 1), [0, 0],
                 method="DOP853", rtol=1e-11, atol=1e-14, t_eval=[0.05, 0.1, 0.2, 0.5, 1.0])
print(json.dumps({
    "turns": steps,
    "filter": {"kp": kp, "ki": ki, "bias": bias, "ramp": ramp, "frequency": f, "time": filt.t.tolist(),
               "angle": filt.y[0].tolist(), "learned": filt.y[1].tolist()},
    "sway": {"damping": zeta, "frequency": 10, "amplitude": A, "drive": 0.9, "time": sway.t.tolist(), "angle": sway.y[0].tolist(),
             "rate": sway.y[1].tolist()},
}))
