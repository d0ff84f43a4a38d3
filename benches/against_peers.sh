#!/usr/bin/env bash
# Whole processes, the start of each included: castlot on a farm of 100,000 rows and on a run of 1,000 packs, and the
# named peers on the same work in the same run of hyperfine. Prints one table, and fails where a figure is over what it
# may be. Wants a quiet machine, hyperfine, pdftotext, GNU time and CPython 3.11; puts the peers into target/bench-venv.
# `RUNS=20 benches/against_peers.sh` for more runs.
set -euo pipefail
cd "$(dirname "$0")/.."

runs=${RUNS:-10}
work="$PWD/target/bench-farms"
venv="$PWD/target/bench-venv"
castlot="$PWD/target/release/castlot"
python="$venv/bin/python"

for program in hyperfine pdftotext /usr/bin/time; do
  command -v "$program" >/dev/null || { echo "$program is not installed" >&2; exit 1; }
done
if [ ! -x "$python" ]; then
  "$(command -v python3.11 || command -v python3)" -m venv "$venv"
fi
"$python" -m pip install --quiet --disable-pip-version-check -r benches/requirements.txt

cargo build --release --quiet
rm -rf "$work"
cargo bench --quiet --bench write_farms -- "$work"
last=$(cat "$work/last-run")

# A farm's folder, empty, with the settings of the bench.
fresh="rm -rf $work/new && $castlot new $work/new >/dev/null 2>&1 && cp $work/castlot.toml $work/new/"
farm_of() {
  rm -rf "$work/$2"
  "$castlot" new "$work/$2" > /dev/null 2>&1
  cp "$work/castlot.toml" "$work/$2/"
  "$castlot" --farm "$work/$2" import "$work/$1" > /dev/null
}
farm_of season season-farm
farm_of packs packs-farm

import="$castlot --farm $work/new import $work/season"
verify="$castlot --farm $work/season-farm verify"
trace="$castlot --farm $work/season-farm trace $last --json"
label="$castlot --farm $work/packs-farm label run-1 --out $work/labels.pdf"
peer_trace="$python benches/peer_trace.py $work/season $last"
peer_labels="$python benches/peer_labels.py $work/labels.json fonts $work/peer.pdf"

# What is compared has to be the same: the lots that are reached, and the words on the labels.
$trace > "$work/trace.json"
$peer_trace > "$work/peer-trace.txt"
$label > /dev/null
$peer_labels
"$python" benches/peer_table.py same "$work"

peak() {
  /usr/bin/time -f "$1 %M" -a -o "$work/peaks" "${@:2}" > /dev/null 2>&1
}
peak trace $trace
peak verify $verify
peak label $label
peak peer_trace $peer_trace
peak peer_labels $peer_labels
eval "$fresh"
peak import $import

load_before=$(cut -d ' ' -f 1-3 /proc/loadavg)
measure() {
  hyperfine --style none --shell none --warmup 1 --runs "$1" --export-json "$work/times-$2.json" "${@:3}" > /dev/null
}
measure "$runs" import --prepare "sh -c '$fresh'" --command-name import "$import"
measure "$runs" verify --command-name verify "$verify"
measure "$runs" trace --command-name trace "$trace" --command-name peer_trace "$peer_trace"
measure "$runs" label --command-name label "$label" --command-name peer_labels "$peer_labels"
load_after=$(cut -d ' ' -f 1-3 /proc/loadavg)

missed=0
"$python" benches/peer_table.py table "$work" || missed=1
echo
echo "load average before: $load_before; after: $load_after; $(nproc) processors; $runs runs each"
exit "$missed"
