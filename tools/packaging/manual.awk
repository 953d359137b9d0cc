# Writes sections of a manual page (man(7)) from the tables of words.awk, with the verb in front of each line or nothing.
# What every verb takes is in the page itself.

# Text as roff takes it.
function roff(text) {
  gsub(/\\/, "\\e", text)
  gsub(/-/, "\\-", text)
  gsub(/\302\267/, "\\(pc", text)
  sub(/^\./, "\\\\\\&.", text)
  sub(/^'/, "\\(aq", text)
  return text
}

function sentence(text) {
  return text ~ /[.]$/ ? text : text "."
}

{
  verb = $1
}

verb != "" && verb != last {
  last = verb
  print ".SS " roff(verb)
}

$2 == "what" {
  about = sentence($3)
}

verb != "" && $2 == "usage" {
  usage = $3
  sub(/ \[OPTIONS\]/, " [\\fIoptions\\fR]", usage)
  sub(" " verb, "", usage)
  print "\\fBbaylore " roff(verb) "\\fR" usage
  print ".PP"
  print roff(about)
}

$2 == "positional" {
  print ".TP"
  print "\\fI" roff($3) "\\fR" ($4 != "" ? " ..." : "")
  print roff(sentence($5))
}

$2 == "option" && (verb == "" || $3 !~ /^(-h,--help|--shop|--store|--json)$/) {
  names = $3
  gsub(/,/, ", ", names)
  print ".TP"
  value = $4 == "TEXT" ? "text" : $4 == "" ? "" : "number"
  if ($6 != "") value = "word"
  print "\\fB" roff(names) "\\fR" (value != "" ? " \\fI" value "\\fR" : "") ($5 != "" ? " ..." : "")
  print roff(sentence($8))
  if ($6 != "") {
    choices = $6
    gsub(/,/, ", ", choices)
    print roff("One of " choices ".")
  }
  if ($7 != "") print roff($7)
}
