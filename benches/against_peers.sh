#!/usr/bin/env bash
# Whole processes, the start of each included: castlot on a farm of 100,000 rows and on runs of 1,000, 10,000 and
# 100,000 packs, and the named peers on the same work in the same run of hyperfine. Prints one table, and fails where a figure is over what it
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
"$python" -m pip install --quiet --disable-pip-version-check -r benches/peers/requirements.txt

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
farm_of lots lots-farm
for packs in 1000 10000 100000; do farm_of "packs-$packs" "packs-$packs-farm"; done

import="$castlot --farm $work/new import $work/season"
verify="$castlot --farm $work/season-farm verify"
trace="$castlot --farm $work/season-farm trace $last --json"
label_of() { echo "$castlot --farm $work/packs-$1-farm label run-1 --out $work/labels-$1.pdf"; }
label=$(label_of 1000) label_10k=$(label_of 10000) label_100k=$(label_of 100000)
publish="$castlot --farm $work/lots-farm publish $work/pages"
unpublish="rm -rf $work/pages"
peer_trace="$python benches/peers/trace.py $work/season $last"
peer_of() { echo "$python benches/peers/labels.py $work/labels-$1.json fonts $work/peer-$1.pdf"; }
peer_labels=$(peer_of 1000) peer_labels_10k=$(peer_of 10000)

# What is compared has to be the same: the lots that are reached, and the words on the labels.
$trace > "$work/trace.json"
$peer_trace > "$work/peer-trace.txt"
$label > /dev/null 2>&1
$label_10k > /dev/null 2>&1
$label_100k > /dev/null 2>&1
$peer_labels
$peer_labels_10k
"$python" benches/peers/table.py same "$work"

peak() {
  /usr/bin/time -f "$1 %M" -a -o "$work/peaks" "${@:2}" > /dev/null 2>&1
}
peak trace $trace
peak verify $verify
peak label $label
peak label_10k $label_10k
peak label_100k $label_100k
peak peer_trace $peer_trace
peak peer_labels $peer_labels
peak peer_labels_10k $peer_labels_10k
eval "$fresh"
peak import $import
eval "$unpublish"
peak publish $publish
peak publish_again $publish

load_before=$(cut -d ' ' -f 1-3 /proc/loadavg)
measure() {
  hyperfine --style none --shell none --warmup 1 --runs "$1" --export-json "$work/times-$2.json" "${@:3}" > /dev/null
}
measure "$runs" import --prepare "sh -c '$fresh'" --command-name import "$import"
measure 3 publish --prepare "$unpublish" --command-name publish "$publish"
measure 3 publish_again --command-name publish_again "$publish"
measure "$runs" verify --command-name verify "$verify"
measure "$runs" trace --command-name trace "$trace" --command-name peer_trace "$peer_trace"
measure "$runs" label --command-name label "$label" --command-name peer_labels "$peer_labels"
# The peer takes half a minute, which three runs know well enough.
measure "$runs" label_10k --command-name label_10k "$label_10k" --command-name label_100k "$label_100k"
measure 3 peer_10k --command-name peer_labels_10k "$peer_labels_10k"
load_after=$(cut -d ' ' -f 1-3 /proc/loadavg)

missed=0
"$python" benches/peers/table.py table "$work" || missed=1
echo
echo "load average before: $load_before; after: $load_after; $(nproc) processors; $runs runs each"
exit "$missed"
