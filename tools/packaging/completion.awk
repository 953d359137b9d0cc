# Writes completion for `shell` (bash, zsh or fish) from the tables of words.awk, with the program and the verb, or nothing,
# in front of each line.

BEGIN {
  folders = " --shop --store --state --packs --to "
  files = " --from --key --plot --queries --with "
  file_words = " base copy file ours path theirs "
}

# What a value is, to be offered: folder, file, words (CHOICES), text, or nothing for a flag.
function kind(name, value, choices) {
  if (value == "") return ""
  if (choices != "") return "words"
  if (index(folders, " " name " ")) return "folder"
  return index(files, " " name " ") ? "file" : "text"
}

# In single quotes for a shell.
function quoted(text) {
  if (shell == "fish") {
    gsub(/\\/, "\\\\", text)
    gsub(/'/, "\\'", text)
  } else {
    gsub(/'/, "'\\''", text)
  }
  return "'" text "'"
}

{
  program = $1
  verb = $2
  at = program == "baylore" ? verb : "/viewer"
}

$3 == "verb" {
  verbs[++verb_count] = $4
  about[$4] = $5
}

$3 == "positional" && index(file_words, " " $4 " ") {
  takes_files[at] = 1
}

$3 == "option" {
  names = split($4, name, ",")
  for (i = 1; i <= names; ++i) {
    n = ++count[at]
    option[at, n] = name[i]
    offers[at, n] = kind(name[i], $5, $7)
    choices[at, n] = $7
    more[at, n] = $6
    words[at, n] = $9
  }
}

# ---------------------------------------------------------------------------------------------------------------- bash

function bash_case(at, pattern,    n, all) {
  all = ""
  for (n = 1; n <= count[at]; ++n) {
    all = all " " option[at, n]
    if (offers[at, n] == "words") {
      gsub(/,/, " ", choices[at, n])
      printf "    '%s %s') choices=%s ;;\n", pattern, option[at, n], quoted(choices[at, n])
    } else if (offers[at, n] == "folder") {
      printf "    '%s %s') kind=dirnames ;;\n", pattern, option[at, n]
    } else if (offers[at, n] == "file") {
      printf "    '%s %s') kind=default ;;\n", pattern, option[at, n]
    } else if (offers[at, n] == "text") {
      printf "    '%s %s') kind=none ;;\n", pattern, option[at, n]
    }
  }
  printf "    '%s '*) options='%s'%s ;;\n", pattern, substr(all, 2), (at in takes_files ? " kind=default" : "")
}

function write_bash(    i, all) {
  all = ""
  for (i = 1; i <= verb_count; ++i) all = all " " verbs[i]
  print "# bash completion for baylore and baylore-viewer; made from their --help."
  print "_baylore() {"
  print "  local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} program=${1##*/}"
  print "  local verb='' kind='' choices='' options=''"
  print "  COMPREPLY=()"
  print "  if [[ $program == baylore ]]; then"
  print "    verb=${COMP_WORDS[1]}"
  print "    if ((COMP_CWORD == 1)); then"
  print "      mapfile -t COMPREPLY < <(compgen -W '" substr(all, 2) " --help' -- \"$word\")"
  print "      return"
  print "    fi"
  print "  fi"
  print "  case \"$program $verb $before\" in"
  bash_case("/viewer", "baylore-viewer ")
  for (i = 1; i <= verb_count; ++i) bash_case(verbs[i], "baylore " verbs[i])
  print "  esac"
  print "  if [[ -n $choices ]]; then"
  print "    mapfile -t COMPREPLY < <(compgen -W \"$choices\" -- \"$word\")"
  print "  elif [[ -n $options && ($word == -* || -z $kind) ]]; then"
  print "    mapfile -t COMPREPLY < <(compgen -W \"$options\" -- \"$word\")"
  print "  elif [[ -n $kind && $kind != none ]]; then"
  print "    compopt -o \"$kind\""
  print "  fi"
  print "}"
  print "complete -F _baylore baylore baylore-viewer"
}

# ----------------------------------------------------------------------------------------------------------------- zsh

function zsh_arguments(at, indent,    n, spec, text) {
  printf "%s_arguments", indent
  for (n = 1; n <= count[at]; ++n) {
    text = words[at, n]
    gsub(/[][\\:]/, "\\\\&", text)
    spec = (more[at, n] != "" ? "*" : "") option[at, n] "[" text "]"
    if (offers[at, n] == "words") {
      gsub(/,/, " ", choices[at, n])
      spec = spec ":word:(" choices[at, n] ")"
    } else if (offers[at, n] == "folder") {
      spec = spec ":folder:_files -/"
    } else if (offers[at, n] == "file") {
      spec = spec ":file:_files"
    } else if (offers[at, n] == "text") {
      spec = spec ":text:"
    }
    printf " \\\n%s  %s", indent, quoted(spec)
  }
  printf " \\\n%s  '*:%s\n", indent, at in takes_files ? "file:_files'" : "words:'"
}

function write_zsh(    i, text) {
  print "#compdef baylore baylore-viewer"
  print "# Made from what the programs say with --help."
  print "if [[ $service == baylore-viewer ]]; then"
  zsh_arguments("/viewer", "  ")
  print "elif ((CURRENT == 2)); then"
  print "  local -a verbs=("
  for (i = 1; i <= verb_count; ++i) {
    text = about[verbs[i]]
    gsub(/:/, "\\:", text)
    print "    " quoted(verbs[i] ":" text)
  }
  print "  )"
  print "  _describe verb verbs"
  print "else"
  print "  local verb=$words[2]"
  print "  shift words"
  print "  ((CURRENT -= 1))"
  print "  case $verb in"
  for (i = 1; i <= verb_count; ++i) {
    print "    " verbs[i] ")"
    zsh_arguments(verbs[i], "      ")
    print "      ;;"
  }
  print "  esac"
  print "fi"
}

# ---------------------------------------------------------------------------------------------------------------- fish

function fish_options(at, command,    n, name, line) {
  for (n = 1; n <= count[at]; ++n) {
    name = option[at, n]
    line = command (name ~ /^--/ ? " -l " substr(name, 3) : " -s " substr(name, 2))
    if (offers[at, n] == "words") {
      gsub(/,/, " ", choices[at, n])
      line = line " -x -a " quoted(choices[at, n])
    } else if (offers[at, n] == "folder") {
      line = line " -x -a '(__fish_complete_directories)'"
    } else if (offers[at, n] == "file") {
      line = line " -r -F"
    } else if (offers[at, n] == "text") {
      line = line " -x"
    }
    print line " -d " quoted(words[at, n])
  }
  if (at in takes_files) print command " -F"
}

function write_fish(    i) {
  print "# Completion for baylore and baylore-viewer; made from their --help."
  print "complete -c baylore-viewer -f"
  fish_options("/viewer", "complete -c baylore-viewer")
  print "complete -c baylore -f"
  for (i = 1; i <= verb_count; ++i)
    print "complete -c baylore -n __fish_use_subcommand -a " verbs[i] " -d " quoted(about[verbs[i]])
  for (i = 1; i <= verb_count; ++i)
    fish_options(verbs[i], "complete -c baylore -n '__fish_seen_subcommand_from " verbs[i] "'")
}

END {
  if (shell == "bash") write_bash()
  if (shell == "zsh") write_zsh()
  if (shell == "fish") write_fish()
}
