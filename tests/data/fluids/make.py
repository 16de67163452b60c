#!/usr/bin/env python3
"""Writes the tables of this folder with the handbook library `fluids`, which the Rust tests are held against.

Made with fluids 1.3.1 on Python 3.11.7:

    python3 -m venv venv
    venv/bin/pip install fluids==1.3.1
    venv/bin/python tests/data/fluids/make.py

Nothing here knows of Farwheel: each figure is what the library says for the arguments beside it.
Numbers are written with all their digits.
"""

import platform
from math import pi
from pathlib import Path

import fluids
from fluids import constants, core, fittings, flow_meter, friction

FOLDER = Path(__file__).parent


def write(name, about, columns, rows):
    made = f"fluids {fluids.__version__}, Python {platform.python_version()}"
    lines = [f"# {about} ({made})", ",".join(columns)]
    lines += [",".join(x if isinstance(x, str) else repr(float(x)) for x in row) for row in rows]
    (FOLDER / name).write_text("\n".join(lines) + "\n", encoding="utf-8", newline="\n")


def friction_factors():
    reynolds = [1e-3, 1, 10, 80, 300, 640, 999, 1000, 1001, 1050, 1100, 1200, 1250, 1300, 1400, 1499, 1500,
                1600, 1777, 2000, 2040, 2300, 2700, 3000, 3500, 4000, 6000, 1e4, 3e4, 1e5, 1e6, 1e8]
    rows = []
    for re in reynolds:
        for rough in [0.0, 1e-5, 1.5e-6 / 3.33e-3, 1e-3, 1e-2, 0.05]:
            colebrook = friction.Colebrook(re, rough) if re >= 2040 else float("nan")
            rows.append([re, rough, friction.Churchill_1977(re, rough), friction.friction_laminar(re), colebrook,
                         friction.friction_factor(re, rough)])
    write("friction.csv", "Darcy friction factors of round tubes",
          ["reynolds", "relative_roughness", "churchill_1977", "laminar", "colebrook", "library_default"], rows)


def tubes():
    """Tubes as brake lines have them, and beyond: friction by Churchill 1977, entry, exit and bends by K."""
    rows = []
    sizes = [(3.33e-3, 5.0), (3.33e-3, 0.3), (4.9e-3, 5.5), (3.2e-3, 0.4), (6e-3, 1.5), (2.5e-3, 0.08)]
    contents = [(1060.0, 15e-6), (1045.0, 9e-6), (1075.0, 1200e-6), (980.0, 0.6e-6)]
    for bore, length in sizes:
        for density, nu in contents:
            for flow in [0.05e-6, 1e-6, 4e-6, 30e-6]:
                for minor_k, rise in [(0.0, 0.0), (3.5, -0.55)]:
                    mu = core.nu_mu_converter(density, nu=nu)
                    speed = flow / (pi / 4 * bore * bore)
                    reynolds = core.Reynolds(V=speed, D=bore, rho=density, mu=mu)
                    # Not one_phase_dP: up to Re 2040 that is laminar, whatever equation is asked for.
                    factor = friction.Churchill_1977(reynolds, core.relative_roughness(bore, 1.5e-6))
                    k = core.K_from_f(factor, length, bore) + minor_k
                    drop = core.dP_from_K(k, density, speed) + core.P_from_head(rise, density)
                    rows.append([bore, length, minor_k, rise, density, nu, mu, flow, reynolds, drop])
    write("tubes.csv", "pressure drop of tubes of 1.5 µm roughness, Pa",
          ["bore_m", "length_m", "minor_k", "rise_m", "density_kg_m3", "nu_m2_s", "mu_pa_s", "flow_m3_s",
           "reynolds", "drop_pa"], rows)


def orifices():
    """Discharge coefficients: ISO 5167 for small holes in wide pipes, and the library's table of computed flow
    through the standard orifice (Hollingshead, Johnson, Barfuss, Spall 2011) down to Re 1. C counts with the
    velocity of approach, so that of the hole alone is C / sqrt(1 - beta^4)."""
    rows = []
    pipe = 0.1
    for beta in [0.1, 0.2, 0.3]:
        for re in [1e4, 1e5, 1e6, 1e7]:
            mass = re * pi * pipe * 1e-3 / 4
            c = flow_meter.C_Reader_Harris_Gallagher(D=pipe, Do=beta * pipe, rho=1000.0, mu=1e-3, m=mass, taps="corner")
            rows.append(["iso_5167", beta, re, re / beta, c, c / (1 - beta**4) ** 0.5])
    beta = 0.5
    for re, c in zip(flow_meter.orifice_std_Res_Hollingshead, flow_meter.orifice_std_beta_5_Hollingshead_Cs):
        rows.append(["hollingshead_2011", beta, re, re / beta, c, c / (1 - beta**4) ** 0.5])
    write("orifices.csv", "discharge coefficients of sharp-edged orifices",
          ["source", "beta", "reynolds_pipe", "reynolds_hole", "c", "discharge"], rows)


def losses():
    """Loss coefficients K: a 90° bend of five bores in a brake line, entry and exit."""
    rows = []
    bore = 3.33e-3
    for method in ["Rennels", "Crane", "Miller", "Swamee", "Ito"]:
        for re in [1e4, 1e5]:
            fd = friction.friction_factor(Re=re)
            k = fittings.bend_rounded(Di=bore, angle=90.0, rc=5 * bore, Re=re, fd=fd, method=method)
            rows.append(["bend", method, re, k])
    for method in ["Rennels", "Swamee", "Blevins", "Idelchik", "Crane", "Miller"]:
        rows.append(["sharp entry", method, 1e5, fittings.entrance_sharp(method=method)])
    rows.append(["exit", "any", 1e5, fittings.exit_normal()])
    write("losses.csv", "loss coefficients of fittings, on the velocity in the bore",
          ["fitting", "method", "reynolds", "k"], rows)


def units():
    """What units and constants are in SI."""
    c = constants
    rows = [["in", c.inch], ["ft", c.foot], ["L", c.liter], ["US fl oz", c.fluid_ounce_US],
            ["imp fl oz", c.fluid_ounce_imp], ["US qt", c.gallon_US / 4], ["imp qt", c.gallon_imp / 4],
            ["bar", c.bar], ["psi", c.psi], ["mmHg", c.mmHg], ["inHg", c.inchHg], ["min", c.minute],
            ["h", c.hour], ["standard gravity", core.g], ["atmosphere", c.atm],
            ["68 °F", core.F2K(68.0)], ["20 °C", core.C2K(20.0)]]
    write("units.csv", "units and constants in SI", ["unit", "si"], rows)


friction_factors()
tubes()
orifices()
losses()
units()
