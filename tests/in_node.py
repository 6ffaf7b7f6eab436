"""JavaScript of the pages run by node, for tests that hold both languages against each other."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

import viz.browser

FOLDER = Path(viz.browser.__file__).parent


def in_node(names: str, module: str, call: str, given: Any) -> Any:
    """Return what JavaScript gives for `given`: `call` may use it and the names of a module."""
    places = os.pathsep.join([str(Path(sys.executable).parent), os.environ.get("PATH", "")])
    node = shutil.which("node", path=places)
    if node is None:
        reason = "no node found; make test installs one"
        if os.environ.get("CI"):
            pytest.fail(reason)
        pytest.skip(reason)
    script = f"""
    import {{ readFileSync }} from "node:fs";
    import {{ {names} }} from {json.dumps((FOLDER / module).as_uri())};
    const given = JSON.parse(readFileSync(0, "utf-8"));
    process.stdout.write(JSON.stringify({call}));
    """
    made = subprocess.run(
        [node, "--no-warnings", "--input-type=module", "--eval", script],
        input=json.dumps(given), capture_output=True, check=False, encoding="utf-8",
    )  # fmt: skip
    assert made.returncode == 0, made.stderr
    return json.loads(made.stdout)
