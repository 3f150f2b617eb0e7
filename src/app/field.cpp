#include "app/field.h"
#include "core/typed.h"

#include <algorithm>

namespace headroom {

Result<const FieldState*> find_field(const State& state, std::string_view word) {
  std::string names;
  for (const FieldState& f : state.fields) {
    if (f.name == word || (word.size() >= 6 && f.id.text().starts_with(word))) return &f;
    names += (names.empty() ? "" : ", ") + f.name;
  }
  if (names.empty())
    return fail(ErrorKind::not_found, "no field is described in this book yet" + typed("; headroom field describe NAME"));
  return fail(ErrorKind::not_found, "'" + std::string(word) + "' is no field here; there are: " + names);
}

Result<const FieldStrip*> find_strip(const FieldState& field, std::string_view word) {
  if (word.empty() && field.strips.size() == 1) return &field.strips.front();
  std::string names;
  for (const FieldStrip& s : field.strips) {
    if (s.name == word) return &s;
    names += (names.empty() ? "" : ", ") + s.name;
  }
  if (names.empty())
    return fail(ErrorKind::not_found,
                field.name + " has no strip yet" + typed("; headroom field strip NAME STRIP --towards DEG --length LENGTH"));
  if (word.empty()) return fail(ErrorKind::bad_input, field.name + " has several strips: " + names + "; say which");
  return fail(ErrorKind::not_found, "'" + std::string(word) + "' is no strip of " + field.name + "; there are: " + names);
}

Result<PlainFacts> field_facts_of(const FieldChange& change, const State& state) {
  FieldDescribed made;
  const auto known = find_field(state, change.field);
  if (known) {
    const FieldState& f = **known;
    made.same_as = f.id;
    made.height = f.height;
    made.strips = f.strips;
    made.private_name = f.name;
    made.private_position = f.position;
    made.private_text = f.text;
    made.private_landable = f.landable;
    made.private_photo = f.photo;
  } else if (change.describe) {
    made.private_name = change.field;
  } else {
    return tl::unexpected<Error>(known.error());
  }
  if (change.height) made.height = change.height;
  if (change.position) made.private_position = change.position;
  if (change.text) made.private_text = *change.text;
  if (change.photo) made.private_photo = *change.photo;
  if (change.landable) made.private_landable = *change.landable;
  for (FieldStrip strip : change.strips) {
    const auto same = std::find_if(made.strips.begin(), made.strips.end(), [&](const auto& s) { return s.name == strip.name; });
    if (same == made.strips.end()) {
      made.strips.push_back(strip);
    } else {
      // What was walked was walked on the ground as it was described then: a new direction or length asks for a new walk.
      strip.obstacles = same->obstacles;
      if (!change.slope_said) strip.slope = same->slope;
      if (strip.towards_deg == same->towards_deg && strip.length == same->length && strip.slope == same->slope)
        strip.walked = same->walked;
      if (strip.surface == FieldSurface::unsaid) strip.surface = same->surface;
      *same = strip;
    }
  }
  if (change.obstacle || change.no_obstacles || change.walked) {
    FieldState now;
    now.name = made.private_name;
    now.strips = made.strips;
    const auto which = find_strip(now, change.of_strip);
    if (!which) return tl::unexpected<Error>(which.error());
    FieldStrip& strip = made.strips[static_cast<std::size_t>(*which - now.strips.data())];
    if (change.no_obstacles) strip.obstacles.clear();
    if (change.obstacle) strip.obstacles.push_back(*change.obstacle);
    if (change.walked) strip.walked = change.walked;
  }
  for (const FieldStrip& strip : made.strips)
    if (auto fault = strip_fault(strip)) return fail(ErrorKind::out_of_range, *fault, strip.name);
  return PlainFacts(made);
}

}  // namespace headroom
