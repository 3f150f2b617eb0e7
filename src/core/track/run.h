#pragma once
// The take-off run: where the first step was, where the wheels or feet left the ground, and the room between.
#include "core/track/contact.h"
#include "core/track/phases.h"

namespace headroom {

// `lift_off` is find_contact's answer at the launch; it may be unknown.
[[nodiscard]] TakeOffRun find_take_off(const Track& track, const SmoothedTrack& smoothed, const FoundFlight& flight,
                                       const ContactTimes& lift_off, std::span<const GroundVelocity> velocities,
                                       const WindSolution& wind);

}  // namespace headroom
