# bash completion for headroom. Made from the command tree by 'headroom docs'; do not edit.

_headroom_commands() {
  REPLY=
  case $1 in
    'headroom') REPLY='debrief brief enter due book units demo' ;;
    'headroom enter') REPLY='hours head reading plug mixed filled left service service-line finding closed alteration drill spent note run handling flight machine pilot part fitted removed field check amend void' ;;
    'headroom enter amend') REPLY='hours head reading plug mixed filled left service service-line finding closed alteration drill spent note run handling flight machine pilot part fitted removed field check' ;;
    'headroom book') REPLY='list show history verify export import' ;;
  esac
}
_headroom_option() {
  REPLY=
  case "$1 $2" in
    'headroom brief --planned') REPLY='any' ;;
    'headroom brief --start') REPLY='any' ;;
    'headroom enter hours --part') REPLY='any' ;;
    'headroom enter hours --at') REPLY='any' ;;
    'headroom enter head --at') REPLY='any' ;;
    'headroom enter reading --part') REPLY='any' ;;
    'headroom enter reading --at') REPLY='any' ;;
    'headroom enter plug --reading') REPLY='lean right rich' ;;
    'headroom enter plug --at') REPLY='any' ;;
    'headroom enter mixed --ratio') REPLY='any' ;;
    'headroom enter mixed --oil') REPLY='any' ;;
    'headroom enter mixed --note') REPLY='any' ;;
    'headroom enter mixed --at') REPLY='any' ;;
    'headroom enter filled --tank') REPLY='any' ;;
    'headroom enter filled --at') REPLY='any' ;;
    'headroom enter left --at') REPLY='any' ;;
    'headroom enter service --part') REPLY='any' ;;
    'headroom enter service --note') REPLY='any' ;;
    'headroom enter service --at') REPLY='any' ;;
    'headroom enter service-line --title') REPLY='any' ;;
    'headroom enter service-line --role') REPLY='any' ;;
    'headroom enter service-line --running') REPLY='any' ;;
    'headroom enter service-line --air') REPLY='any' ;;
    'headroom enter service-line --months') REPLY='any' ;;
    'headroom enter service-line --launches') REPLY='any' ;;
    'headroom enter service-line --at') REPLY='any' ;;
    'headroom enter finding --part') REPLY='any' ;;
    'headroom enter finding --at') REPLY='any' ;;
    'headroom enter closed --at') REPLY='any' ;;
    'headroom enter alteration --part') REPLY='any' ;;
    'headroom enter alteration --at') REPLY='any' ;;
    'headroom enter drill --note') REPLY='any' ;;
    'headroom enter drill --at') REPLY='any' ;;
    'headroom enter spent --at') REPLY='any' ;;
    'headroom enter note --at') REPLY='any' ;;
    'headroom enter run --note') REPLY='any' ;;
    'headroom enter run --at') REPLY='any' ;;
    'headroom enter handling --at') REPLY='any' ;;
    'headroom enter flight --launches') REPLY='any' ;;
    'headroom enter flight --at') REPLY='any' ;;
    'headroom enter machine --at') REPLY='any' ;;
    'headroom enter pilot --mass') REPLY='any' ;;
    'headroom enter pilot --at') REPLY='any' ;;
    'headroom enter part --made') REPLY='any' ;;
    'headroom enter part --running') REPLY='any' ;;
    'headroom enter part --air') REPLY='any' ;;
    'headroom enter part --handling') REPLY='any' ;;
    'headroom enter part --launches') REPLY='any' ;;
    'headroom enter part --at') REPLY='any' ;;
    'headroom enter fitted --machine') REPLY='any' ;;
    'headroom enter fitted --at') REPLY='any' ;;
    'headroom enter removed --note') REPLY='any' ;;
    'headroom enter removed --at') REPLY='any' ;;
    'headroom enter field --height') REPLY='any' ;;
    'headroom enter field --note') REPLY='any' ;;
    'headroom enter field --at') REPLY='any' ;;
    'headroom enter check --at') REPLY='any' ;;
    'headroom enter amend --at') REPLY='any' ;;
    'headroom enter amend --reason') REPLY='any' ;;
    'headroom enter amend hours --part') REPLY='any' ;;
    'headroom enter amend hours --at') REPLY='any' ;;
    'headroom enter amend hours --reason') REPLY='any' ;;
    'headroom enter amend head --at') REPLY='any' ;;
    'headroom enter amend head --reason') REPLY='any' ;;
    'headroom enter amend reading --part') REPLY='any' ;;
    'headroom enter amend reading --at') REPLY='any' ;;
    'headroom enter amend reading --reason') REPLY='any' ;;
    'headroom enter amend plug --reading') REPLY='lean right rich' ;;
    'headroom enter amend plug --at') REPLY='any' ;;
    'headroom enter amend plug --reason') REPLY='any' ;;
    'headroom enter amend mixed --ratio') REPLY='any' ;;
    'headroom enter amend mixed --oil') REPLY='any' ;;
    'headroom enter amend mixed --note') REPLY='any' ;;
    'headroom enter amend mixed --at') REPLY='any' ;;
    'headroom enter amend mixed --reason') REPLY='any' ;;
    'headroom enter amend filled --tank') REPLY='any' ;;
    'headroom enter amend filled --at') REPLY='any' ;;
    'headroom enter amend filled --reason') REPLY='any' ;;
    'headroom enter amend left --at') REPLY='any' ;;
    'headroom enter amend left --reason') REPLY='any' ;;
    'headroom enter amend service --part') REPLY='any' ;;
    'headroom enter amend service --note') REPLY='any' ;;
    'headroom enter amend service --at') REPLY='any' ;;
    'headroom enter amend service --reason') REPLY='any' ;;
    'headroom enter amend service-line --title') REPLY='any' ;;
    'headroom enter amend service-line --role') REPLY='any' ;;
    'headroom enter amend service-line --running') REPLY='any' ;;
    'headroom enter amend service-line --air') REPLY='any' ;;
    'headroom enter amend service-line --months') REPLY='any' ;;
    'headroom enter amend service-line --launches') REPLY='any' ;;
    'headroom enter amend service-line --at') REPLY='any' ;;
    'headroom enter amend service-line --reason') REPLY='any' ;;
    'headroom enter amend finding --part') REPLY='any' ;;
    'headroom enter amend finding --at') REPLY='any' ;;
    'headroom enter amend finding --reason') REPLY='any' ;;
    'headroom enter amend closed --at') REPLY='any' ;;
    'headroom enter amend closed --reason') REPLY='any' ;;
    'headroom enter amend alteration --part') REPLY='any' ;;
    'headroom enter amend alteration --at') REPLY='any' ;;
    'headroom enter amend alteration --reason') REPLY='any' ;;
    'headroom enter amend drill --note') REPLY='any' ;;
    'headroom enter amend drill --at') REPLY='any' ;;
    'headroom enter amend drill --reason') REPLY='any' ;;
    'headroom enter amend spent --at') REPLY='any' ;;
    'headroom enter amend spent --reason') REPLY='any' ;;
    'headroom enter amend note --at') REPLY='any' ;;
    'headroom enter amend note --reason') REPLY='any' ;;
    'headroom enter amend run --note') REPLY='any' ;;
    'headroom enter amend run --at') REPLY='any' ;;
    'headroom enter amend run --reason') REPLY='any' ;;
    'headroom enter amend handling --at') REPLY='any' ;;
    'headroom enter amend handling --reason') REPLY='any' ;;
    'headroom enter amend flight --launches') REPLY='any' ;;
    'headroom enter amend flight --at') REPLY='any' ;;
    'headroom enter amend flight --reason') REPLY='any' ;;
    'headroom enter amend machine --at') REPLY='any' ;;
    'headroom enter amend machine --reason') REPLY='any' ;;
    'headroom enter amend pilot --mass') REPLY='any' ;;
    'headroom enter amend pilot --at') REPLY='any' ;;
    'headroom enter amend pilot --reason') REPLY='any' ;;
    'headroom enter amend part --made') REPLY='any' ;;
    'headroom enter amend part --running') REPLY='any' ;;
    'headroom enter amend part --air') REPLY='any' ;;
    'headroom enter amend part --handling') REPLY='any' ;;
    'headroom enter amend part --launches') REPLY='any' ;;
    'headroom enter amend part --at') REPLY='any' ;;
    'headroom enter amend part --reason') REPLY='any' ;;
    'headroom enter amend fitted --machine') REPLY='any' ;;
    'headroom enter amend fitted --at') REPLY='any' ;;
    'headroom enter amend fitted --reason') REPLY='any' ;;
    'headroom enter amend removed --note') REPLY='any' ;;
    'headroom enter amend removed --at') REPLY='any' ;;
    'headroom enter amend removed --reason') REPLY='any' ;;
    'headroom enter amend field --height') REPLY='any' ;;
    'headroom enter amend field --note') REPLY='any' ;;
    'headroom enter amend field --at') REPLY='any' ;;
    'headroom enter amend field --reason') REPLY='any' ;;
    'headroom enter amend check --at') REPLY='any' ;;
    'headroom enter amend check --reason') REPLY='any' ;;
    'headroom enter void --reason') REPLY='any' ;;
    'headroom due --by') REPLY='any' ;;
    'headroom book list --kind') REPLY='flight recording remeasured hours head reading plug mixed filled left service service-line finding closed alteration drill spent note run handling machine pilot part fitted removed field check setting photo amended voided' ;;
    'headroom book list --part') REPLY='any' ;;
    'headroom book list --from') REPLY='any' ;;
    'headroom book list --to') REPLY='any' ;;
    'headroom book list --search') REPLY='any' ;;
    'headroom book list --last') REPLY='any' ;;
    'headroom units --zone') REPLY='any' ;;
    'headroom demo --end') REPLY='any' ;;
    *' --book') REPLY='file' ;;
    *' --units') REPLY='any' ;;
    *' --zone') REPLY='any' ;;
  esac
}
_headroom_options() {
  REPLY=
  case $1 in
    'headroom') REPLY='--version' ;;
    'headroom debrief') REPLY='--look-only --full' ;;
    'headroom brief') REPLY='--planned --start --all' ;;
    'headroom enter hours') REPLY='--part --at' ;;
    'headroom enter head') REPLY='--at' ;;
    'headroom enter reading') REPLY='--part --at' ;;
    'headroom enter plug') REPLY='--wet --dry --reading --at' ;;
    'headroom enter mixed') REPLY='--ratio --oil --note --at' ;;
    'headroom enter filled') REPLY='--tank --at' ;;
    'headroom enter left') REPLY='--at' ;;
    'headroom enter service') REPLY='--part --note --at' ;;
    'headroom enter service-line') REPLY='--title --role --running --air --months --launches --drop --at' ;;
    'headroom enter finding') REPLY='--grounding --deferred --part --at' ;;
    'headroom enter closed') REPLY='--at' ;;
    'headroom enter alteration') REPLY='--part --at' ;;
    'headroom enter drill') REPLY='--note --at' ;;
    'headroom enter spent') REPLY='--at' ;;
    'headroom enter note') REPLY='--at' ;;
    'headroom enter run') REPLY='--note --at' ;;
    'headroom enter handling') REPLY='--at' ;;
    'headroom enter flight') REPLY='--launches --at' ;;
    'headroom enter machine') REPLY='--at' ;;
    'headroom enter pilot') REPLY='--mass --at' ;;
    'headroom enter part') REPLY='--made --running --air --handling --launches --at' ;;
    'headroom enter fitted') REPLY='--machine --at' ;;
    'headroom enter removed') REPLY='--note --at' ;;
    'headroom enter field') REPLY='--height --note --at' ;;
    'headroom enter check') REPLY='--at' ;;
    'headroom enter amend') REPLY='--at --reason' ;;
    'headroom enter amend hours') REPLY='--part --at --reason' ;;
    'headroom enter amend head') REPLY='--at --reason' ;;
    'headroom enter amend reading') REPLY='--part --at --reason' ;;
    'headroom enter amend plug') REPLY='--wet --dry --reading --at --reason' ;;
    'headroom enter amend mixed') REPLY='--ratio --oil --note --at --reason' ;;
    'headroom enter amend filled') REPLY='--tank --at --reason' ;;
    'headroom enter amend left') REPLY='--at --reason' ;;
    'headroom enter amend service') REPLY='--part --note --at --reason' ;;
    'headroom enter amend service-line') REPLY='--title --role --running --air --months --launches --drop --at --reason' ;;
    'headroom enter amend finding') REPLY='--grounding --deferred --part --at --reason' ;;
    'headroom enter amend closed') REPLY='--at --reason' ;;
    'headroom enter amend alteration') REPLY='--part --at --reason' ;;
    'headroom enter amend drill') REPLY='--note --at --reason' ;;
    'headroom enter amend spent') REPLY='--at --reason' ;;
    'headroom enter amend note') REPLY='--at --reason' ;;
    'headroom enter amend run') REPLY='--note --at --reason' ;;
    'headroom enter amend handling') REPLY='--at --reason' ;;
    'headroom enter amend flight') REPLY='--launches --at --reason' ;;
    'headroom enter amend machine') REPLY='--at --reason' ;;
    'headroom enter amend pilot') REPLY='--mass --at --reason' ;;
    'headroom enter amend part') REPLY='--made --running --air --handling --launches --at --reason' ;;
    'headroom enter amend fitted') REPLY='--machine --at --reason' ;;
    'headroom enter amend removed') REPLY='--note --at --reason' ;;
    'headroom enter amend field') REPLY='--height --note --at --reason' ;;
    'headroom enter amend check') REPLY='--at --reason' ;;
    'headroom enter void') REPLY='--reason' ;;
    'headroom due') REPLY='--by' ;;
    'headroom book list') REPLY='--kind --part --from --to --search --last --all' ;;
    'headroom book export') REPLY='--without-private' ;;
    'headroom units') REPLY='--zone' ;;
    'headroom demo') REPLY='--end' ;;
  esac
  REPLY+=' --help --book --units --zone --json'
}
_headroom_place() {
  REPLY=
  case $1:$2 in
    'headroom debrief':*) REPLY='file' ;;
    'headroom enter reading':2) REPLY='s min h C F bar psi hPa kg lb m ft mm rpm' ;;
    'headroom enter plug':0) REPLY='white pale tan dark black' ;;
    'headroom enter service':0) REPLY='first_torque plug carburettor_kit belt_first belt reeds decarbonise piston_check piston crank starter_cord rubber_mounts fuel_hose wing_check reserve_repack reserve_life carabiners harness_check' ;;
    'headroom enter service-line':0) REPLY='first_torque plug carburettor_kit belt_first belt reeds decarbonise piston_check piston crank starter_cord rubber_mounts fuel_hose wing_check reserve_repack reserve_life carabiners harness_check' ;;
    'headroom enter alteration':0) REPLY='wing lines propeller jet plug oil exhaust undercarriage seats other' ;;
    'headroom enter drill':0) REPLY='reserve engine-off-landing start other' ;;
    'headroom enter part':0) REPLY='engine drive propeller frame harness wing reserve carburettor exhaust ignition fuel_system instrument cart other' ;;
    'headroom enter check':0) REPLY='fasteners springs mounts welds net propeller' ;;
    'headroom enter check':1) REPLY='done not-done not-applicable' ;;
    'headroom enter amend reading':2) REPLY='s min h C F bar psi hPa kg lb m ft mm rpm' ;;
    'headroom enter amend plug':0) REPLY='white pale tan dark black' ;;
    'headroom enter amend service':0) REPLY='first_torque plug carburettor_kit belt_first belt reeds decarbonise piston_check piston crank starter_cord rubber_mounts fuel_hose wing_check reserve_repack reserve_life carabiners harness_check' ;;
    'headroom enter amend service-line':0) REPLY='first_torque plug carburettor_kit belt_first belt reeds decarbonise piston_check piston crank starter_cord rubber_mounts fuel_hose wing_check reserve_repack reserve_life carabiners harness_check' ;;
    'headroom enter amend alteration':0) REPLY='wing lines propeller jet plug oil exhaust undercarriage seats other' ;;
    'headroom enter amend drill':0) REPLY='reserve engine-off-landing start other' ;;
    'headroom enter amend part':0) REPLY='engine drive propeller frame harness wing reserve carburettor exhaust ignition fuel_system instrument cart other' ;;
    'headroom enter amend check':0) REPLY='fasteners springs mounts welds net propeller' ;;
    'headroom enter amend check':1) REPLY='done not-done not-applicable' ;;
    'headroom book history':0) REPLY='engine drive propeller frame harness wing reserve' ;;
    'headroom book export':0) REPLY='folder' ;;
    'headroom book import':0) REPLY='folder' ;;
    'headroom units':*) REPLY='metric us uk' ;;
    'headroom demo':0) REPLY='folder' ;;
  esac
}

_headroom() {
  local cur=${COMP_WORDS[COMP_CWORD]} path=headroom place=0 kind= word i REPLY
  COMPREPLY=()
  for ((i = 1; i < COMP_CWORD; i++)); do
    word=${COMP_WORDS[i]}
    # bash takes 50:1 and --at=18:30 apart at these.
    if [[ $word == [:=] ]]; then
      [[ $word == = ]] && kind=any
      ((++i < COMP_CWORD)) && kind=
      continue
    fi
    if [[ -n $kind ]]; then
      kind=
      continue
    fi
    if [[ $word == -* ]]; then
      _headroom_option "$path" "$word"
      kind=$REPLY
      continue
    fi
    _headroom_commands "$path"
    if [[ " $REPLY " == *" $word "* ]]; then
      path+=" $word"
      place=0
    else
      ((++place))
    fi
  done
  if [[ -z $kind && $cur == -* ]]; then
    _headroom_options "$path"
    mapfile -t COMPREPLY < <(compgen -W "$REPLY" -- "$cur")
    return
  fi
  if [[ -z $kind ]]; then
    _headroom_place "$path" "$place"
    kind=$REPLY
    _headroom_commands "$path"
    [[ $kind == any ]] && kind=
    [[ -n $REPLY && $kind != file && $kind != folder ]] && kind+=" $REPLY"
  fi
  case $kind in
    file)
      compopt -o filenames 2>/dev/null
      mapfile -t COMPREPLY < <(compgen -f -- "$cur")
      ;;
    folder)
      compopt -o filenames 2>/dev/null
      mapfile -t COMPREPLY < <(compgen -d -- "$cur")
      ;;
    any | '') ;;
    *) mapfile -t COMPREPLY < <(compgen -W "$kind" -- "$cur") ;;
  esac
}
complete -F _headroom headroom
