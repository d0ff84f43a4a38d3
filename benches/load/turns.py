"""Asks a diary for a writer's turn again and again, writes nothing, and prints how long each was waited for, in milliseconds,
as a line of `serve_load.sh`'s table.

    turns.py DIARY SECONDS WHAT
"""

import sqlite3
import sys
import time


def main(diary, seconds, what):
    book = sqlite3.connect(diary, timeout=60, isolation_level=None)
    end = time.monotonic() + float(seconds)
    waited = []
    while (start := time.monotonic()) < end:
        book.execute("BEGIN IMMEDIATE")
        waited.append((time.monotonic() - start) * 1000)
        book.execute("ROLLBACK")
        time.sleep(0.002)
    waited.sort()
    middle, last = waited[len(waited) // 2], waited[-1 - len(waited) // 100]
    print(f"| {what} | {len(waited)} | {middle:.2f} | {last:.2f} | {waited[-1]:.2f} | 0 |", flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
