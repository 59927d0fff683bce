# What bash offers for nightload when Tab is pressed. Made by scripts/made.py from its own arguments.
# Installed with the program; otherwise:  nightload completion bash > FILE, and  source FILE  in ~/.bashrc

# The flags of a command.
_nightload_flags() {
  case "$1" in
    "") echo "-h --help --log --json --plain --version" ;;
    "setup") echo "-h --help --from --example --log --json" ;;
    "note") echo "-h --help --yes --log --json" ;;
    "events") echo "-h --help --since --log --json" ;;
    "edit") echo "-h --help --yes --log --json" ;;
    "remove") echo "-h --help --log --json" ;;
    "undo") echo "-h --help --log --json" ;;
    "redo") echo "-h --help --log --json" ;;
    "change") echo "-h --help --from --log --json" ;;
    "import") echo "-h --help --preview --strict --log --json" ;;
    "fit") echo "-h --help --as-of --log --json" ;;
    "tonight") echo "-h --help --as-of --night-low --outdoor --bed --wake --band --get-up --try --log --json" ;;
    "nights") echo "-h --help --as-of --log --json" ;;
    "compare") echo "-h --help --as-of --log --json" ;;
    "whatif") echo "-h --help --outside --year --as-of --log --json" ;;
    "experiment") echo "-h --help --seek --since --as-of --log --json" ;;
    "arrive") echo "-h --help --as-of --outdoor --night-low --inside --rh --droppings --log --json" ;;
    "leave") echo "-h --help --as-of --outdoor --night-low --inside --line --log --json" ;;
    "woke") echo "-h --help --as-of --night-low --wake --band --log --json" ;;
    "list") echo "-h --help --done --skip --add --out --back --move --paper --before --when --droppings --guests --night-low --as-of --log --json" ;;
    "due") echo "-h --help --all --record --as-of --log --json" ;;
    "wood") echo "-h --help --as-of --quick --log --json" ;;
    "stays") echo "-h --help --year --this-weekend --as-of --log --json" ;;
    "weather") echo "-h --help --base --days --as-of --log --json" ;;
    "bring") echo "-h --help --people --nights --night-low --as-of --log --json" ;;
    "damp") echo "-h --help --inside --rh --outdoor --night-low --as-of --log --json" ;;
    "sheet") echo "-h --help --html --size --as-of --log --json" ;;
    "report") echo "-h --help --stay --season --reckon --html --size --as-of --log --json" ;;
    "export") echo "-h --help --log --json" ;;
    "backup") echo "-h --help --log --json" ;;
    "restore") echo "-h --help --log --json" ;;
    "merge") echo "-h --help --yes --log --json" ;;
    "conflicts") echo "-h --help --log --json" ;;
    "check") echo "-h --help --log --json" ;;
    "salvage") echo "-h --help --log --json" ;;
    "demo") echo "-h --help --write --plain --tonight --log --json" ;;
    "plain") echo "-h --help --log --json" ;;
    "completion") echo "-h --help --log --json" ;;
    "manual") echo "-h --help --log --json" ;;
    "licences") echo "-h --help --all --log --json" ;;
  esac
}

# What may stand behind a flag of a command, or at a place behind the command.
_nightload_behind() {
  case "$1" in
    " 1") echo "setup note events edit remove undo redo change import fit tonight nights compare whatif experiment arrive leave woke list due wood stays weather bring damp sheet report export backup restore merge conflicts check salvage demo plain completion manual licences" ;;
    " --log") echo "<file>" ;;
    "setup --from") echo "<any>" ;;
    "setup --log") echo "<file>" ;;
    "setup 1") echo "<file>" ;;
    "note --log") echo "<file>" ;;
    "note "[1-9]*) echo "<any>" ;;
    "events --since") echo "<any>" ;;
    "events --log") echo "<file>" ;;
    "edit --log") echo "<file>" ;;
    "edit "[1-9]*) echo "<any>" ;;
    "remove --log") echo "<file>" ;;
    "remove 1") echo "<any>" ;;
    "undo --log") echo "<file>" ;;
    "redo --log") echo "<file>" ;;
    "change --from") echo "<any>" ;;
    "change --log") echo "<file>" ;;
    "change 1") echo "<any>" ;;
    "import --log") echo "<file>" ;;
    "import 1") echo "<file>" ;;
    "fit --as-of") echo "<any>" ;;
    "fit --log") echo "<file>" ;;
    "tonight --as-of") echo "<any>" ;;
    "tonight --night-low") echo "<any>" ;;
    "tonight --outdoor") echo "<file>" ;;
    "tonight --bed") echo "<any>" ;;
    "tonight --wake") echo "<any>" ;;
    "tonight --band") echo "<any>" ;;
    "tonight --get-up") echo "yes no" ;;
    "tonight --try") echo "<any>" ;;
    "tonight --log") echo "<file>" ;;
    "nights --as-of") echo "<any>" ;;
    "nights --log") echo "<file>" ;;
    "compare --as-of") echo "<any>" ;;
    "compare --log") echo "<file>" ;;
    "compare 1") echo "<any>" ;;
    "whatif --outside") echo "<any>" ;;
    "whatif --year") echo "<any>" ;;
    "whatif --as-of") echo "<any>" ;;
    "whatif --log") echo "<file>" ;;
    "whatif "[1-9]*) echo "<any>" ;;
    "experiment --seek") echo "<any>" ;;
    "experiment --since") echo "<any>" ;;
    "experiment --as-of") echo "<any>" ;;
    "experiment --log") echo "<file>" ;;
    "experiment 1") echo "<any>" ;;
    "arrive --as-of") echo "<any>" ;;
    "arrive --outdoor") echo "<any>" ;;
    "arrive --night-low") echo "<any>" ;;
    "arrive --inside") echo "<any>" ;;
    "arrive --rh") echo "<any>" ;;
    "arrive --log") echo "<file>" ;;
    "leave --as-of") echo "<any>" ;;
    "leave --outdoor") echo "<any>" ;;
    "leave --night-low") echo "<any>" ;;
    "leave --inside") echo "<any>" ;;
    "leave --line") echo "<any>" ;;
    "leave --log") echo "<file>" ;;
    "woke --as-of") echo "<any>" ;;
    "woke --night-low") echo "<any>" ;;
    "woke --wake") echo "<any>" ;;
    "woke --band") echo "<any>" ;;
    "woke --log") echo "<file>" ;;
    "list --done") echo "<any>" ;;
    "list --skip") echo "<any>" ;;
    "list --add") echo "<any>" ;;
    "list --out") echo "<any>" ;;
    "list --back") echo "<any>" ;;
    "list --move") echo "<any>" ;;
    "list --before") echo "<any>" ;;
    "list --when") echo "<any>" ;;
    "list --night-low") echo "<any>" ;;
    "list --as-of") echo "<any>" ;;
    "list --log") echo "<file>" ;;
    "list 1") echo "packing arriving leaving spring autumn" ;;
    "due --as-of") echo "<any>" ;;
    "due --log") echo "<file>" ;;
    "wood --as-of") echo "<any>" ;;
    "wood --log") echo "<file>" ;;
    "stays --year") echo "<any>" ;;
    "stays --as-of") echo "<any>" ;;
    "stays --log") echo "<file>" ;;
    "weather --base") echo "<any>" ;;
    "weather --days") echo "<any>" ;;
    "weather --as-of") echo "<any>" ;;
    "weather --log") echo "<file>" ;;
    "bring --people") echo "<any>" ;;
    "bring --nights") echo "<any>" ;;
    "bring --night-low") echo "<any>" ;;
    "bring --as-of") echo "<any>" ;;
    "bring --log") echo "<file>" ;;
    "damp --inside") echo "<any>" ;;
    "damp --rh") echo "<any>" ;;
    "damp --outdoor") echo "<any>" ;;
    "damp --night-low") echo "<any>" ;;
    "damp --as-of") echo "<any>" ;;
    "damp --log") echo "<file>" ;;
    "sheet --html") echo "<file>" ;;
    "sheet --size") echo "a4 letter" ;;
    "sheet --as-of") echo "<any>" ;;
    "sheet --log") echo "<file>" ;;
    "sheet "[1-9]*) echo "guest weekend leaving upkeep" ;;
    "report --stay") echo "<any>" ;;
    "report --season") echo "<any>" ;;
    "report --html") echo "<file>" ;;
    "report --size") echo "a4 letter" ;;
    "report --as-of") echo "<any>" ;;
    "report --log") echo "<file>" ;;
    "export --log") echo "<file>" ;;
    "export 1") echo "<folder>" ;;
    "backup --log") echo "<file>" ;;
    "backup 1") echo "<folder>" ;;
    "restore --log") echo "<file>" ;;
    "restore 1") echo "<file>" ;;
    "merge --log") echo "<file>" ;;
    "merge 1") echo "<file>" ;;
    "conflicts --log") echo "<file>" ;;
    "conflicts 1") echo "<any>" ;;
    "conflicts 2") echo "<any>" ;;
    "check --log") echo "<file>" ;;
    "salvage --log") echo "<file>" ;;
    "salvage 1") echo "<file>" ;;
    "salvage 2") echo "<file>" ;;
    "demo --write") echo "<file>" ;;
    "demo --log") echo "<file>" ;;
    "plain --log") echo "<file>" ;;
    "completion --log") echo "<file>" ;;
    "completion 1") echo "bash zsh fish" ;;
    "manual --log") echo "<file>" ;;
    "licences --log") echo "<file>" ;;
  esac
}

_nightload() {
  local word=${COMP_WORDS[COMP_CWORD]} command= flag= place=1 one at offered
  COMPREPLY=()
  [[ $word == "=" ]] && word=
  for ((at = 1; at < COMP_CWORD; at++)); do
    one=${COMP_WORDS[at]}
    if [[ $one == "=" ]]; then
      continue
    elif [[ $flag && $one != -[a-z-]* ]]; then
      flag=
    elif [[ $one == -* ]]; then
      flag=
      [[ $(_nightload_behind "$command $one") ]] && flag=$one
    elif [[ ! $command ]]; then
      command=$one
    else
      ((place++))
    fi
  done
  if [[ $word == -* ]]; then
    offered=$(_nightload_flags "$command")
  elif [[ $flag ]]; then
    offered=$(_nightload_behind "$command $flag")
  else
    offered=$(_nightload_behind "$command $place")
  fi
  case "$offered" in
    "<file>") compopt -o filenames 2>/dev/null; set -- -f ;;
    "<folder>") compopt -o filenames 2>/dev/null; set -- -d ;;
    "<any>" | "") return ;;
    *) set -- -W "$offered" ;;
  esac
  while IFS= read -r one; do
    COMPREPLY+=("$one")
  done < <(compgen "$@" -- "$word")
}

complete -F _nightload nightload
