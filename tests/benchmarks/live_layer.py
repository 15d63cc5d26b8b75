"""What a lab's live layer costs: the renderer of ``trimkit.study.frame.overlay`` against matplotlib's own SVG writer.

``python tests/benchmarks/live_layer.py`` moves the first slider of labs 02, 07 and 10 from end to end and writes the
live artists with both: median milliseconds of processor time a picture; its size in bytes, plain and after gzip.
"""

import gzip
import io
import statistics
import time

import numpy as np
from matplotlib.backends.backend_svg import RendererSVG

from trimkit import study
from trimkit.study.frame import style
from trimkit.study.frame.controls import Slider

MOST = 200
LABS = {"02": study.bore_depth_lab, "07": study.flex_scale_lab, "10": study.tolerance_lab}


def by_matplotlib(lab):
    """The live artists as matplotlib's own SVG writer draws them."""
    file = io.StringIO()
    width, height = lab.figure.get_size_inches() * 72
    renderer = RendererSVG(width, height, file, image_dpi=72, metadata={"Date": None, "Creator": None})
    for artist in sorted(lab.scene.live.values(), key=lambda artist: artist.get_zorder()):
        artist.draw(renderer)
    renderer.finalize()
    return file.getvalue()


def main():
    print("lab  ours ms  bytes  gzip   matplotlib ms  bytes  gzip")
    for number, make in LABS.items():
        lab = make()
        slider = next(control for control in lab.declared if isinstance(control, Slider))
        row = []
        for written in (lambda lab=lab: lab.overlay.live("x"), lambda lab=lab: by_matplotlib(lab)):
            taken = []
            with style.styled():
                for value in np.arange(slider.low, slider.high, slider.step)[:MOST]:
                    lab.set(**{slider.name: float(value)})
                    start = time.process_time()
                    svg = written()
                    taken.append(1000 * (time.process_time() - start))
            row += [statistics.median(taken), len(svg.encode()), len(gzip.compress(svg.encode()))]
        print("{:3} {:8.2f} {:6} {:5} {:14.2f} {:6} {:5}".format(number, *row))


if __name__ == "__main__":
    main()
