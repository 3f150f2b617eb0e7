# bash completion for headroom. Made from the command tree by 'headroom docs'; do not edit.

_headroom_commands() {
  REPLY=
  case $1 in
    'headroom') REPLY='debrief brief enter due book calc units demo field serve' ;;
    'headroom enter') REPLY='hours head reading plug figure kit mixed filled left service service-line finding closed alteration drill take-off-run spent note run handling flight machine pilot part fitted removed field check amend void' ;;
    'headroom enter amend') REPLY='hours head reading plug figure kit mixed filled left service service-line finding closed alteration drill take-off-run spent note run handling flight machine pilot part fitted removed field check' ;;
    'headroom book') REPLY='list show history verify export import' ;;
    'headroom calc') REPLY='air sun metar run turn-back load' ;;
    'headroom field') REPLY='show describe strip obstacle walked walk from-launches photo' ;;
  esac
}
_headroom_option() {
  REPLY=
  case "$1 $2" in
    'headroom debrief --series') REPLY='any' ;;
    'headroom debrief --plot') REPLY='any' ;;
    'headroom brief --planned') REPLY='any' ;;
    'headroom brief --start') REPLY='any' ;;
    'headroom brief --pilot') REPLY='any' ;;
    'headroom brief --field') REPLY='any' ;;
    'headroom brief --strip') REPLY='any' ;;
    'headroom brief --ground') REPLY='any' ;;
    'headroom brief --wind') REPLY='any' ;;
    'headroom brief --windsock') REPLY='any' ;;
    'headroom brief --wind-aloft') REPLY='any' ;;
    'headroom brief --metar') REPLY='any' ;;
    'headroom brief --taf') REPLY='any' ;;
    'headroom brief --station') REPLY='any' ;;
    'headroom brief --temperature') REPLY='any' ;;
    'headroom brief --dew-point') REPLY='any' ;;
    'headroom brief --qnh') REPLY='any' ;;
    'headroom brief --visibility') REPLY='any' ;;
    'headroom brief --cloud-base') REPLY='any' ;;
    'headroom brief --sky') REPLY='any' ;;
    'headroom brief --tank') REPLY='any' ;;
    'headroom brief --all-up') REPLY='any' ;;
    'headroom brief --pilot-mass') REPLY='any' ;;
    'headroom brief --passenger') REPLY='any' ;;
    'headroom brief --light') REPLY='any' ;;
    'headroom brief --who-knows') REPLY='any' ;;
    'headroom brief --overdue') REPLY='any' ;;
    'headroom brief --route') REPLY='file' ;;
    'headroom brief --route-height') REPLY='any' ;;
    'headroom brief --airspace') REPLY='file' ;;
    'headroom enter hours --part') REPLY='any' ;;
    'headroom enter hours --at') REPLY='any' ;;
    'headroom enter head --at') REPLY='any' ;;
    'headroom enter reading --part') REPLY='any' ;;
    'headroom enter reading --at') REPLY='any' ;;
    'headroom enter plug --reading') REPLY='lean right rich' ;;
    'headroom enter plug --at') REPLY='any' ;;
    'headroom enter figure --pilot') REPLY='any' ;;
    'headroom enter figure --at') REPLY='any' ;;
    'headroom enter kit --place') REPLY='any' ;;
    'headroom enter kit --at') REPLY='any' ;;
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
    'headroom enter take-off-run --steps') REPLY='any' ;;
    'headroom enter take-off-run --headwind') REPLY='any' ;;
    'headroom enter take-off-run --tailwind') REPLY='any' ;;
    'headroom enter take-off-run --temperature') REPLY='any' ;;
    'headroom enter take-off-run --height') REPLY='any' ;;
    'headroom enter take-off-run --field') REPLY='any' ;;
    'headroom enter take-off-run --strip') REPLY='any' ;;
    'headroom enter take-off-run --surface') REPLY='any' ;;
    'headroom enter take-off-run --all-up') REPLY='any' ;;
    'headroom enter take-off-run --note') REPLY='any' ;;
    'headroom enter take-off-run --at') REPLY='any' ;;
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
    'headroom enter amend figure --pilot') REPLY='any' ;;
    'headroom enter amend figure --at') REPLY='any' ;;
    'headroom enter amend figure --reason') REPLY='any' ;;
    'headroom enter amend kit --place') REPLY='any' ;;
    'headroom enter amend kit --at') REPLY='any' ;;
    'headroom enter amend kit --reason') REPLY='any' ;;
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
    'headroom enter amend take-off-run --steps') REPLY='any' ;;
    'headroom enter amend take-off-run --headwind') REPLY='any' ;;
    'headroom enter amend take-off-run --tailwind') REPLY='any' ;;
    'headroom enter amend take-off-run --temperature') REPLY='any' ;;
    'headroom enter amend take-off-run --height') REPLY='any' ;;
    'headroom enter amend take-off-run --field') REPLY='any' ;;
    'headroom enter amend take-off-run --strip') REPLY='any' ;;
    'headroom enter amend take-off-run --surface') REPLY='any' ;;
    'headroom enter amend take-off-run --all-up') REPLY='any' ;;
    'headroom enter amend take-off-run --note') REPLY='any' ;;
    'headroom enter amend take-off-run --at') REPLY='any' ;;
    'headroom enter amend take-off-run --reason') REPLY='any' ;;
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
    'headroom book list --kind') REPLY='flight recording remeasured hours head reading plug mixed filled left service service-line finding closed alteration drill take-off-run spent note run handling machine pilot part fitted removed field check setting photo amended voided' ;;
    'headroom book list --part') REPLY='any' ;;
    'headroom book list --from') REPLY='any' ;;
    'headroom book list --to') REPLY='any' ;;
    'headroom book list --search') REPLY='any' ;;
    'headroom book list --last') REPLY='any' ;;
    'headroom calc air --height') REPLY='any' ;;
    'headroom calc air --qnh') REPLY='any' ;;
    'headroom calc air --pressure') REPLY='any' ;;
    'headroom calc air --pressure-altitude') REPLY='any' ;;
    'headroom calc air --temperature') REPLY='any' ;;
    'headroom calc air --dew-point') REPLY='any' ;;
    'headroom calc air --humidity') REPLY='any' ;;
    'headroom calc sun --latitude') REPLY='any' ;;
    'headroom calc sun --longitude') REPLY='any' ;;
    'headroom calc sun --date') REPLY='any' ;;
    'headroom calc run --mass') REPLY='any' ;;
    'headroom calc run --wing-area') REPLY='any' ;;
    'headroom calc run --thrust') REPLY='any' ;;
    'headroom calc run --strip') REPLY='any' ;;
    'headroom calc run --propeller') REPLY='any' ;;
    'headroom calc run --headwind') REPLY='any' ;;
    'headroom calc run --tailwind') REPLY='any' ;;
    'headroom calc run --surface') REPLY='any' ;;
    'headroom calc run --slope') REPLY='any' ;;
    'headroom calc run --obstacle') REPLY='any' ;;
    'headroom calc run --fastest-run') REPLY='any' ;;
    'headroom calc run --inflation') REPLY='any' ;;
    'headroom calc run --run-factor') REPLY='any' ;;
    'headroom calc run --height') REPLY='any' ;;
    'headroom calc run --qnh') REPLY='any' ;;
    'headroom calc run --pressure') REPLY='any' ;;
    'headroom calc run --pressure-altitude') REPLY='any' ;;
    'headroom calc run --temperature') REPLY='any' ;;
    'headroom calc run --dew-point') REPLY='any' ;;
    'headroom calc run --humidity') REPLY='any' ;;
    'headroom calc turn-back --track') REPLY='any' ;;
    'headroom calc turn-back --airspeed') REPLY='any' ;;
    'headroom calc turn-back --wind') REPLY='any' ;;
    'headroom calc turn-back --endurance') REPLY='any' ;;
    'headroom calc turn-back --distance') REPLY='any' ;;
    'headroom calc load --mass') REPLY='any' ;;
    'headroom calc load --wing-mass') REPLY='any' ;;
    'headroom calc load --wing-area') REPLY='any' ;;
    'headroom calc load --wing-least') REPLY='any' ;;
    'headroom calc load --wing-most') REPLY='any' ;;
    'headroom calc load --reserve') REPLY='any' ;;
    'headroom calc load --harness') REPLY='any' ;;
    'headroom calc load --carabiners') REPLY='any' ;;
    'headroom calc load --before') REPLY='any' ;;
    'headroom calc load --height') REPLY='any' ;;
    'headroom calc load --qnh') REPLY='any' ;;
    'headroom calc load --pressure') REPLY='any' ;;
    'headroom calc load --pressure-altitude') REPLY='any' ;;
    'headroom calc load --temperature') REPLY='any' ;;
    'headroom calc load --dew-point') REPLY='any' ;;
    'headroom calc load --humidity') REPLY='any' ;;
    'headroom units --zone') REPLY='any' ;;
    'headroom demo --end') REPLY='any' ;;
    'headroom field describe --height') REPLY='any' ;;
    'headroom field describe --place') REPLY='any' ;;
    'headroom field describe --landable') REPLY='any' ;;
    'headroom field describe --note') REPLY='any' ;;
    'headroom field strip --towards') REPLY='any' ;;
    'headroom field strip --length') REPLY='any' ;;
    'headroom field strip --slope') REPLY='any' ;;
    'headroom field strip --surface') REPLY='any' ;;
    'headroom field obstacle --distance') REPLY='any' ;;
    'headroom field obstacle --height') REPLY='any' ;;
    'headroom field walked --at') REPLY='any' ;;
    'headroom field walk --strip') REPLY='any' ;;
    'headroom field from-launches --number') REPLY='any' ;;
    'headroom field photo --out') REPLY='file' ;;
    'headroom serve --port') REPLY='any' ;;
    'headroom serve --map') REPLY='file' ;;
    *' --book') REPLY='file' ;;
    *' --units') REPLY='any' ;;
    *' --zone') REPLY='any' ;;
  esac
}
_headroom_options() {
  REPLY=
  case $1 in
    'headroom') REPLY='--version' ;;
    'headroom debrief') REPLY='--look-only --full --series --plot' ;;
    'headroom brief') REPLY='--planned --start --pilot --all --field --strip --ground --mown --wind --windsock --wind-aloft --metar --taf --station --hills --temperature --dew-point --qnh --visibility --cloud-base --sky --tank --all-up --wheels --borrower --pilot-mass --passenger --light --who-knows --overdue --over-water --route --route-height --airspace' ;;
    'headroom enter hours') REPLY='--part --at' ;;
    'headroom enter head') REPLY='--at' ;;
    'headroom enter reading') REPLY='--part --at' ;;
    'headroom enter plug') REPLY='--wet --dry --reading --at' ;;
    'headroom enter figure') REPLY='--pilot --at' ;;
    'headroom enter kit') REPLY='--place --at' ;;
    'headroom enter mixed') REPLY='--ratio --oil --note --at' ;;
    'headroom enter filled') REPLY='--tank --at' ;;
    'headroom enter left') REPLY='--at' ;;
    'headroom enter service') REPLY='--part --note --at' ;;
    'headroom enter service-line') REPLY='--title --role --running --air --months --launches --drop --at' ;;
    'headroom enter finding') REPLY='--grounding --deferred --part --at' ;;
    'headroom enter closed') REPLY='--at' ;;
    'headroom enter alteration') REPLY='--part --at' ;;
    'headroom enter drill') REPLY='--note --at' ;;
    'headroom enter take-off-run') REPLY='--steps --headwind --tailwind --temperature --height --field --strip --surface --all-up --wheels --on-foot --note --at' ;;
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
    'headroom enter amend figure') REPLY='--pilot --at --reason' ;;
    'headroom enter amend kit') REPLY='--place --at --reason' ;;
    'headroom enter amend mixed') REPLY='--ratio --oil --note --at --reason' ;;
    'headroom enter amend filled') REPLY='--tank --at --reason' ;;
    'headroom enter amend left') REPLY='--at --reason' ;;
    'headroom enter amend service') REPLY='--part --note --at --reason' ;;
    'headroom enter amend service-line') REPLY='--title --role --running --air --months --launches --drop --at --reason' ;;
    'headroom enter amend finding') REPLY='--grounding --deferred --part --at --reason' ;;
    'headroom enter amend closed') REPLY='--at --reason' ;;
    'headroom enter amend alteration') REPLY='--part --at --reason' ;;
    'headroom enter amend drill') REPLY='--note --at --reason' ;;
    'headroom enter amend take-off-run') REPLY='--steps --headwind --tailwind --temperature --height --field --strip --surface --all-up --wheels --on-foot --note --at --reason' ;;
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
    'headroom calc air') REPLY='--height --qnh --pressure --pressure-altitude --temperature --dew-point --humidity' ;;
    'headroom calc sun') REPLY='--latitude --longitude --date' ;;
    'headroom calc run') REPLY='--mass --wing-area --thrust --strip --propeller --headwind --tailwind --surface --slope --obstacle --fastest-run --inflation --run-factor --wheels --without-published-factors --height --qnh --pressure --pressure-altitude --temperature --dew-point --humidity' ;;
    'headroom calc turn-back') REPLY='--track --airspeed --wind --endurance --distance' ;;
    'headroom calc load') REPLY='--mass --wing-mass --wing-area --wing-least --wing-most --reserve --harness --carabiners --before --height --qnh --pressure --pressure-altitude --temperature --dew-point --humidity' ;;
    'headroom units') REPLY='--zone' ;;
    'headroom demo') REPLY='--end' ;;
    'headroom field describe') REPLY='--height --place --landable --note' ;;
    'headroom field strip') REPLY='--towards --length --slope --surface' ;;
    'headroom field obstacle') REPLY='--distance --height --none' ;;
    'headroom field walked') REPLY='--at' ;;
    'headroom field walk') REPLY='--strip --write' ;;
    'headroom field from-launches') REPLY='--number --write' ;;
    'headroom field photo') REPLY='--out' ;;
    'headroom serve') REPLY='--port --share --map' ;;
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
    'headroom field walk':1) REPLY='file' ;;
    'headroom field photo':1) REPLY='file' ;;
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
