"""A study on an existing dask cluster.

Whatever becomes of the cluster, the study ends with a sentence, and within a known time. Workers
may come and go meanwhile; each has to be of the same build, as another one gives other numbers.
"""

from __future__ import annotations

import asyncio
import logging
import queue
import time
import warnings
from collections.abc import Coroutine, Iterator, Sequence
from concurrent.futures import CancelledError, ThreadPoolExecutor
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from typing import Any, TypeVar

from hoggin import __version__
from hoggin.build import build, fingerprint
from hoggin.errors import HogginError
from hoggin.pool import PoolError
from hoggin.studies.runner.spread import Batch, Finished, Part, Work

T = TypeVar("T")
ANSWER_S = 10.0
"""How long a scheduler or a worker may take to answer."""
WORKERLESS_S = 30.0
"""How long a cluster may have no worker at all, as while all of them are restarted."""
_LOOK_S = 2.0  # after which silence is looked into
_LOGGERS = ("distributed", "tornado", "asyncio")  # they print at length what is one sentence here


@dataclass(frozen=True, slots=True)
class Made:
    """What a process computes with."""

    version: str
    build: str
    fingerprint: str

    def difference(self, other: Made) -> str:
        """In what another one differs, in words; "" if in nothing."""
        if (self.version, self.build) != (other.version, other.build):
            return f"hoggin {other} in place of hoggin {self}"
        if self.fingerprint != other.fingerprint:
            return "another Python, numpy or plug-in package than this computer"
        return ""

    def __str__(self) -> str:
        return f"{self.version} (build {self.build[:8]})"


@dataclass(frozen=True)
class Cluster:
    """A cluster by its scheduler's address: `tcp://10.0.0.5:8786`. A batch whose worker dies is
    given to another."""

    address: str

    def parts(self, work: Work, batches: Sequence[Batch]) -> Finished:
        """Raises PoolError if the cluster can't be used or is lost, HogginError without dask."""
        try:
            import distributed
        except ImportError:
            raise HogginError("a cluster needs dask: `pip install 'hoggin[cluster]'`") from None
        with _silence(), self._client(distributed) as client:
            made = made_here()
            self._refuse_other_builds(made)
            # A task, not scattered data: it is done again if every worker that has it is lost.
            shared = client.submit(_itself, work, pure=False)
            finished: queue.Queue[Any] = queue.Queue()
            numbers: dict[Any, int] = {}
            for number, batch in enumerate(batches):
                future = client.submit(_part, made, shared, batch, pure=False)
                numbers[future.key] = number
                future.add_done_callback(finished.put)
            while numbers:
                future = self._next(finished)
                part = self._taken(future)
                if part is None:
                    finished.put(future)
                else:
                    yield numbers.pop(future.key), part

    @contextmanager
    def _client(self, distributed: Any) -> Iterator[Any]:
        """A connection to the scheduler, which has answered. dask alone would wait for one that is
        silent without an end. Raises PoolError."""
        self._workers()
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")  # of other versions, which are refused below
                client = distributed.Client(self.address, timeout=ANSWER_S)
        except Exception as fault:  # of any kind: of sockets, protocols, certificates
            raise self._unreachable(fault) from None
        try:
            yield client
        finally:
            with suppress(Exception):  # the cluster may be gone
                client.close(timeout=_LOOK_S)

    def _workers(self) -> tuple[str, ...]:
        """The workers that the scheduler has now, by their addresses. Raises PoolError if it does
        not answer."""
        try:
            return _in_time(_asked(self.address))
        except Exception as fault:  # of any kind, as above
            raise self._unreachable(fault) from None

    def _unreachable(self, fault: Exception) -> PoolError:
        why = _words(fault) or f"no answer within {ANSWER_S:g} s"
        if isinstance(fault, TypeError | ImportError):  # so dask says that a protocol lacks parts
            protocol = self.address.partition("://")[0]
            why = f"`{protocol}` is not set up on this computer, see dask's own configuration"
        return PoolError(f"the scheduler at `{self.address}` can't be reached: {why}")

    def _refuse_other_builds(self, made: Made) -> None:
        """Raises PoolError for a worker of another build, and for one without hoggin. Workers that
        do not answer in time are compared with their first batch."""
        try:
            answers = _in_time(_made(self.address))
        except Exception:  # of any kind: a worker has just gone, or is busy
            return
        for worker, answer in answers.items():
            if isinstance(answer, Made):
                _compare(made, answer, worker)
            elif not isinstance(answer, OSError):  # it is there, and can't answer
                raise _failed(f"the worker at `{worker}`", answer)

    def _next(self, finished: queue.Queue[Any]) -> Any:
        """The next future that is finished. Raises PoolError if the cluster is lost."""
        while True:
            with suppress(queue.Empty):
                return finished.get(timeout=_LOOK_S)
            self._await_workers()

    def _await_workers(self) -> None:
        """Return once there are workers. Raises PoolError if none come, or the cluster is lost."""
        end = time.monotonic() + WORKERLESS_S
        while not self._workers():
            if time.monotonic() > end:
                why = f"has had no workers for {WORKERLESS_S:g} s"
                raise PoolError(f"the scheduler at `{self.address}` {why}")
            time.sleep(_LOOK_S)

    def _taken(self, future: Any) -> Part | None:
        """What a batch gave; None if it did not arrive in time, as its worker may have been lost
        since. Raises PoolError, and what the batch raised."""
        from distributed.scheduler import KilledWorker

        try:
            part: Part = future.result(timeout=ANSWER_S)
        except HogginError:
            raise
        except TimeoutError:
            self._await_workers()
            return None
        except KilledWorker:
            raise PoolError(
                "every worker that was given a certain batch was ended from outside, perhaps "
                "because memory ran out"
            ) from None
        except (CancelledError, asyncio.CancelledError):
            self._workers()
            raise PoolError(f"the scheduler at `{self.address}` has dropped the study") from None
        except Exception as fault:  # of any kind: it was raised elsewhere, by we know not what
            self._workers()  # a scheduler that is gone is the reason, whatever it looks like here
            raise _failed("the cluster", fault) from None
        return part


def made_here() -> Made:
    """Of the process that this is called in."""
    return Made(__version__, build(), fingerprint())


def _in_time(asked: Coroutine[Any, Any, T]) -> T:
    """An answer of the cluster, or the TimeoutError, or whatever else it raises. It is awaited in a
    thread, as the caller may have an event loop of its own."""

    async def limited() -> T:
        return await asyncio.wait_for(asked, ANSWER_S)

    with ThreadPoolExecutor(1) as thread:
        return thread.submit(asyncio.run, limited()).result()


async def _asked(address: str) -> tuple[str, ...]:
    """The addresses of the workers, from a scheduler."""
    from distributed.comm.core import connect
    from distributed.security import Security

    options = Security().get_connection_args("client")
    connection = await connect(address, timeout=ANSWER_S, **options)
    try:
        await connection.write({"op": "identity", "reply": True})
        return tuple((await connection.read())["workers"])
    finally:
        connection.abort()


async def _made(address: str) -> dict[str, Made | BaseException]:
    """What each worker says that it computes with, or what it raises."""
    from distributed import Client

    async with Client(address, asynchronous=True, set_as_default=False) as client:
        answers: dict[str, Made | BaseException] = await client.run(made_here, on_error="return")
        return answers


def _itself(work: Work) -> Work:
    return work


def _part(made: Made, work: Work, batch: Batch) -> Part:
    """On a worker: one that joined later has not been compared before. Raises PoolError."""
    from distributed import get_worker

    _compare(made, made_here(), get_worker().address)
    return work.done(batch)


def _compare(made: Made, other: Made, worker: str) -> None:
    difference = made.difference(other)
    if difference:
        raise PoolError(
            f"the worker at `{worker}` has {difference}, and would give other numbers: install the "
            "same on every computer of the cluster"
        )


def _failed(worker: str, fault: BaseException) -> PoolError:
    why = _words(fault) or type(fault).__name__
    return PoolError(f"{worker} failed, perhaps without this version of hoggin: {why}")


def _words(fault: BaseException) -> str:
    """The first sentence of an error."""
    return " ".join(str(fault).split()).partition(". ")[0]


@contextmanager
def _silence() -> Iterator[None]:
    """No log lines of the libraries, with their tracebacks."""
    known = logging.root.manager.loggerDict.items()
    loud = [
        logger
        for name, logger in known
        if isinstance(logger, logging.Logger)
        and name.partition(".")[0] in _LOGGERS
        and not logger.disabled
    ]
    for logger in loud:
        logger.disabled = True
    try:
        yield
    finally:
        for logger in loud:
            logger.disabled = False
