"""The crank train's solids as files for other programs: glTF, or STL of one part or all.

Lengths are metres in glTF, as its standard has it (ISO/IEC 12113:2022), millimetres in STL, which
names none (common practice, no source). Trimesh writes them; it is an extra of the installation.
"""

import io
import zipfile
from collections.abc import Callable
from typing import Any

from apps.file_stem import file_stem
from kinematics import Design, DesignError
from kinematics.solid.mesh import Mesh
from kinematics.solid.train_solids import as_one, assembled
from kinematics.units import UNITS


def solid_file(design: Design, ending: str, crank_angle: float) -> bytes:
    """Return the train at a crank angle [rad] as a file of an ending of `WRITERS`.

    Raises DesignError for another ending, and where trimesh is not installed.
    """
    if ending not in WRITERS:
        raise DesignError("--out", f"must end in {', '.join(WRITERS)} (got {ending or 'nothing'})")
    return WRITERS[ending](design, crank_angle)


def _gltf(design: Design, crank_angle: float) -> bytes:
    """Return glTF as text that holds its numbers too."""
    library = _trimesh().exchange.gltf
    return bytes(library.export_gltf(_scene(design, crank_angle), embed_buffers=True)["model.gltf"])


def _glb(design: Design, crank_angle: float) -> bytes:
    """Return binary glTF."""
    return bytes(_scene(design, crank_angle).export(file_type="glb"))


def _scene(design: Design, crank_angle: float) -> Any:
    """Return the library's scene, in which each part is a node of its own name."""
    scene = _trimesh().Scene()
    for part in assembled(design, crank_angle):
        scene.add_geometry(_library_mesh(part.mesh), node_name=part.name, geom_name=part.name)
    return scene


def _stl(design: Design, crank_angle: float) -> bytes:
    """Return binary STL of the whole train."""
    return _stl_bytes(as_one(assembled(design, crank_angle)))


def _zip(design: Design, crank_angle: float) -> bytes:
    """Return a ZIP with the STL of every part, and that of the train."""
    parts = assembled(design, crank_angle)
    whole = io.BytesIO()
    with zipfile.ZipFile(whole, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, mesh in (
            ("train", as_one(parts)), *((part.name, part.mesh) for part in parts)
        ):  # fmt: skip
            archive.writestr(f"{file_stem(name)}.stl", _stl_bytes(mesh))
    return whole.getvalue()


WRITERS: dict[str, Callable[[Design, float], bytes]] = {
    ".glb": _glb,
    ".gltf": _gltf,
    ".stl": _stl,
    ".zip": _zip,
}


def _stl_bytes(mesh: Mesh) -> bytes:
    shown = Mesh(UNITS["mm"].array_from_si(mesh.vertices), mesh.faces)
    return bytes(_library_mesh(shown).export(file_type="stl"))


def _library_mesh(mesh: Mesh) -> Any:
    return _trimesh().Trimesh(mesh.vertices, mesh.faces, process=False)


def _trimesh() -> Any:
    """Return the library that writes solids."""
    try:
        import trimesh
        import trimesh.exchange.gltf
    except ImportError:
        raise DesignError(
            "--out", "needs trimesh, which is not installed: pip install 'sixthrow[export]'"
        ) from None
    return trimesh
