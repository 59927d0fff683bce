"""Commands run in forked children of this process, where all is loaded already: a thousand are affordable."""

from __future__ import annotations

import os
import select
import signal
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

LONGEST_S = 60.0


@dataclass(frozen=True)
class Done:
    """How a child ended. ``code`` is None when it was killed."""

    code: int | None
    said: str
    complaint: str
    took_s: float


class Child:
    """A function running in a child, its two outputs in pipes."""

    def __init__(self, work: Callable[[], int], *, env: Mapping[str, str]) -> None:
        out, out_in = os.pipe()
        err, err_in = os.pipe()
        sys.stdout.flush()
        sys.stderr.flush()
        self.began = time.perf_counter()
        self.pid = os.fork()
        if self.pid == 0:
            _be(work, env, out_in, err_in)
        os.close(out_in)
        os.close(err_in)
        self._pipes = {out: bytearray(), err: bytearray()}
        self._open = [out, err]
        self._out, self._err = out, err

    def read(self, seconds: float) -> bool:
        """Read for at most so long; false once both outputs have ended."""
        if self._open:
            for pipe in select.select(self._open, [], [], seconds)[0]:
                got = os.read(pipe, 65536)
                self._pipes[pipe] += got
                if not got:
                    self._open.remove(pipe)
                    os.close(pipe)
        return bool(self._open)

    def kill(self) -> None:
        """SIGKILL to this child, and to nothing else."""
        os.kill(self.pid, signal.SIGKILL)

    def end(self) -> Done:
        """Wait for its end."""
        until = self.began + LONGEST_S
        while self.read(1.0):
            if time.perf_counter() > until:
                self.kill()
        took_s = time.perf_counter() - self.began
        status = os.waitstatus_to_exitcode(os.waitpid(self.pid, 0)[1])
        said, complaint = (bytes(self._pipes[p]).decode("utf-8", "replace") for p in (self._out, self._err))
        return Done(code=status if status >= 0 else None, said=said, complaint=complaint, took_s=took_s)


def command(words: Sequence[str]) -> Callable[[], int]:
    """The real command line, in this process."""

    def work() -> int:
        from logbook.cli import main  # noqa: PLC0415 - loaded by the parent

        return main(words)

    return work


def run_in_child(words: Sequence[str], *, env: Mapping[str, str]) -> Done:
    """One command to its end."""
    return Child(command(words), env=env).end()


def load_everything() -> None:
    """Load what commands need, so that children only work."""
    from importlib import import_module  # noqa: PLC0415

    import sqlite_utils.migrations  # noqa: PLC0415

    assert sqlite_utils
    from logbook.cli import MODULE_OF  # noqa: PLC0415
    from logbook.cli.arguments import parser  # noqa: PLC0415

    parser()
    for name in {*MODULE_OF.values(), "app"}:
        import_module(f"logbook.cli.{name}")


def left_open(path: Path, *, env: Mapping[str, str], lines: Sequence[str]) -> None:
    """Lines written by a program that ends without closing the log; the last is taken back."""

    def work() -> int:
        from logbook.actions.lines import note, undo  # noqa: PLC0415 - in the child
        from logbook.actions.opening import clock, place_of  # noqa: PLC0415 - in the child

        log = place_of(str(path)).open()
        for line in lines:
            note(log, line, now=clock())
        undo(log, now=clock())
        os._exit(0)

    assert Child(work, env=env).end().code == 0


def _be(work: Callable[[], int], env: Mapping[str, str], out: int, err: int) -> None:
    """The child's life; never returns."""
    code = 99
    try:
        os.dup2(out, 1)
        os.dup2(err, 2)
        os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
        os.environ.update(env)
        for name in ("NIGHTLOAD_LOG", "PYTHONPATH"):
            os.environ.pop(name, None)
        sys.stdin = open(0, encoding="utf-8", closefd=False)  # noqa: SIM115 - the child's own
        sys.stdout = open(1, "w", encoding="utf-8", closefd=False)  # noqa: SIM115
        sys.stderr = open(2, "w", encoding="utf-8", closefd=False)  # noqa: SIM115
        code = work()
        sys.stdout.flush()
    except SystemExit as stop:
        code = stop.code if isinstance(stop.code, int) else 1
    except BaseException:  # noqa: BLE001 - told to whoever reads the pipe
        import traceback  # noqa: PLC0415

        traceback.print_exc()
    finally:
        sys.stderr.flush()
        os._exit(code)
