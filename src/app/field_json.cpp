#include "app/field_json.h"

#include <fmt/format.h>

#include <cmath>

#include "app/said_time.h"
#include "formats/say.h"

namespace headroom {

AnswerJson field_json(const FieldState& f) {
  AnswerJson out = {{"id", f.id.text()},
                    {"name", f.name},
                    {"height_m", f.height ? AnswerJson(finite_number(f.height->si())) : AnswerJson(nullptr)},
                    {"latitude", f.position ? AnswerJson(finite_number(f.position->latitude_deg)) : AnswerJson(nullptr)},
                    {"longitude", f.position ? AnswerJson(finite_number(f.position->longitude_deg)) : AnswerJson(nullptr)},
                    {"note", f.text},
                    {"landable", f.landable},
                    {"photo_sha256", f.photo == Hash{} ? AnswerJson(nullptr) : AnswerJson(f.photo.text())}};
  auto strips = AnswerJson::array();
  for (const FieldStrip& s : f.strips) {
    auto obstacles = AnswerJson::array();
    for (const FieldObstacle& o : s.obstacles)
      obstacles.push_back({{"kind", obstacle_words(o.kind)},
                           {"distance_m", finite_number(in_metres(o.distance))},
                           {"height_m", finite_number(in_metres(o.height))}});
    strips.push_back({{"name", s.name},
                      {"towards_deg", finite_number(s.towards_deg)},
                      {"length_m", finite_number(in_metres(s.length))},
                      {"slope", finite_number(s.slope)},
                      {"surface", surface_words(s.surface)},
                      {"obstacles", obstacles},
                      {"walked", s.walked ? AnswerJson(rfc3339(*s.walked)) : AnswerJson(nullptr)}});
  }
  out["strips"] = strips;
  return out;
}

std::string strip_sentence(const FieldStrip& s, const Session& session, Clock& clock) {
  std::string out = fmt::format("{}: towards {:.0f}°, {}", s.name, s.towards_deg, say_distance(s.length, session.units));
  if (s.surface != FieldSurface::unsaid) out += ", " + std::string(surface_words(s.surface));
  if (s.slope != 0) out += fmt::format(", {:.1f} % {}", 100 * std::abs(s.slope), s.slope > 0 ? "up" : "down");
  for (const FieldObstacle& o : s.obstacles)
    out += fmt::format("; {} {} high at {}", obstacle_words(o.kind), say_height(o.height, session.units),
                       say_distance(o.distance, session.units));
  out += s.walked ? "; walked " + local_text(*s.walked, clock, session.zone, false)
                  : "; never walked, so its obstacles are not known";
  return out + ".";
}

std::string field_title(const FieldState& f, const Session& session) {
  std::string out = f.name;
  if (f.height) out += ", " + say_height(*f.height - AltitudeMsl{}, session.units) + " above sea level";
  if (f.position) out += fmt::format(", at {:.5f}, {:.5f}", f.position->latitude_deg, f.position->longitude_deg);
  return out;
}

}  // namespace headroom
