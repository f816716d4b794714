"""Draw the pictures that the README shows, by the commands that it names: ``python sample_terrain/make_pictures.py``.

Each is drawn by the command in a folder that goes again, and kept at half its size and in few colours.
"""

import shlex
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from PIL import Image

HERE = Path(__file__).parent
PICTURES = {
    "map.png": ("plan sample_terrain/site.toml --out plan --overwrite", "plan/map.png"),
    "options.png": (
        "compare sample_terrain/site.toml --spacing 25,30,35,40 --depth 0.8,1.2 --out spacings",
        "spacings/options.png",
    ),
    "site_sheet.png": (
        "begin sample_terrain/hillside.tif --boundary sample_terrain/boundary.geojson --keep-outs "
        'sample_terrain/keep_outs.geojson --name "Solana de Quermal" --out site',
        "site/site_sheet.png",
    ),
    "planting.png": ("grow sample_terrain/site.toml --out growth", "growth/planting.png"),
}
"""Picture -> the command, as the README gives it, and the result that it is made of."""

_COLOURS = 255


def make_picture(name: str, folder: Path) -> Image.Image:
    """Run the command of a picture in a folder and give what it drew, at half its size."""
    command, result = PICTURES[name]
    arguments = [
        str(HERE / each.removeprefix("sample_terrain/")) if "/" in each else each for each in shlex.split(command)
    ]
    subprocess.run(
        [sys.executable, "-c", "from swalekit.cli.main import run; run()", *arguments],
        cwd=folder,
        check=True,
        stdin=subprocess.DEVNULL,  # so that nothing is asked
    )
    with Image.open(folder / result) as drawn:
        half = drawn.convert("RGB").resize((drawn.width // 2, drawn.height // 2), Image.Resampling.LANCZOS)
    return half.quantize(_COLOURS, method=Image.Quantize.FASTOCTREE, dither=Image.Dither.NONE)


def main() -> None:
    """Draw every picture into the folder of the sample."""
    with TemporaryDirectory() as folder:
        for name in PICTURES:
            make_picture(name, Path(folder)).save(HERE / name, optimize=True)


if __name__ == "__main__":
    main()
