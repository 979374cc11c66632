# Sourced by tools/test_pages and tools/pages_script, from the project's folder and behind the build folder's name:
# says to the tests where the program is, gets what they need of npm, and has `bundle`.
# Needs Node 18 or newer, npm, esbuild and chromium (tools/packages.txt).
SEATWRIGHT=$PWD/$1/seatwright
SEATWRIGHT_SOURCE=$PWD
export SEATWRIGHT SEATWRIGHT_SOURCE
tests=tests/browser
if [ ! -d $tests/node_modules ] || [ $tests/package-lock.json -nt $tests/node_modules/.package-lock.json ]; then
    (cd $tests && npm ci --ignore-scripts --no-audit --no-fund)
fi

# bundle FOLDER FILE...: a module of each file, with the pages' own code that it uses.
bundle() {
    out=$1
    shift
    rm -rf "$out"
    NODE_PATH=$PWD/web/vendor esbuild "$@" --bundle --platform=node --format=esm --target=node18 \
        --external:playwright-core --out-extension:.js=.mjs --outdir="$out" --log-level=warning
}
