#!/usr/bin/env bash
# Restores, builds and runs every test project. The last line is `N passed, N failed, N skipped`.
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")"
export DOTNET_CLI_TELEMETRY_OPTOUT=1 DOTNET_NOLOGO=1

dotnet build Stencilwright.slnx -c Release --nologo -v quiet || { echo "0 passed, 1 failed, 0 skipped"; exit 1; }

passed=0 failed=0 skipped=0 status=0
mkdir -p artifacts/test-logs
for project in tests/*.Tests/*.csproj; do
  name="$(basename "$project" .csproj)"
  log="artifacts/test-logs/$name.log"
  echo "== $name"
  # 8: the project holds no tests.
  dotnet "artifacts/bin/$name/release/$name.dll" --no-ansi --no-progress >"$log" 2>&1
  code=$?
  count() { sed -n "s/^ *$1: *\([0-9][0-9]*\).*/\1/p" "$log" | tail -n 1; }
  p="$(count succeeded)" f="$(count failed)" s="$(count skipped)"
  if [[ -z "$p$f$s" ]] || { ((code != 0)) && [[ "${f:-0}" == 0 ]]; }; then
    # It ended without a count, or badly although no test failed: that is a failure too.
    cat "$log"
    f=$((${f:-0} + 1))
  elif ((code != 0)); then
    cat "$log"
  fi
  ((code == 0)) || status=1
  passed=$((passed + ${p:-0})) failed=$((failed + ${f:-0})) skipped=$((skipped + ${s:-0}))
done

echo "$passed passed, $failed failed, $skipped skipped"
exit "$status"
