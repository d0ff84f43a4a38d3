#!/usr/bin/env bash
# `castlot serve` on the diary of 100,000 entries: 32 clients that ask for lot pages, cold and kept, while nobody writes, while
# a signed-in phone writes, and while the terminal does. Prints one table; fails where a page was not sent, or a form or an
# entry not recorded. Wants wrk, CPython 3 and a quiet machine, and the farm that `against_peers.sh` makes (made here if it
# is not there).
set -euo pipefail
cd "$(dirname "$0")/.."

castlot="$PWD/target/release/castlot"
work="$PWD/target/bench-farms"
port=${PORT:-8099}
clients=32
export THREADS=2
export PAGES="$work/serve-pages"

cargo build --release --quiet
if [ ! -f "$work/season-farm/diary.db" ]; then
  cargo bench --quiet --bench write_farms -- "$work"
  "$castlot" new "$work/season-farm" > /dev/null 2>&1
  cp "$work/castlot.toml" "$work/season-farm/"
  "$castlot" --farm "$work/season-farm" import "$work/season" > /dev/null
fi
# The farm is written to here, and others measure it as it is.
farm="$work/serve-farm"
rm -rf "$farm"
cp -r "$work/season-farm" "$farm"
last=$(cat "$work/last-run")
# Nothing stands ahead of the evening of the last day.
CASTLOT_NOW="$(tail -n 1 "$work/season/packs.csv" | cut -c 1-10)T21:00:00Z"
export CASTLOT_NOW
"$castlot" --farm "$farm" trace "$last" --json > "$work/serve-trace"
python3 - "$work/serve-trace" > "$PAGES" <<'PYTHON'
import json
import sys

with open(sys.argv[1], encoding="utf-8") as trace:
    told = json.load(trace)
print(*("/" + lot["code"] for lot in [told["subject"], *told["back"]]), sep="\n")
PYTHON
bed=$(sed -n 2p "$work/season/bins.csv" | cut -d , -f 1)
echo 571904 | "$castlot" --farm "$farm" pin AB > /dev/null 2>&1

server=
start() {
  "$castlot" --farm "$farm" serve --at "127.0.0.1:$port" > /dev/null 2> "$work/serve-said" &
  server=$!
  until curl --silent --fail --output /dev/null "http://127.0.0.1:$port/"; do
    kill -0 "$server" 2> /dev/null || { cat "$work/serve-said" >&2; exit 1; }
    sleep 0.1
  done
}
stop() {
  [ -z "$server" ] || { kill "$server"; wait "$server" || true; server=; }
}
trap stop EXIT

load() { # what, once or again, clients, seconds, list of pages
  WHAT=$1 TIMES=$2 PAGES=${5:-$PAGES} \
    wrk --threads "$THREADS" --connections "$3" --duration "$4s" --script benches/load/pages.lua "http://127.0.0.1:$port" |
    grep '^|'
}
phone() { python3 benches/load/writer.py "$port" AB 571904 "$1" "$2"; }
turns() { python3 benches/load/turns.py "$farm/diary.db" 12 "$1"; }
terminal() {
  python3 - "$castlot" "$farm" "$bed" "$1" "$2" <<'PYTHON'
import subprocess
import sys
import time

castlot, farm, bed, times, what = sys.argv[1:]
waited = []
for _ in range(int(times)):
    start = time.monotonic()
    command = [castlot, "--farm", farm, "check", bed, "--feed-left", "some"]
    subprocess.run(command, check=True, capture_output=True)
    waited.append((time.monotonic() - start) * 1000)
waited.sort()
print(f"| {what} | {times} | {waited[len(waited) // 2]:.2f} | {waited[-1]:.2f} | {waited[-1]:.2f} | 0 |", flush=True)
PYTHON
}

echo "load average before: $(cut -d ' ' -f 1-3 /proc/loadavg); $(nproc) processors; $(wc -l < "$PAGES") pages"
echo "| what | times | p50, ms | p99, ms | longest, ms | failed |"
echo "| --- | --- | --- | --- | --- | --- |"
start
head -n 1 "$PAGES" > "$work/one-page"
load "one kept page, $clients clients" again $clients 8 "$work/one-page"
stop
start
load "each page for the first time, 2 clients" once 2 30
head -n 1000 "$PAGES" > "$work/some-pages"
load "a thousand pages that are kept, $clients clients" again $clients 8 "$work/some-pages"
stop
start
load "each page for the first time, $clients clients" once $clients 30
phone 20 "a form from a phone, nobody reading"
load "a thousand pages while a phone writes, $clients clients" again $clients 15 "$work/some-pages" &
reading=$!
turns "a writer's turn at the diary meanwhile" &
turning=$!
phone 20 "a form from a phone meanwhile"
wait "$reading" "$turning"
terminal 5 "an entry from the terminal, nobody reading"
load "a thousand pages while the terminal writes, $clients clients" again $clients 15 "$work/some-pages" &
reading=$!
turns "a writer's turn at the diary meanwhile" &
turning=$!
terminal 10 "an entry from the terminal meanwhile"
wait "$reading" "$turning"
stop
"$castlot" --farm "$farm" verify > /dev/null
echo
echo "load average after: $(cut -d ' ' -f 1-3 /proc/loadavg)"
