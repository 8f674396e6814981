#!/usr/bin/env bash
# Restores, builds and runs every test project. The last line is `N passed, N failed, N skipped`.
set -uo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")"
export DOTNET_CLI_TELEMETRY_OPTOUT=1 DOTNET_NOLOGO=1

# Tests of the pages need a browser; where it cannot be installed they skip and say so.
if ! command -v chromium >/dev/null && [[ -z "${CHROMIUM:-}" ]] && [[ "$(id -u)" == 0 ]] && command -v apt-get >/dev/null; then
  { apt-get update && apt-get install -y --no-install-recommends chromium; } >/dev/null 2>&1 || echo "chromium could not be installed"
fi

dotnet build Stencilwright.slnx -c Release --nologo -v quiet || { echo "0 passed, 1 failed, 0 skipped"; exit 1; }

passed=0 failed=0 skipped=0 status=0
mkdir -p artifacts/test-logs
for project in tests/*.Tests/*.csproj; do
  name="$(basename "$project" .csproj)"
  log="artifacts/test-logs/$name.log"
  echo "== $name"
  [[ -f "artifacts/bin/$name/release/$name.dll" ]] || dotnet build "$project" -c Release --nologo -v quiet
  dotnet "artifacts/bin/$name/release/$name.dll" -noColor >"$log" 2>&1
  code=$?
  # "   Name  Total: 55, Errors: 0, Failed: 1, Skipped: 0, Not Run: 0, Time: 8.152s"
  summary="$(grep -E "^ *$name  *Total: " "$log" | tail -n 1)"
  number() { sed -n "s/.*$1: \([0-9][0-9]*\).*/\1/p" <<<"$summary"; }
  if [[ -z "$summary" ]]; then
    # It ended without a count: that is a failure too.
    f=1 s=0 p=0
    code=1
  else
    f=$(($(number Failed) + $(number Errors))) s=$(($(number Skipped) + $(number "Not Run")))
    p=$(($(number Total) - f - s))
    ((code != 0 && f == 0)) && f=1
  fi
  ((code == 0)) || tail -n 80 "$log" | cut -c1-400
  echo "   $p passed, $f failed, $s skipped"
  ((code == 0)) || status=1
  passed=$((passed + p)) failed=$((failed + f)) skipped=$((skipped + s))
done

echo "$passed passed, $failed failed, $skipped skipped"
exit "$status"
