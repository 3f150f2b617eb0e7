#include "app/limit_scale.h"

#include <algorithm>
#include <cmath>

namespace headroom {

std::optional<LimitScale> limit_scale(const Margin& m) {
  if (!m.left.known()) return std::nullopt;
  if (m.state == MarginState::short_of && m.left.low > 0) return std::nullopt;
  const bool degrees = m.left.dimension == Dimension::temperature || m.left.dimension == Dimension::temperature_difference ||
                       m.have.dimension == Dimension::temperature;
  double scale = 0;
  if (degrees)
    scale = kDegreesOfScale;
  else if (counts_up(m) || (m.kind == MarginKind::wind && m.have.dimension == Dimension::speed))
    scale = m.have.known() ? std::abs(m.have.mid) : 0;
  else
    scale = m.need.known() ? std::abs(m.need.mid) : 0;
  constexpr double kFar = 99;
  if (!(scale > 0)) {
    // Nothing is needed, a calm: whatever is there is far beyond it.
    if (m.need.known() && m.left.low > 0) return LimitScale{kFar, kFar, kFar};
    if (!(m.have.known() && std::abs(m.have.mid) > 0)) return std::nullopt;
    scale = std::abs(m.have.mid);
  }
  const auto at = [&](double left) { return std::min(left / scale, kFar); };
  return LimitScale{at(m.left.low), at(m.left.mid), at(m.left.high)};
}

}  // namespace headroom
