"""The bench log: a file that only grows, its readable twin, and what is done when it is damaged."""

from maker_kit.bench.log.book import BenchLog
from maker_kit.bench.log.mending import look_over, mend_log
from maker_kit.bench.log.opening import FILE, open_log
from maker_kit.bench.log.refused import DamagedLogError
from maker_kit.bench.log.values import new_id

__all__ = ["FILE", "BenchLog", "DamagedLogError", "look_over", "mend_log", "new_id", "open_log"]
