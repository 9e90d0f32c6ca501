"""Writes scipy_values.csv: a 10 Hz speed trace and what scipy makes of it.

    python3 scipy_values.py > scipy_values.csv

Made with Python 3, numpy 2.4.6 and scipy 1.17.1. The trace is 30 s of shuttle running with noise of 0.15 m/s from a seeded
generator, rounded to 0.001 m/s as a receiver writes it.
"""

import numpy as np
from scipy.signal import butter, filtfilt, savgol_filter

RATE_HZ = 10.0
CUTOFF_HZ = 1.5
# Winter's correction for two passes: each pass is a Butterworth filter of a higher cutoff, so that both together
# are down to half the power at CUTOFF_HZ. The correction applies to the warped (tangent) frequency.
CORRECTION = (2 ** (1 / 2) - 1) ** 0.25
CORRECTED_HZ = np.arctan(np.tan(np.pi * CUTOFF_HZ / RATE_HZ) / CORRECTION) * RATE_HZ / np.pi
# Three periods of the cutoff, reflected at each end.
PADDING = int(np.ceil(3 * RATE_HZ / CUTOFF_HZ))

time = np.arange(300) / RATE_HZ
legs = np.abs(np.sin(np.pi * time / 4.7)) ** 0.7
noise = np.random.default_rng(1964).normal(0.0, 0.15, time.size)
speed = np.round(np.maximum(6.5 * legs + noise, 0.0), 3)

columns = {
    "time_s": time,
    "speed_m_s": speed,
    "savgol_11_2": savgol_filter(speed, 11, 2),
    "savgol_11_2_slope": savgol_filter(speed, 11, 2, deriv=1, delta=1 / RATE_HZ),
    "savgol_9_4": savgol_filter(speed, 9, 4),
    "butter_filtfilt": filtfilt(*butter(2, CORRECTED_HZ, fs=RATE_HZ), speed, padtype="odd", padlen=PADDING),
}
print(",".join(columns))
for row in zip(*columns.values()):
    print(",".join(repr(float(value)) for value in row))
