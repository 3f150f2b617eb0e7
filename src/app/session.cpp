#include "app/session.h"

#include <string_view>

#include "app/load_state.h"

namespace headroom {

Result<Session> open_session(Ports& ports, const SessionChoice& choice, bool whole) {
  auto loaded = whole ? load_state(ports) : load_recent_state(ports);
  if (!loaded) return tl::unexpected<Error>(loaded.error());
  Session session{std::move(loaded->state), {}, {}};
  for (const auto& [name, setting] : session.state.settings)
    if (name.starts_with("unit.")) {
      // A unit of a later version of the program is not known here: the default stands, which is shown with its name anyway.
      (void)session.units.choose(std::string_view(name).substr(5), setting.value);
    }
  session.zone = choice.zone.empty() ? session.state.setting("zone") : choice.zone;
  // A zone that the system does not know is told before a time is shown in another one.
  if (!session.zone.empty())
    if (const auto known = ports.clock.offset_minutes(ports.clock.now(), session.zone); !known)
      return tl::unexpected<Error>(known.error());
  if (!choice.units.empty())
    if (auto chosen = session.units.choose_list(choice.units); !chosen) return tl::unexpected<Error>(chosen.error());
  return session;
}

}  // namespace headroom
