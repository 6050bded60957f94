"""Cargo as the kernel's code analyser sees it: see own_code.py. The first argument is the true cargo."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path


def main(cargo: str, words: list[str]) -> int:
    if words[:1] != ["metadata"] or "--no-deps" in words or os.environ.get("SHAFTWORK_KERNEL_ALL_CODE"):
        os.execv(cargo, [cargo, *words])
    answer = subprocess.run([cargo, *words], stdout=subprocess.PIPE)
    if answer.returncode == 0:
        sys.stdout.write(json.dumps(own(json.loads(answer.stdout))))
    return answer.returncode


def own(metadata: dict) -> dict:
    """Without the packages that were fetched from somewhere."""
    kept = [package for package in metadata["packages"] if package["source"] is None]
    for package in kept:
        only_source(package)
    names = {package["id"] for package in kept}
    nodes = [node for node in metadata["resolve"]["nodes"] if node["id"] in names]
    for node in nodes:
        node["dependencies"] = [name for name in node["dependencies"] if name in names]
        node["deps"] = [dependency for dependency in node["deps"] if dependency["pkg"] in names]
    resolve = metadata["resolve"] | {"nodes": nodes}
    return metadata | {"packages": kept, "resolve": resolve}


def only_source(package: dict) -> None:
    """The analyser reads the folder of the manifest, and of each target: here that of the library's first file."""
    libraries = [target for target in package["targets"] if "lib" in target["kind"]]
    if libraries:
        package["targets"] = libraries
        package["manifest_path"] = str(Path(libraries[0]["src_path"]).with_name("Cargo.toml"))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], sys.argv[2:]))
