"""Every table is as it was when its rows were held against their sources, one by one."""

from hashlib import sha256
from importlib.resources import files

import pytest

CHECKED = {
    "antecedent": "d8a6c50784926a7cbdd647b86fddab4ce5eff6c32851aeb7887d39790032f83e",
    "beds": "677ce2050d4e36a8a313379b6c25bdf92478c0cee4f2369556738d22836c2646",
    "branched_drain": "68719d1801d1f54c1b6121f734b7b1c5bb2329faa50ed3a030ad6ffcde4c23c4",
    "budget_ranges": "999da6278c2aa59a4398e4115e3feb16b564d1260534b1c77b9844d7e976da64",
    "canopy_growth": "fd39883d9886da0360fa81d026ee47919347eaf25ff9b50c41929489863a2e9f",
    "compost_toilet": "d8abcffab54c3ec4bcf4fb0f1530c31e84c5250bb20add8b4fcadb7bac4df00e",
    "crop_classes": "f2987d9f11847e8ea7abd0cbcebb60eb48f005961ca2bb451cb6960f8734457d",
    "crop_coefficients": "906325a80795bb270589a7999e18034a194a432265089f904400d3d1d6e625d9",
    "crossing_works": "deffab24080c55dd05b9461816b6702697f8fac3baec824e24f45192d833dc85",
    "crossings": "a4f9e32df45a32e42c1ec3529fb4b8d4ccc4c78ef5a37e63bdabeb32882380d3",
    "culverts": "4f296238a43173a437a3daa50edcce1b38b8752442c6d17b5d10c8f531c0a819",
    "curve_numbers": "1a29f13f5349707cd5fe0557adc00af33152dba0b79e924dfd15a6dbc78c7513",
    "dryland_coefficients": "b1a1db91ee00932f82bcc90a5e1d308a9fa7e049c5ba50855c102d32d3c1bf39",
    "duration_ratios": "cec27ec9d655729ea500042693b8c65c4e521aa64314eb88db50dca86e784150",
    "evapotranspiration": "79c03b213be46d5ce18752df0f0784938e705f702f4230ebec9a1dbd114c28a3",
    "green_ampt": "d92326e7f7227e0d47dcaa29eb932413017fba169223a9e9b37d74ace85045a2",
    "greywater_loading": "5cdd8c01c8340adc187b1df5775a1c6cf8e0faba127a6448aa8282fe4d030c58",
    "greywater_practice": "04957e427c71f4e2c6f14407ae153d959779e4a05bfe0cb4157b19448e586255",
    "greywater_sources": "bd15c6993876071c8efb383917f502935f9b4eedc4c5691cffb7f5aa2ed9e960",
    "growth_stages": "c56a2c5e25270bda37153275946ee8e86a0ed91b6e2776a7febead46cc3e7b4c",
    "invasive": "86aeb856172a4f02fede2b6cc207007447098414b54f608a21ffda23d9d74244",
    "labour": "6e21bc2632be84b1bc5275feaeefc6465abd113d03c346474e077496498d1007",
    "level_spreader": "1343b9e05f5d4c17b0bab3dc27b87ffa11950584b0ca994fc0fad3c362d6e512",
    "losses": "529a29073b367d749b3338818a11a4c68fc186de90962f0180529548efa704de",
    "microcatchment_rules": "60d80fd9df8d7273481b25723d4038e30d29c184131256e72a34f8e64707f560",
    "negarim": "210dfe40cf9e8f9ee72dab773f2669a69096d6dce69f9f04b2a6b1e3329e34b1",
    "nrcs_storms": "5ced070c1a14b444d99026f5b3cbd32f8f8cfd816c73c02cd9af024275d1b7b5",
    "ogden_saghafian": "9cc8ca466574eb77257334619b99bd78e9ed9529f7cd4fff01f6bd9deee98d0e",
    "overland_velocity": "95e3db0385b5e5ceb7e37546999eb696f64e97970068484738e400c44521c31f",
    "permissible_velocity": "43aaa461b5ec76214db12c452c8c3af86fd4e6c2d6a799281f0acd1f7493ace9",
    "planting_practice": "3a15531ef424dcaf75113234f79c1da1def4a8b8bd408b80ec764df066d5c65f",
    "plotting_positions": "a683d8c3a322b5adf29fed7e0b8bf6f1ac95207bf23560ffe255641ebacf841a",
    "rain_tank": "29167594eaf7f5dd4d073a9dd032500b3c84bfd810b845d8c0421dc457f93ce0",
    "reed_bed": "842b2121bf789293f6eba2f7ea2015266672c6d0850ce7cec52af6dabfa6a331",
    "roughness": "ae17f0f4e8c7b8d52d92b35d75b8411eb3231b6de06a16e3993ee50641434c6f",
    "salt_ratings": "1f38c8d70eddb68e502282eec085015bee8ff60873fcd00f1f46f72b9bc82211",
    "seed_classes": "42be2b859ccad08021be13af0824e98ee3fed61711656541d65bf97de26e07b9",
    "seeds": "13d74a9f400b665ea8c09d263b94289620af9fcaf2712783207e9b8b19ed4d9a",
    "semi_circular_bunds": "68cde4fa8569678620172adce6560416591a8bdf36456c068c914b4cd095bb1f",
    "setbacks": "3964f0b60d06e4d8e91185ed0e02c4035cc027454d4d5adffbf69274c6ad31c8",
    "silt": "e27340eac8dd659fca72bcf51f713df31ccea33fc2e89fc95a119d58ca0112ca",
    "site_limits": "b6b20b36393cbb51b17345419f9dbd53142c4ffef48f047c5d491df43c166f6b",
    "soil_groups": "e69249ab800554a347a57924e20e0ceee64031bc713908d32bf7c8d6efb4fdf1",
    "soil_intake": "a091dd55322c6f19ff889dcd15ce6bb166f9df9a61b750964bd00ce85aa69c4a",
    "soil_water": "ea3c4d7a562333f71ee664b4180051d9946f250d3a8b67fbda5bd4ea687f95c9",
    "spacing_rules": "84d45a7ab7015c260ee66fb1aa8b82b2cb7f1294254509833c6df052e96042ec",
    "species": "a2af1df95d64183717f211818f00798ef7920480566f57558f17b713e1775143",
    "succession": "c21ed4709d2ae4a56c762b1c4b80e1f338f91e232f1d2a0e5b6624cd0a0d32c5",
    "survival": "04af3082e85f6f15e3ae177177b8752f351e67012ab59704c28f5d91fc2f6d6e",
    "swell": "849239e7e25b3cf986de030092225849f3102d22c563d4d56e32f930bb986ee3",
    "terrain_accuracy": "2485191bda2f17a04290fce3a033809708fac7dc028d097510da8166d8c727a5",
    "tolerances": "f8484caae94f13c80b0b8989eddbbb856c2ed0550252b8f1cd8118a8174a7e03",
    "uncertainty": "58072024339f09b64ef1a4ac94f797db14fc0ec2dcfe131dabe21554897800d5",
    "unit_hydrograph": "250d00b50d0794754813bf473a88abd81ee8a9ee03c5366b46912f9348e7b1f5",
    "water_groups": "6915cce5dbb68e54cbdf83936c5e741262f261b536491b5491b467daa7a76fe7",
    "weirs": "26ff3cd112ddbd0486f362b1d2a3dcece9bd570017b1eb7772d7595a4caaddc4",
}
"""Table -> SHA-256 of its lines; whoever changes a row checks it against its source, then changes the sum."""


def test_every_table_is_listed() -> None:
    """A new table is checked too."""
    names = [file.name for file in files("swalekit.tables").iterdir()]
    tables = {name.removesuffix(".csv") for name in names if name.endswith(".csv")}
    assert tables == set(CHECKED)


@pytest.mark.parametrize("table", CHECKED)
def test_no_cell_has_changed_since_it_was_checked(table: str) -> None:
    """Altering any cell, a unit or a source included, alters the sum."""
    lines = files("swalekit.tables").joinpath(f"{table}.csv").read_text(encoding="utf-8").splitlines()
    assert sha256("\n".join(lines).encode()).hexdigest() == CHECKED[table]
