#compdef nightload
# What zsh offers for nightload when Tab is pressed. Made by scripts/made.py from its own arguments.
# Installed with the program; otherwise:  nightload completion zsh > DIR/_nightload, with DIR in $fpath

_nightload() {
  local curcontext="$curcontext" state line
  local -a commands
  typeset -A opt_args
  commands=(
    'setup:make a log, or a new version of its description'
    'note:record one line: -12/18 4.2kg birch air 1/4'
    'events:list what was recorded, with identifiers'
    'edit:put another line in the place of an entry'
    'remove:leave an entry out'
    'undo:take back the last act, whatever it was'
    'redo:bring back what was taken back last'
    'change:record a dated change to cabin or stove'
    'import:bring in the rows of a CSV file, or an export'
    'fit:heat loss, time constant, heat capacity, stove'
    'tonight:tonight'\''s load, air and range'
    'nights:what was said before each night, and what came'
    'compare:before and after a dated change: did it help'
    'whatif:heat loss, freezing and wood if the cabin were changed'
    'experiment:nights one way, nights the other, by a word in notes'
    'arrive:the list for the door, and how long it takes to get warm'
    'leave:the list for going, and how long until the room is cold'
    'woke:awake in the night: let it burn, window, or a little more wood'
    'list:packing, arriving, leaving, spring, autumn: your lines, your order'
    'due:upkeep that is due, the ash'\''s date, and the upkeep record'
    'wood:the wood shed: what is left, how dry, for how many nights'
    'stays:stays with people, wood, coldest dawn and guest book'
    'weather:days typed and read outside, with degree-days'
    'bring:what to bring, for so many people and nights'
    'damp:where it is likely to be wet, and how long to air'
    'sheet:pages to print: guest, weekend, leaving, upkeep'
    'report:a stay or a season told, with charts, to read or to print'
    'export:write the log as open files'
    'backup:write a dated copy of the log'
    'restore:put a copy in the place of the log'
    'merge:bring in what another log has and this one lacks'
    'conflicts:what two computers made of one entry, and settling it'
    'check:look through the whole log for damage'
    'salvage:save what is whole in a damaged log into a new one'
    'demo:the app on a fresh copy of an invented log'
    'plain:the app line by line, for a screen reader or a pipe'
    'completion:completion of commands and flags for a shell'
    'manual:the man page'
    'licences:the libraries it stands on, with their licences'
  )
  _arguments -C \
    '(- : *)-h[show this help message and exit]' \
    '(- : *)--help[show this help message and exit]' \
    '--log[the log to use]:FILE:_files' \
    '--json[answer as JSON, SI units]' \
    '--plain[the app line by line, for a screen reader]' \
    '--version[program, log format, heat model]' \
    '(-)1:command:->command' \
    '(-)*::argument:->argument'
  case $state in
    command) _describe -t commands command commands ;;
    argument)
      case $words[1] in
        setup)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--from[from when it holds; otherwise from now]:DATE:()' \
            '--example[print a commented example]' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]' \
            '1::FILE.toml:_files'
          ;;
        note)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--yes[keep it unasked: amounts as typed, else as assumed]' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]' \
            '*:LINE:()'
          ;;
        events)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--since[from this time on]:T:()' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]'
          ;;
        edit)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--yes[keep it unasked: amounts as typed, else as assumed]' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]' \
            '*:ID LINE:()'
          ;;
        remove)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]' \
            '1:ID:()'
          ;;
        undo)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]'
          ;;
        redo)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]'
          ;;
        change)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--from[since when; otherwise from now]:DATE:()' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]' \
            '1:NAME:()'
          ;;
        import)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--preview[change nothing, say what would be done]' \
            '--strict[all rows or none]' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]' \
            '1:FILE.csv:_files'
          ;;
        fit)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--as-of[answer as if it were then: later records don'\''t exist]:T:()' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]'
          ;;
        tonight)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--as-of[answer as if it were then: later records don'\''t exist]:T:()' \
            '--night-low[forecast low of the night, °C, or °F: 20F]:C:()' \
            '--outdoor[outdoor temperatures ahead: at,outdoor_c]:FILE.csv:_files' \
            '--bed[when the night begins]:HH MM:()' \
            '--wake[when it ends]:HH MM:()' \
            '--band[wanted temperatures, °C, such as 16-22]:LO-HI:()' \
            '--get-up[whether you get up for a second load]:get_up:(yes no)' \
            '--try[what comes of exactly this plan; a step without a time is now, air is per cent open]:LINE  LINE:()' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]'
          ;;
        nights)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--as-of[answer as if it were then: later records don'\''t exist]:T:()' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]'
          ;;
        compare)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--as-of[answer as if it were then: later records don'\''t exist]:T:()' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]' \
            '1::NAME:()'
          ;;
        whatif)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--outside[outdoors while it cools, °C, or °F: 20F; otherwise −5]:C:()' \
            '--year[monthly means of a typical year, °C, January first]:12 MEANS:()' \
            '--as-of[answer as if it were then: later records don'\''t exist]:T:()' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]' \
            '*:STEP:()'
          ;;
        experiment)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--seek[difference sought, °C; 1]:K:()' \
            '--since[leave out nights before this]:T:()' \
            '--as-of[answer as if it were then: later records don'\''t exist]:T:()' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]' \
            '1:WORD:()'
          ;;
        arrive)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--as-of[answer as if it were then: later records don'\''t exist]:T:()' \
            '--outdoor[temperature outside now, °C, or °F: 20F]:C:()' \
            '--night-low[low of the nights ahead, °C, or °F: 20F]:C:()' \
            '--inside[temperature inside now, °C, or °F: 50F, where it is not written down]:C:()' \
            '--rh[relative humidity inside now, %%]:PCT:()' \
            '--droppings[droppings were seen: airing comes first]' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]'
          ;;
        leave)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--as-of[answer as if it were then: later records don'\''t exist]:T:()' \
            '--outdoor[temperature outside now, °C, or °F: 20F]:C:()' \
            '--night-low[low of the nights ahead, °C, or °F: 20F]:C:()' \
            '--inside[temperature inside now, °C, or °F: 50F, where it is not written down]:C:()' \
            '*--line[one more line to wait for, °C or 40F]:C:()' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]'
          ;;
        woke)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--as-of[answer as if it were then: later records don'\''t exist]:T:()' \
            '--night-low[forecast low of the night, °C, or °F: 20F]:C:()' \
            '--wake[when the night ends]:HH MM:()' \
            '--band[wanted temperatures, °C, such as 16-22]:LO-HI:()' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]'
          ;;
        list)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--done[a line is done: its number, name or words]:LINE:()' \
            '--skip[not this time; from leaving it comes back on arriving]:LINE:()' \
            '--add[a line of your own]:TEXT:()' \
            '--out[leave a line out for good]:LINE:()' \
            '--back[bring back a line you left out]:LINE:()' \
            '--move[line N to the place of line M]:N:():M:()' \
            '--paper[a plain page to print]' \
            '--before[with --add: before this line; otherwise at the end]:LINE:()' \
            '*--when[with --add: only with frost, frost inside, droppings, away (a month), first stay, guests, water, nest, coals, ash]:CONDITION:()' \
            '--droppings[droppings were seen: airing comes first]' \
            '--guests[guests are coming or there]' \
            '--night-low[low of the nights ahead, °C, or °F: 20F]:C:()' \
            '--as-of[answer as if it were then: later records don'\''t exist]:T:()' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]' \
            '1::LIST:(packing arriving leaving spring autumn)'
          ;;
        due)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--all[every task, with its interval and source]' \
            '--record[the dated record, to print for an insurer or buyer]' \
            '--as-of[answer as if it were then: later records don'\''t exist]:T:()' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]'
          ;;
        wood)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--as-of[answer as if it were then: later records don'\''t exist]:T:()' \
            '--quick[by your own stays alone, without what the cabin loses]' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]'
          ;;
        stays)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--year[a page for each season, or for the one that begins in this year]' \
            '--this-weekend[this weekend in other years]' \
            '--as-of[answer as if it were then: later records don'\''t exist]:T:()' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]'
          ;;
        weather)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--base[base of the degree-days, °C or 50F; 15.5]:C:()' \
            '--days[days behind, one by one; 14]:N:()' \
            '--as-of[answer as if it were then: later records don'\''t exist]:T:()' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]'
          ;;
        bring)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--people[how many go; otherwise as usual]:N:()' \
            '--nights[how many nights; otherwise as usual]:M:()' \
            '--night-low[forecast low of the nights, °C, or °F: 20F]:C:()' \
            '--as-of[answer as if it were then: later records don'\''t exist]:T:()' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]'
          ;;
        damp)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--inside[temperature inside now, °C, or °F: 60F]:C:()' \
            '--rh[relative humidity inside now, %%]:PCT:()' \
            '--outdoor[temperature outside now, °C, or °F: 20F]:C:()' \
            '--night-low[low of the nights ahead, °C, or °F: 20F]:C:()' \
            '--as-of[answer as if it were then: later records don'\''t exist]:T:()' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]'
          ;;
        sheet)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--html[write one file to print from a browser]:FILE:_files' \
            '--size[the paper; A4 without it]:size:(a4 letter)' \
            '--as-of[as it would have been then: later records don'\''t exist]:T:()' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]' \
            '*:NAME:(guest weekend leaving upkeep)'
          ;;
        report)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--stay[the stay this day lies in, or: last; the last one without a flag]:DATE:()' \
            '--season[the season that begins in this year: 2025 is July 2025 to June 2026; without one the newest]' \
            '--reckon[make the forecasts of past nights that were not reckoned before: a second or two each]' \
            '--html[write one file to print from a browser]:FILE:_files' \
            '--size[the paper; A4 without it]:size:(a4 letter)' \
            '--as-of[as it would have been then: later records don'\''t exist]:T:()' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]'
          ;;
        export)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]' \
            '1:DIR:_files -/'
          ;;
        backup)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]' \
            '1::DIR:_files -/'
          ;;
        restore)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]' \
            '1::FILE:_files'
          ;;
        merge)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--yes[though they look like the logs of two cabins]' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]' \
            '1:FILE:_files'
          ;;
        conflicts)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]' \
            '1::ID:()' \
            '2::N:()'
          ;;
        check)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]'
          ;;
        salvage)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]' \
            '1:DAMAGED:_files' \
            '2:NEW.db:_files'
          ;;
        demo)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--write[just write that copy]:FILE:_files' \
            '--plain[line by line]' \
            '--tonight[just answer for its last evening]' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]'
          ;;
        plain)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]'
          ;;
        completion)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]' \
            '1:shell:(bash zsh fish)'
          ;;
        manual)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]'
          ;;
        licences)
          _arguments \
            '(- : *)-h[show this help message and exit]' \
            '(- : *)--help[show this help message and exit]' \
            '--all[also those that only build and test it]' \
            '--log[the log to use]:FILE:_files' \
            '--json[answer as JSON, SI units]'
          ;;
      esac
      ;;
  esac
}

if [[ $funcstack[1] == _nightload ]]; then
  _nightload "$@"
else
  compdef _nightload nightload
fi
