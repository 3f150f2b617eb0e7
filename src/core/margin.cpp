#include "core/margin.h"

namespace headroom {

namespace {

constexpr double kShortDeadly = 0.20, kShortOther = 0.50, kThin = 0.05, kAmpleAssumedDeadly = 0.01;

// Groups of the brief, most pressing first.
int rank(const Margin& m) {
  if (m.grounding) return 0;
  if (m.state == MarginState::unknown && is_deadly(m.kind)) return 1;
  switch (m.state) {
    case MarginState::short_of:
      return 2;
    case MarginState::thin:
      return 3;
    case MarginState::unknown:
      return 4;
    case MarginState::ample:
      return 5;
  }
  return 5;
}

double share_left(const Margin& m) {
  if (!m.left.known() || !m.need.known() || !(m.need.mid > 0)) return 1e9;
  return m.left.low / m.need.mid;
}

}  // namespace

std::string_view state_word(MarginState state) {
  switch (state) {
    case MarginState::short_of:
      return "short";
    case MarginState::thin:
      return "thin";
    case MarginState::ample:
      return "ample";
    case MarginState::unknown:
      break;
  }
  return "unknown";
}

MarginState margin_state(MarginKind kind, std::optional<double> chance_short, bool limit_passed, bool grounding, bool assumed) {
  if (grounding || limit_passed) return MarginState::short_of;
  if (!chance_short || !(*chance_short >= 0.0 && *chance_short <= 1.0)) return MarginState::unknown;
  const bool deadly = is_deadly(kind);
  if (*chance_short >= (deadly ? kShortDeadly : kShortOther)) return MarginState::short_of;
  if (*chance_short > (deadly && assumed ? kAmpleAssumedDeadly : kThin)) return MarginState::thin;
  return MarginState::ample;
}

bool thinner(const Margin& a, const Margin& b) {
  if (rank(a) != rank(b)) return rank(a) < rank(b);
  const double ca = a.chance_short.value_or(0), cb = b.chance_short.value_or(0);
  if (ca != cb) return ca > cb;
  if (is_deadly(a.kind) != is_deadly(b.kind)) return is_deadly(a.kind);
  if (share_left(a) != share_left(b)) return share_left(a) < share_left(b);
  return a.id < b.id;
}

bool counts_up(const Margin& m) {
  switch (m.kind) {
    case MarginKind::service:
    case MarginKind::part_age:
    case MarginKind::reserve_repack:
    case MarginKind::recent_practice:
    case MarginKind::drill:
    case MarginKind::fuel_mix:
      return m.have.dimension != Dimension::count;
    default:
      return false;
  }
}

}  // namespace headroom
