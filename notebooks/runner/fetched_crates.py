"""Lets the kernel's cargo use the crates that are there and not ask the registry.

Reason: the kernel first builds a package without dependencies, which empties its lock file. At the
first cell cargo would look up all of them again: a wait for the network, and a failure without one.
`notebooks/run` fetches what the library depends on beforehand. What is lost: a `:dep` on a crate
that is not there fails; cargo then says that it works offline.

Off: SHAFTWORK_KERNEL_ONLINE=1.
"""

from __future__ import annotations


def apply(environment: dict[str, str]) -> None:
    if not environment.get("SHAFTWORK_KERNEL_ONLINE"):
        environment["CARGO_NET_OFFLINE"] = "true"
