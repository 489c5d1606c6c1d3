"""What a manifest says of the inputs is what was read, and nothing else."""

import hashlib

from boardgen.inputs.digests import describe

READ = ("a.toml", "footprint_names.csv", "limits/board_houses.toml", "permeability/43.csv", "prices/mine.csv")
BESIDE = ("output/board/bill.csv", "limits/note.txt", "huge.bin", "permeability/old/43.csv", "b.csv")


def test_of_a_folder_of_parts_only_what_is_read_is_named(tmp_path):
    for name in (*READ, *BESIDE):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(name)
    found = describe(tmp_path / "a.toml", {}, {}, [], tmp_path, None)["own parts"]
    assert found == [{"name": name, "sha256": hashlib.sha256(name.encode()).hexdigest()} for name in READ]
