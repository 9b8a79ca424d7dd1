# Times the GSW library's C code (TEOS-10) through numpy on as many random waters as the first argument says.
# Prints one "name nanoseconds-per-value" a line, processor time, the best of nine rounds.
import sys
import time

import gsw
import numpy

count = int(sys.argv[1])
random = numpy.random.default_rng(1978)
t = random.uniform(18, 32, count)
SP = random.uniform(28, 40, count)
SA = gsw.SR_from_SP(SP)
C = gsw.C_from_SP(SP, t, 0)
brackish = gsw.C_from_SP(random.uniform(0.1, 1.9, count), t, 0)
fresh = numpy.zeros(count)
zero = numpy.zeros(count)

peers = {
    "practicalSalinity": lambda: gsw.SP_from_C(C, t, zero),
    "practicalSalinity, SP below 2": lambda: gsw.SP_from_C(brackish, t, zero),
    "practicalSalinity, under pressure": lambda: gsw.SP_from_C(C, t, zero + 10),
    "conductivityFromSalinity": lambda: gsw.C_from_SP(SP, t, zero),
    "conductivityAt25": lambda: gsw.C_from_SP(gsw.SP_from_C(C, t, zero), zero + 25, zero),
    "absoluteSalinity": lambda: gsw.SR_from_SP(SP),
    "salinityFromAbsolute": lambda: gsw.SP_from_SR(SA),
    "densityTeos10": lambda: gsw.rho_t_exact(SA, t, zero),
    "densityEos80": lambda: gsw.rho_t_exact(SA, t, zero),
    "heatCapacity": lambda: gsw.cp_t_exact(SA, t, zero),
    "specificGravity": lambda: gsw.rho_t_exact(SA, t, zero) / gsw.rho_t_exact(fresh, t, zero),
    "oxygenSaturationUmolPerKg": lambda: gsw.O2sol_SP_pt(SP, t),
}

for name, peer in peers.items():
    best = float("inf")
    for _ in range(9):
        start = time.thread_time()
        peer()
        best = min(best, time.thread_time() - start)
    print(name, best / count * 1e9, sep="\t")
