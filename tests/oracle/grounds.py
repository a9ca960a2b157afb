"""Photographs that scikit-image carries, written where a test of what is seen reads them.

    python3 -m pip install scikit-image==0.26.0
    python3 tests/oracle/grounds.py target/grounds
    HEARTSIDE_GROUNDS=$PWD/target/grounds cargo test -p heartside-figure --test seeing -- --ignored photographed

brick (CC0Textures, Bricks25), gravel (CC0Textures, Gravel04) and grass (DeviantArt, linolafett, Grass-01) are CC0,
as are coffee (a cup on a wooden table) and chelsea (a cat). They are 400 to 600 pixels wide.
"""

import sys
from pathlib import Path

import numpy
import skimage.data

NAMES = ["brick", "grass", "gravel", "coffee", "chelsea"]

folder = Path(sys.argv[1])
folder.mkdir(parents=True, exist_ok=True)
for name in NAMES:
    pixels = getattr(skimage.data, name)()
    if pixels.ndim == 2:
        pixels = numpy.repeat(pixels[:, :, None], 3, axis=2)
    head = f"P6\n{pixels.shape[1]} {pixels.shape[0]}\n255\n".encode()
    (folder / f"{name}.ppm").write_bytes(head + pixels.astype(numpy.uint8).tobytes())
