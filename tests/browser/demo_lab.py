"""A small lab to drive in a browser: a loaded cantilever of invented stiffness, two axes, about 2 ms of computing."""

from dataclasses import dataclass

import numpy as np

from trimkit.parts.errors import ModelError
from trimkit.study.frame import style
from trimkit.study.frame.controls import Choice, Slider, Switch
from trimkit.study.frame.lab import Lab
from trimkit.study.frame.overlay import Scene
from trimkit.study.frame.readout import Readout


@dataclass(frozen=True)
class Cantilever:
    length_in: float
    load_g: float
    clamp: str
    shear: bool


@dataclass(frozen=True)
class Bent:
    x_in: np.ndarray
    deflection_in: np.ndarray
    bending: np.ndarray
    tip_in: float


def compute(params):
    if params.length_in > 39.9 and params.load_g > 290:
        raise ModelError("40 in of beam with 300 g bends too far", "less of either", "shorten it <or> unload it")
    x = np.linspace(0, params.length_in, 60)
    stiffness = 4.0 + 0.05 * x
    curvature = 5.5e-6 * params.load_g * (params.length_in - x) / stiffness
    for _ in range(35):  # stands for a solver's two milliseconds
        np.sort(np.sin(np.linspace(0, stiffness[-1], 2000)))
    slope = np.concatenate([[0], np.cumsum((curvature[1:] + curvature[:-1]) / 2 * np.diff(x))])
    deflection = np.concatenate([[0], np.cumsum((slope[1:] + slope[:-1]) / 2 * np.diff(x))])
    if params.clamp == "soft":
        deflection = deflection + 0.01 * x
    if params.shear:
        deflection = deflection + 0.002 * x
    moment = 1.5e-4 * params.load_g * (params.length_in - x)
    return Bent(x, deflection, moment, float(deflection[-1]))


def build(reference):
    with style.styled_figure() as figure:
        left, right = figure.subplots(2, 1)
        left.set(xlim=(0, 48), ylim=(6, -0.5), ylabel="deflection (in)")
        right.set(xlim=(0, 48), ylim=(0, 1.5), xlabel="from the clamp (in)", ylabel="moment")
        left.plot(reference.x_in, reference.deflection_in, **style.REFERENCE.line())
        live = {
            "shape": left.plot([], [], **style.NOW.line())[0],
            "tip": left.plot([], [], **style.SERIES[1].line(marker=True))[0],
            "moment": right.plot([], [], **style.NOW.line())[0],
            "area": right.fill([0, 0, 0], [0, 0, 0], color=style.NOW.colour, alpha=0.2)[0],
            "name": left.text(0, 0, "", va="bottom"),
        }
    return Scene(figure, live)


def draw(live, now, _reference):
    live["shape"].set_data(now.x_in, now.deflection_in)
    live["tip"].set_data(now.x_in[-1:], now.deflection_in[-1:])
    live["moment"].set_data(now.x_in, now.bending)
    live["area"].set_xy(np.column_stack([np.append(now.x_in, 0), np.append(now.bending, 0)]))
    live["name"].set_position((now.x_in[-1], now.tip_in - 0.3))
    live["name"].set_text(f"{now.tip_in:.2f} in")


def read(bent):
    return (
        Readout("Tip", bent.tip_in, "in", 2),
        Readout("Root moment", float(bent.bending[0]), "", 3),
    )


def describe(now, reference):
    return f"The tip hangs {now.tip_in:.2f} in below the clamp; the reference hangs {reference.tip_in:.2f} in."


def make():
    return Lab(
        title="A beam under load",
        controls=(
            Slider("length_in", "Length", "in", 20, 40, 0.125, 30),
            Slider("load_g", "Load", "g", 100, 300, 5, 200),
            Choice("clamp", "Clamp", ("hard", "soft"), "hard"),
            Switch("shear", "Count shear too", False),
        ),
        params=Cantilever,
        compute=compute,
        build=build,
        draw=draw,
        read=read,
        describe=describe,
    )
