# Reads lines "C t p SP" from standard input and answers each with what the GSW library (TEOS-10, C code) makes of it.
import sys

import gsw
import numpy

C, t, p, SP = numpy.loadtxt(sys.stdin, ndmin=2).T
SA = gsw.SR_from_SP(SP)
answers = [
    gsw.SP_from_C(C, t, p),
    gsw.C_from_SP(SP, t, p),
    SA,
    gsw.rho_t_exact(SA, t, 0),
    gsw.cp_t_exact(SA, t, 0),
    gsw.O2sol_SP_pt(SP, t),
]
for row in numpy.column_stack(answers):
    print(*(repr(float(value)) for value in row))
