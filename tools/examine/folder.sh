# The build that tools/mutate and tools/coverage share; read with `source` after lib.sh, never run.
# shellcheck shell=bash disable=SC2154

# Layers as shared libraries that count what they run, so that one can be exchanged under the tests; prints the folder.
prepare_examined() {
  local folder program
  folder=$(realpath -m "$build-examine")
  for program in clang++ llvm-cov llvm-profdata ld.lld python3; do
    if ! command -v "$program" >/dev/null; then
      echo "No $program here: apt-get install clang llvm lld python3" >&2
      return 2
    fi
  done
  {
    configure "$folder" -DCMAKE_BUILD_TYPE=None -DCMAKE_CXX_FLAGS=-O1 -DCMAKE_CXX_COMPILER=clang++ -DBAYLORE_COVERAGE=ON \
      -DBUILD_SHARED_LIBS=ON -DCMAKE_POSITION_INDEPENDENT_CODE=ON -DBAYLORE_UNITY=ON -DBAYLORE_VIEWER=OFF \
      -DCMAKE_EXE_LINKER_FLAGS=-fuse-ld=lld -DCMAKE_SHARED_LINKER_FLAGS=-fuse-ld=lld
    cmake --build "$folder" --target baylore-tests
  } >&2
  echo "$folder"
}
