# Installs what is missing of the packages listed in tools/packages.txt. Sourced by
# ./run, ./test and ./bench. Says what it will install; asks for nothing when root,
# uses sudo otherwise. When nothing is missing it is instant and needs no network.

# The packages of one or more parts of the list.
packages_of() {
    for part in "$@"; do
        awk -v part="[$part]" '/^#/ || NF == 0 { next } /^\[/ { on = ($1 == part); next } on' \
            tools/packages.txt
    done
}

as_root() {
    if [ "$(id -u)" = 0 ]; then
        "$@"
    elif command -v sudo >/dev/null; then
        sudo "$@"
    else
        echo "seatwright: installing packages needs root or sudo. As root, run: $*" >&2
        exit 1
    fi
}

# Node 18 or newer with npm, for the tests of the pages only. Whatever is there is taken: Debian's own packages
# and those of others exclude each other.
need_node() {
    if command -v node >/dev/null && command -v npm >/dev/null; then
        return 0
    fi
    install_packages nodejs npm
}

need_packages() {
    command -v dpkg-query >/dev/null || {
        echo "seatwright: this is not a Debian system; install by hand what tools/packages.txt lists" >&2
        return 0
    }
    missing=""
    for package in $(packages_of "$@"); do
        dpkg-query -W -f='${db:Status-Status}\n' "$package" 2>/dev/null | grep -qx installed ||
            missing="$missing $package"
    done
    [ -z "$missing" ] && return 0
    install_packages $missing
}

install_packages() {
    echo "seatwright: will install these Debian packages: $*" >&2
    # The list of packages may be old or absent: try with it, renew it once when that fails.
    install="env DEBIAN_FRONTEND=noninteractive apt-get install -y -q --no-install-recommends"
    if ! as_root $install "$@" >/dev/null 2>&1; then
        as_root apt-get update -q >/dev/null
        as_root $install "$@" >/dev/null
    fi
}

# build FOLDER [meson options]: sets up once, then compiles; quiet unless it fails.
build() {
    folder=$1
    shift
    if [ ! -f "$folder/build.ninja" ]; then
        meson setup "$folder" "$@" >"$folder.log" 2>&1 || { cat "$folder.log" >&2; return 1; }
    fi
    ninja -C "$folder" >"$folder.log" 2>&1 || { cat "$folder.log" >&2; return 1; }
    rm -f "$folder.log"
}
