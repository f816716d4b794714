"""Colours, hatches and line weights of every drawing, in one place.

Chosen to hold in black-and-white print and for colour-blind eyes: what must be told apart differs in lightness,
dash or hatch, never in hue alone. Line widths are in points.
"""

INK = "#1f1b18"
QUIET_INK = "#6b645c"
PAPER = "#ffffff"
PANEL_STRIPE = "#f3efe7"
HALO = "#ffffff"

RELIEF_DARK = "#928b80"
RELIEF_LIGHT = "#fbf9f4"
VOID = "#ececec"
WASH_ALPHA = 0.42

CONTOUR = "#9a9186"
CONTOUR_WIDTHS = (0.25, 0.55)  # plain, index

CATCHMENT_TINTS = ("#f3dc9f", "#7c9a6d", "#e0ae72", "#56687a")
CATCHMENT_ALPHA = 0.45
CATCHMENT_EDGE = "#7d7a5e"

SWALE = "#5c1616"
SWALE_WIDTH = 1.5
NEW_WIDTH, NEW_CORE_WIDTH = 3.4, 1.3  # a dark line with a light core
UNCHANGED = "#6b645c"
UNCHANGED_WIDTH = 0.9
FORMER = "#1f1b18"
FORMER_WIDTH = 1.1
FORMER_DASH = (0, (3.5, 2.2))
BAND = "#c9774f"
BAND_ALPHA = 0.55
FAILING = "#1f1b18"
FAILING_SIZE = 6.5
OVERTOPPED_WIDTH = 8.0
OVERTOPPED_DASH = (0, (0.16, 1.1))  # short strokes across the line
REFUSED = "#6b645c"
REFUSED_WIDTH = 0.9
SPILL = "#1d4e79"
SPILL_WIDTH = 0.8
APRON = "#8a8378"
APRON_EDGE = "#4d4841"
APRON_EDGE_WIDTH = 0.4
BANK = "#e9dcc3"
FORD = "#d8e6ec"
FORD_HATCH = "oooo"
ROADWAY_EDGE_WIDTH = 0.9
PIPE_WIDTH = 1.8
SILL_WIDTH = 3.4
WATERCOURSE = "#3a7ca5"
POND = "#24597f"
BOUNDARY = "#1f1b18"
SETBACK = "#5b4a73"

KEEP_OUT = "#43355a"
KEEP_OUT_FACE = "#d8d2e2"
KEEP_OUT_SYMBOLS = {  # hatch of an area, dash of a line, mark of a point; a road is drawn with two edges
    "building": ("xxxx", (0, (3, 1.5)), "s"),
    "slip-prone ground": ("\\\\\\\\", (0, (6, 1, 1, 1, 1, 1)), "v"),
    "septic field": ("....", (0, (3, 1.5)), "p"),
    "well": ("", (0, (3, 1.5)), "o"),
    "spring": ("oo..", (0, (3, 1.5)), "8"),
    "heritage": ("**", (0, (2, 1, 2, 4)), "P"),
    "property line": ("//..", (0, (9, 1.5)), "D"),
    "buried utility": ("||..", (0, (5, 1.6, 1, 1.6)), "X"),
    "road": ("////", (0, ()), "D"),
    "other": ("++", (0, (3, 1.5)), "D"),
    "tree": ("oo", (0, (1.5, 3)), (8, 2, 0)),
    "fence": ("||||", (0, (1, 1)), "d"),
    "power line": ("xx..", (0, (10, 1.5, 1, 1.5, 1, 1.5)), (4, 1, 0)),
    "rock": ("++++", (0, (2, 1, 4, 1)), "^"),
    "crossing": ("", (0, (6, 1.5)), "s"),
    "wetland": ("--..", (0, (4, 1.2, 1, 1.2, 1, 1.2, 1, 1.2)), "h"),
}

BOUNDARY_DASH = (0, (9, 2.5, 1.5, 2.5))
SETBACK_DASH = (0, (4, 2.5))
REFUSED_DASH = (0, (7, 2.2, 1, 2.2, 1, 2.2))
SPILL_DASH = (0, (1, 1.5))
POND_HATCH = "-----"

WATER_FACE = "#c3d9e8"
EARTH_FACE = "#d9c7a6"

CANOPY = "#a9bf8f"
CANOPY_EDGE = "#3d4f2c"
PIONEER = "#f0e9c8"
GROUND_COVER = "#6b7d52"
ANNUAL_BED = "#c9a878"
BED = "#8fc1d4"
SERVED = "#2f6f86"
SERVED_HATCH = "\\\\\\"
PIPE_DASH = (0, (2.2, 1.2))

BUND = "#4a3b12"
BUND_FACE = "#ecd9a0"

HOLDS = "#2f5d50"
FAILS = "#b5651d"

HEIGHT_TINTS = ("#5f7f6e", "#a8b487", "#e3cf93", "#c98f5c", "#8a5a44", "#f6efe6")
SLOPE_TINTS = ("#eef3e2", "#bcd3a4", "#7fae8f", "#e5bd6b", "#c9774f", "#7a2f2f")

GROUND_TINTS = (
    "#5d9b6b", "#f4e2a6", "#e2b04f", "#c98a3c", "#efcf7a", "#8f3d2e", "#b9a79a", "#7fb4d3", "#3d7fa8", "#b8aec9",
    "#ececec",
)  # fmt: skip
"""What ground suits, by the number of its kind: swales green, basins ochre, what is left alone by its reason."""
SUN_TINTS = ("#51617f", "#f1ece0", "#eeb54a")

WANT_MET_TINTS = ("#7a2f2f", "#c07a3c", "#e0c078", "#dcebe3")

PRINT_STYLE = {"hatch.linewidth": 0.45}
"""Matplotlib settings that an artist can't carry itself."""
