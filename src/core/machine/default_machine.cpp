#include "core/machine/default_machine.h"

#include <cassert>

namespace headroom {

std::vector<DraftFact> default_machine(const std::vector<EntryId>& ids) {
  assert(ids.size() == kDefaultIdCount);
  std::vector<DraftFact> drafts;
  drafts.push_back({ids[0], MachineRegistered{.assumed = true, .private_name = {}}});
  drafts.push_back({ids[1], PilotRegistered{.assumed = true, .mass = {}, .private_name = {}}});
  for (std::size_t i = 0; i < kDefaultPartCount; ++i) {
    PartRegistered part;
    part.role = std::string(kDefaultRoles[i]);
    part.assumed = true;
    drafts.push_back({ids[2 + i], part});
    drafts.push_back({EntryId{}, PartFitted{ids[2 + i], ids[0]}});
  }
  return drafts;
}

}  // namespace headroom
