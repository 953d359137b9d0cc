"""What tools/mutate changes in a source and what it leaves alone, and that tests/mutation/equivalent.tsv speaks of what is
there: `python3 tests/house/mutants.py ROOT`."""

import sys
from pathlib import Path

root = Path(sys.argv[1])
sys.path.insert(0, str(root / "tools/examine"))
import mutants  # noqa: E402
import mutate  # noqa: E402

SOURCE = """#include <vector> // 1 < 2
static_assert(1 + 1 == 2);
template <typename T> bool fits(const std::vector<T>& of, T&& last);
/* true && false */
int f(int a, bool b) {
  const std::string text = "a < b && 3";
  std::vector<int> kept;
  if (const int c = g(a); c < 10 && !b) return a - 7;
  while (b) kept.push_back(a);
  auto&& one = kept;
  for (int i = 0; i != a; ++i) one.clear();
  switch (a) {
    case 'x':
      break;
  }
  return true ? a : 0x1F;
}
"""
EXPECTED = {
    ("comparison", 8, "<="), ("comparison", 11, "=="),
    ("arithmetic", 8, "+"), ("arithmetic", 11, "--"),
    ("constant", 8, "(10 + 1)"), ("constant", 8, "(10 - 1)"), ("constant", 8, "(10 * 2)"),
    ("constant", 8, "(7 + 1)"), ("constant", 8, "(7 - 1)"), ("constant", 8, "(7 * 2)"),
    ("constant", 11, "(0 + 1)"), ("constant", 11, "(0 - 1)"),
    ("constant", 16, "(0x1F + 1)"), ("constant", 16, "(0x1F - 1)"), ("constant", 16, "(0x1F * 2)"),
    ("condition", 8, " !(c < 10 && !b)"), ("condition", 8, ""), ("condition", 9, "!(b)"),
    ("logic", 8, "||"), ("boolean", 16, "false"),
    ("statement", 8, ""), ("statement", 9, ""), ("statement", 11, ""), ("statement", 14, ""), ("statement", 16, ""),
}

found = {(m.kind, m.line, m.new) for m in mutants.mutants_of("a.cc", SOURCE)}
for lacking in sorted(EXPECTED - found):
    print("not made:", lacking)
for extra in sorted(found - EXPECTED):
    print("made of what is none:", extra)

known = set()
for layer in mutate.SHARE_OF:
    for path in sorted((root / "index" / layer).glob("*.cc")):
        known.update(mutate.identity(m) for m in mutants.mutants_of(path.relative_to(root).as_posix(), path.read_text()))
stale = [key for key in mutate.read_equivalents(root / "tests/mutation/equivalent.tsv") if key not in known]
for key in stale:
    print("judged equivalent, but no more in the source:", key)
print(f"{len(found)} changes of the example, {len(known)} of the layers")
sys.exit(0 if found == EXPECTED and not stale and len(known) > 1000 else 1)
