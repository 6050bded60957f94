"""One living kernel: code goes in, outputs come out. Needs the private Python."""

from __future__ import annotations

import os
import queue
import time
from dataclasses import dataclass, field
from pathlib import Path
from types import TracebackType

from jupyter_client.kernelspec import KernelSpecManager
from jupyter_client.manager import KernelManager
from jupyter_client.provisioning import LocalProvisioner
from nbformat import NotebookNode
from nbformat.v4 import output_from_msg

import places

START_LIMIT = 600.0
"""Seconds. A first start compiles a little; nothing that works takes this long on a loaded machine."""

SHOWN = {"stream", "display_data", "execute_result", "error"}


class KernelDied(Exception):
    """The kernel process is gone."""


class TooLong(Exception):
    """The kernel did not answer in time."""


@dataclass
class Reply:
    outputs: list[NotebookNode] = field(default_factory=list)
    seconds: float = 0.0


class Kernel:
    """Used as a context: started on entry, gone on exit."""

    def __init__(
        self, log: Path, more: dict[str, str] | None = None, folder: Path = places.NOTEBOOKS
    ) -> None:
        self.log = log
        self.folder = folder
        self.more = more or {}
        self.start_seconds = 0.0
        specs = KernelSpecManager(kernel_dirs=[str(places.KERNELSPECS)], ensure_native_kernel=False)
        self.manager = KernelManager(kernel_name=places.KERNEL_NAME, kernel_spec_manager=specs)

    def __enter__(self) -> Kernel:
        begin = time.monotonic()
        with open(self.log, "w") as log:
            environment = places.private(dict(os.environ)) | self.more
            self.manager.start_kernel(cwd=str(self.folder), env=environment, stdout=log, stderr=log)
        self.client = self.manager.client()
        try:
            self.client.start_channels()
            self.client.wait_for_ready(timeout=START_LIMIT)
        except BaseException as error:
            # Also where somebody loses patience: nothing else would end the kernel.
            self.__exit__(None, None, None)
            if isinstance(error, RuntimeError):
                raise KernelDied(f"the kernel does not start: {error}\n{self.words()}") from None
            raise
        self.start_seconds = time.monotonic() - begin
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.client.stop_channels()
        # Killed with all it has started: a cell may never end, and nothing is worth a farewell.
        self.manager.shutdown_kernel(now=True)

    def process(self) -> int:
        """Its number is also that of the group of all processes it has started."""
        provisioner = self.manager.provisioner
        assert isinstance(provisioner, LocalProvisioner) and provisioner.pid
        return provisioner.pid

    def seconds_running_cells(self) -> float | None:
        """Processor time of the process in which cells run, a child of the kernel and of the same program."""
        kernel = self.process()
        try:
            program = os.readlink(f"/proc/{kernel}/exe")
            for child in Path(f"/proc/{kernel}/task/{kernel}/children").read_text().split():
                if os.readlink(f"/proc/{child}/exe") == program:
                    fields = Path(f"/proc/{child}/stat").read_text().rsplit(")", 1)[1].split()
                    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")
        except OSError:
            pass
        return None

    def run(self, code: str, limit: float) -> Reply:
        """All that the kernel sends until it says that it has done the request."""
        begin = time.monotonic()
        request = self.client.execute(code)
        reply = Reply()
        while True:
            message = self.message(begin + limit)
            kind, content = message["msg_type"], message["content"]
            if kind in SHOWN:
                add(reply.outputs, output_from_msg(message))
            elif kind == "status" and content["execution_state"] == "idle":
                if message["parent_header"].get("msg_id") == request:
                    reply.seconds = time.monotonic() - begin
                    return reply

    def late(self, seconds: float) -> list[NotebookNode]:
        """What still arrives: text on stderr may come after the kernel has said that it is done."""
        outputs: list[NotebookNode] = []
        while True:
            try:
                message = self.client.get_iopub_msg(timeout=seconds)
            except queue.Empty:
                return outputs
            if message["msg_type"] in SHOWN:
                add(outputs, output_from_msg(message))

    def message(self, deadline: float) -> dict:
        while True:
            try:
                return self.client.get_iopub_msg(timeout=1)
            except queue.Empty:
                if not self.manager.is_alive():
                    raise KernelDied(f"the kernel is gone\n{self.words()}") from None
                if time.monotonic() > deadline:
                    raise TooLong from None

    def words(self) -> str:
        """The end of what the kernel itself wrote."""
        return "\n".join(self.log.read_text(errors="replace").splitlines()[-20:])


def add(outputs: list[NotebookNode], output: NotebookNode) -> None:
    """Text of one stream is one output, however many messages brought it."""
    if output.output_type == "stream":
        for earlier in outputs:
            if earlier.output_type == "stream" and earlier.name == output.name:
                earlier.text += output.text
                return
    outputs.append(output)
