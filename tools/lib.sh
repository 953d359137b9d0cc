# Shared by the scripts in this folder; read with `source`, never run.
# shellcheck shell=bash
set -euo pipefail
root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
build=$(realpath -m "${BAYLORE_BUILD:-$root/build}")
export HOME=${HOME:-$build/home}

# The user's folders (XDG base directory specification) inside the build folder: nothing that a test or a measurement
# writes reaches the user's own.
use_own_folders() {
  export XDG_STATE_HOME=$build/home/state XDG_CACHE_HOME=$build/home/cache
  mkdir -p "$XDG_STATE_HOME" "$XDG_CACHE_HOME"
}

# Installs what packages.txt names and the machine lacks.
install_packages() {
  local missing
  mapfile -t missing < <(comm -23 <(grep -v '^#' "$root/tools/packages.txt" | sort -u) \
    <(dpkg-query -W -f='${db:Status-Status} ${Package}\n' | sed -n 's/^installed //p' | sort -u))
  if ((${#missing[@]} == 0)); then return; fi
  local as_root=()
  if [[ $(id -u) != 0 ]]; then
    if ! command -v sudo >/dev/null; then
      echo "Debian packages are missing, and there is no sudo to install them with. Run once as root:" >&2
      echo "  apt-get install ${missing[*]}" >&2
      exit 2
    fi
    as_root=(sudo)
  fi
  echo "Installing ${missing[*]}"
  # A source of another program's that does not answer is no reason to stop.
  "${as_root[@]}" apt-get -qq update || true
  "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive \
    apt-get -qq -y -o Dpkg::Use-Pty=0 install --no-install-recommends "${missing[@]}" >/dev/null
}

# configure FOLDER [CMAKE_OPTION ...]: once; from then on ninja sees by itself what has changed.
configure() {
  local folder=$1
  shift
  if [[ ! -f $folder/build.ninja ]]; then
    cmake -S "$root" -B "$folder" -G Ninja --log-level=WARNING "$@"
  fi
}

# Runs a program on an X server without a screen.
without_screen() {
  xvfb-run -a -s "-screen 0 1280x1280x24" "$@"
}
