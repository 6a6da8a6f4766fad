"""Node, when the machine has it."""

from __future__ import annotations

import shutil
import subprocess

import pytest

NODE = shutil.which("node")

needs_node = pytest.mark.skipif(
    NODE is None, reason="node is not on the PATH: the engine in JavaScript is left out"
)


def run_node(program: str, given: str = "") -> str:
    """Output of a program; `given` is its standard input."""
    assert NODE is not None
    done = subprocess.run(
        [NODE, "--input-type=commonjs", "-"] if not given else [NODE, "-e", program],
        input=given or program,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout
