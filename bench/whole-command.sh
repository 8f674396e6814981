#!/usr/bin/env bash
# Times the whole `prepare` command, each run a fresh process, on invented boards of 1,000 to 100,000 openings,
# and prints wall time, peak memory and the exponent of growth. Needs GNU time (/usr/bin/time).
set -euo pipefail
cd "$(dirname "$0")/.."
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
./stencilwright --version >/dev/null
dotnet build bench/Stencilwright.Benchmarks -c Release -v quiet >/dev/null
makers=(dotnet artifacts/bin/Stencilwright.Benchmarks/release/Stencilwright.Benchmarks.dll)
for count in 1000 10000 100000; do
  "${makers[@]}" board "$work/$count" "$count"
  for run in 1 2 3; do
    /usr/bin/time -f "%e %M" -o "$work/time" ./stencilwright prepare "$work/$count" --job "$work/$count/board.toml" \
      --out "$work/out-$count" --fail-on never --quiet >/dev/null
    cat "$work/time"
  done | sort -n | sed -n 2p | awk -v n="$count" '{ printf "%d openings: %.2f s, %.0f MB\n", n, $1, $2 / 1024 }' | tee -a "$work/rows"
done
awk '{ n[NR] = $1; t[NR] = $3; m[NR] = $5 }
  END { for (i = 2; i <= NR; i++) printf "exponent %d to %d: time %.2f, memory %.2f\n",
        n[i-1], n[i], log(t[i] / t[i-1]) / log(n[i] / n[i-1]), log(m[i] / m[i-1]) / log(n[i] / n[i-1]) }' "$work/rows"
