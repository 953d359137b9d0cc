# Reads what a program says of itself with --help (CLI11's layout) and prints it line by line for the writers beside this
# file, fields parted by tabs:
#   what       WORDS
#   usage      WORDS
#   verb       NAME    WORDS
#   positional NAME    MORE?   WORDS
#   option     NAMES   VALUE   MORE?   CHOICES NOTES   WORDS
# NAMES and CHOICES are parted by commas, VALUE is empty for a flag. Bytes, not characters: the layout counts bytes too, so
# this runs with LC_ALL=C.
BEGIN {
  OFS = "\t"
  blanks = sprintf("%30s", "")
}

{
  line[NR] = $0
}

# The left column is 30 wide; what does not fit into it has its words on the next line. A group of options is indented by
# two more.
function parted(n) {
  if (n < NR && index(line[n + 1], blanks) == 1) {
    left = line[n]
    right = line[n + 1]
    line[n + 1] = ""
  } else {
    left = substr(line[n], 1, 30)
    right = substr(line[n], 31)
  }
  gsub(/^ +| +$/, "", left)
  gsub(/^ +| +$/, "", right)
  return right != "" || left != ""
}

function note(text) {
  notes = notes (notes == "" ? "" : " ") text
}

# What stands behind `label` up to the next label, as a list in words.
function others(label, words,    rest, list) {
  if (match(left, label)) {
    rest = substr(left, RSTART + RLENGTH)
    sub(/ (Needs|Excludes): .*/, "", rest)
    gsub(/^ +| +$/, "", rest)
    gsub(/ +/, ", ", rest)
    note(words " " rest ".")
  }
}

function option(    names, value, more, choices, range) {
  names = left
  sub(/ .*/, "", names)
  left = substr(left, length(names) + 1)
  value = match(left, / (TEXT|INT|UINT|FLOAT)/) ? substr(left, RSTART + 1, RLENGTH - 1) : ""
  more = left ~ / \.\.\./ ? "more" : ""
  choices = ""
  if (match(left, /:\{[^}]*\}/)) choices = substr(left, RSTART + 2, RLENGTH - 3)
  notes = ""
  if (match(left, /\(Env:[A-Z_]+\)/)) {
    note("Also the variable " substr(left, RSTART + 5, RLENGTH - 6) ".")
  } else if (left ~ / REQUIRED/) {
    note("Must be given.")
  }
  if (match(left, / in \[[^]]*\]/)) {
    range = substr(left, RSTART + 5, RLENGTH - 6)
    sub(/ - /, " to ", range)
    note("From " range ".")
  }
  if (match(left, /=[^ ]+/)) note("Otherwise " substr(left, RSTART + 1, RLENGTH - 1) ".")
  others(" Needs:", "Only with")
  others(" Excludes:", "Not with")
  print "option", names, value, more, choices, notes, right
}

END {
  print "what", line[1]
  for (n = 2; n <= NR; ++n) {
    if (deeper) sub(/^  /, "", line[n])
    if (line[n] ~ /^Usage: /) {
      sub(/^Usage: [^ ]*/, "", line[n])
      print "usage", line[n]
    } else if (line[n] ~ /^(  )?[A-Z][a-z]*:$/) {
      part = line[n]
      deeper = part ~ /^ /
    } else if (line[n] ~ /^  [^ ]/ && parted(n)) {
      if (part == "Subcommands:") {
        print "verb", left, right
      } else if (part == "Positionals:") {
        name = left
        sub(/ .*/, "", name)
        print "positional", name, (left ~ / \.\.\./ ? "more" : ""), right
      } else if (left ~ /^-/) {
        option()
      }
    }
  }
}
