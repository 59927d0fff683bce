"""The completion for bash: two tables and one function, as bash 3.2 still reads them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from making.typed import Command, Value

HEAD = """\
# What bash offers for nightload when Tab is pressed. Made by scripts/made.py from its own arguments.
# Installed with the program; otherwise:  nightload completion bash > FILE, and  source FILE  in ~/.bashrc

"""

FUNCTION = """\
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
"""


def for_bash(commands: Sequence[Command]) -> str:
    """The whole file."""
    return HEAD + "\n".join((*_flags(commands), *_behind(commands), FUNCTION))


def _flags(commands: Sequence[Command]) -> Iterator[str]:
    yield "# The flags of a command."
    yield "_nightload_flags() {"
    yield '  case "$1" in'
    for one in commands:
        yield f'    "{one.name}") echo "{" ".join(name for flag in one.flags for name in flag.names)}" ;;'
    yield "  esac\n}\n"


def _behind(commands: Sequence[Command]) -> Iterator[str]:
    yield "# What may stand behind a flag of a command, or at a place behind the command."
    yield "_nightload_behind() {"
    yield '  case "$1" in'
    yield f'    " 1") echo "{" ".join(one.name for one in commands if one.name)}" ;;'
    for one in commands:
        for flag in one.flags:
            for value in flag.values[:1]:
                for name in flag.names:
                    yield f'    "{one.name} {name}") echo "{_offered(value)}" ;;'
        for at, place in enumerate(one.places, 1):
            key = f'"{one.name} "[{at}-9]*' if place.on else f'"{one.name} {at}"'
            yield f'    {key}) echo "{_offered(place.value)}" ;;'
    yield "  esac\n}\n"


def _offered(value: Value) -> str:
    if value.words:
        return " ".join(value.words)
    if value.files:  # with the folders on the way to them
        return "<file>"
    return "<folder>" if value.folders else "<any>"
