"""The linear model of engine/drive/linear-scan.ts in NumPy, all candidates of a block at once, to be measured and compared with.

    python3 scan.py input output repeats     prints processor seconds, the least of `repeats` runs with the best block of several

Input as for scan.c; output the six columns of the linear model. Buffers are made once; sums over tasks are matrix products. One
thread: set OPENBLAS_NUM_THREADS=1.
"""

import sys
import time

import numpy as np

data = np.fromfile(sys.argv[1])
tasks, samples, count = (int(x) for x in data[:3])
at = 3
start = data[at : at + tasks + 1].astype(int)
at += tasks + 1
rows = data[at : at + 6 * samples].reshape(samples, 6)
at += 6 * samples
x = np.ascontiguousarray(rows[:, :5].T)
weight = rows[:, 5]
c = data[at : at + 15 * count].reshape(15, count)
ratio, driving, driven, inertia, viscous, coulomb, constant, _, resistance, flux, _, pairs = c[:12]

scale = driving
ohm = resistance / constant * scale
back = pairs * flux * ratio / ohm
watt = 1.5 / constant * scale * ohm
a = np.stack([np.ones(count), driven / scale, inertia / scale, viscous / scale, coulomb / scale], axis=1)
a_volt = a.copy()
a_volt[:, 3] += back
# mean over each task as a matrix product
mean = np.zeros((samples, tasks))
for k in range(tasks):
    mean[start[k] : start[k + 1], k] = weight[start[k] : start[k + 1]]
out = np.empty((6, count, tasks))


def scan(block):
    torque = np.empty((block, samples))
    volt = np.empty((block, samples))
    work = np.empty((block, samples))
    for first in range(0, count, block):
        last = min(first + block, count)
        t, u, w = torque[: last - first], volt[: last - first], work[: last - first]
        rows = slice(first, last)
        np.matmul(a[rows], x, out=t)
        np.matmul(a_volt[rows], x, out=u)
        np.multiply(t, t, out=w)
        square = w @ mean
        np.multiply(t, u, out=w)
        power = w @ mean
        np.abs(w, out=w)
        flow = w @ mean
        np.abs(t, out=t)
        np.abs(u, out=u)
        s, o, p = scale[rows, None], ohm[rows, None], watt[rows, None]
        out[0, rows] = s * np.maximum.reduceat(t, start[:-1], axis=1)
        out[1, rows] = s * np.sqrt(square)
        out[2, rows] = o * np.maximum.reduceat(u, start[:-1], axis=1)
        out[3, rows] = p * square
        out[4, rows] = p * (flow + power) / 2
        out[5, rows] = p * (flow - power) / 2


def timed(block):
    begun = time.process_time()
    scan(block)
    return time.process_time() - begun


blocks = [8, 16, 32, 64, 128]
for block in blocks:
    timed(block)
best = min(blocks, key=timed)
seconds = min(timed(best) for _ in range(int(sys.argv[3])))
out.tofile(sys.argv[2])
print(f"{seconds:.9f} {best}")
