"""Files of the solids, read back by the library that wrote them and by the standards' layout."""

import io
import json
import struct
import sys
import zipfile

import pytest
import trimesh

from apps.command_line import main
from apps.pages.crank_train_page import CrankTrainPage
from apps.pages.design_page import first_design
from apps.solid_files import solid_file
from assets_demo import demo_paths
from kinematics import DesignError, load_demo
from kinematics.solid.train_solids import as_one, assembled

ANGLE = 0.6


@pytest.fixture(scope="module")
def design():
    return load_demo("inline_four")


def test_gltf_has_a_node_for_each_part_in_metres(design) -> None:
    content = solid_file(design, ".glb", ANGLE)
    magic, version, length = struct.unpack("<4sII", content[:12])
    assert (magic, version, length) == (b"glTF", 2, len(content))
    (size,) = struct.unpack("<I", content[12:16])
    nodes = {node["name"] for node in json.loads(content[20 : 20 + size])["nodes"]}
    parts = assembled(design, ANGLE)
    assert {part.name for part in parts} <= nodes
    scene = trimesh.load(io.BytesIO(content), file_type="glb")
    for name in ("web 3", "piston 2", "rod cap 4"):
        mesh = next(part.mesh for part in parts if part.name == name)
        assert scene.geometry[name].volume == pytest.approx(mesh.volume, rel=1e-3)


def test_gltf_as_text_holds_its_numbers(design) -> None:
    content = json.loads(solid_file(design, ".gltf", 0.0))
    assert content["asset"]["version"] == "2.0"
    assert all(part["uri"].startswith("data:") for part in content["buffers"])
    assert "web 1" in {node["name"] for node in content["nodes"]}


def test_stl_is_the_whole_train_in_millimetres(design) -> None:
    content = solid_file(design, ".stl", ANGLE)
    whole = as_one(assembled(design, ANGLE))
    assert struct.unpack("<I", content[80:84])[0] == len(whole.faces)
    read = trimesh.load(io.BytesIO(content), file_type="stl")
    assert read.volume == pytest.approx(whole.volume * 1e9, rel=1e-3)


def test_zip_has_every_part_and_the_train(design) -> None:
    with zipfile.ZipFile(io.BytesIO(solid_file(design, ".zip", 0.0))) as archive:
        names = set(archive.namelist())
        web = trimesh.load(io.BytesIO(archive.read("web-1.stl")), file_type="stl")
    parts = assembled(design)
    assert names == {"train.stl", *(f"{part.name.replace(' ', '-')}.stl" for part in parts)}
    mesh = next(part.mesh for part in parts if part.name == "web 1")
    assert web.volume == pytest.approx(mesh.volume * 1e9, rel=1e-3)


def test_the_command_writes_the_file(tmp_path) -> None:
    out = tmp_path / "train.glb"
    path = demo_paths()["Inline four"]
    assert main(["solids", str(path), "--out", str(out), "--angle", "30"]) == 0
    assert out.read_bytes()[:4] == b"glTF"


@pytest.mark.parametrize(
    ("name", "angle", "words"),
    [
        ("train.obj", "0", "--out: must end in .glb, .gltf, .stl, .zip (got .obj)"),
        ("train.glb", "nan", "--angle: must be finite (got nan)"),
    ],
)
def test_bad_arguments_are_one_line_and_code_2(tmp_path, capsys, name, angle, words):
    given = ["--out", str(tmp_path / name), "--angle", angle]
    assert main(["solids", str(demo_paths()["Inline four"]), *given]) == 2
    error = capsys.readouterr().err
    assert words in error
    assert error.count("\n") == 1
    assert not list(tmp_path.iterdir())


def test_without_the_library_it_says_how_to_install_it(design, monkeypatch) -> None:
    monkeypatch.setitem(sys.modules, "trimesh", None)
    with pytest.raises(DesignError, match=r"pip install 'sixthrow\[export\]'"):
        solid_file(design, ".glb", 0.0)


def test_the_page_offers_the_file_or_says_what_it_needs(monkeypatch) -> None:
    state = first_design()
    page = CrankTrainPage(state)
    offered = []
    monkeypatch.setattr(page.bar, "offer_file", lambda *file: offered.append(file))
    page.command({"kind": "solids"})
    ((name, content),) = offered
    assert name.endswith(".gltf")
    assert "piston 6" in {node["name"] for node in json.loads(content)["nodes"]}
    monkeypatch.setitem(sys.modules, "trimesh", None)
    page.command({"kind": "solids"})
    assert len(offered) == 1
    assert state.message == (
        "Nothing saved: this needs trimesh, which is not installed: pip install 'sixthrow[export]'",
        True,
    )
