"""How gunicorn serves the shop: ``gunicorn repairs.wsgi --config python:repairs.serving``. The demo is served alike."""

from __future__ import annotations

from typing import Any

from gunicorn.workers import gthread

from repairs.slow_clients import SLOW_CLIENTS

workers = 2
threads = 8
worker_class = "repairs.serving.ShopWorker"
keepalive = 5
timeout = 60
graceful_timeout = 30


class ShopWorker(gthread.ThreadWorker):  # type: ignore[misc]  # gunicorn carries no types
    """A worker with threads in which connections that say nothing, or little, take no thread for long."""

    def handle(self, conn: Any) -> Any:
        """Answer one request of a connection; wait for its first byte outside the threads."""
        if not conn.initialized and not conn.data_ready and not conn.wait_for_data(0.05):
            return gthread._DEFER
        conn.shop_wait = SLOW_CLIENTS.watch(conn)
        try:
            return super().handle(conn)
        finally:
            SLOW_CLIENTS.forget(conn.shop_wait)

    def handle_request(self, req: Any, conn: Any) -> Any:
        """The head is there; what follows is watched as it is read (``wsgi.WholeBody``)."""
        SLOW_CLIENTS.forget(conn.shop_wait)
        return super().handle_request(req, conn)


def post_worker_init(worker: Any) -> None:
    """Delete what a killed server left behind; the first of the workers does it."""
    if worker.age > 1:
        return
    from django.db import connections

    from repairs.ledger.files import sweep_at_start

    try:
        sweep_at_start()
    except Exception:
        # Nothing that is left behind is worth a server that does not start.
        worker.log.exception("What a killed server left behind could not be looked through")
    finally:
        connections.close_all()
