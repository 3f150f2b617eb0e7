#include "formats/geojson.h"

#include <cmath>
#include <optional>

#include "formats/json_cursor.h"

namespace headroom {

namespace {

constexpr std::size_t kMostBytes = 32U << 20U, kMostPolygons = 5000, kMostPositions = 500000;

struct GeoJsonReader {
  const GeoJsonAreas& properties;
  AreaFile file{};
  std::size_t feature = 0, positions = 0;
  std::optional<Error> error{};

  bool refuse(std::string what) {
    if (!error) error = Error{ErrorKind::bad_input, std::move(what), feature > 0 ? "feature " + std::to_string(feature) : ""};
    return false;
  }

  bool position(JsonCursor& in, GeoPosition& p) {
    if (!in.enter_array()) return false;
    int n = 0;
    while (in.next_element()) {
      double v = 0;
      if (!in.read(v)) return false;
      if (n == 0) p.longitude_deg = v;
      if (n == 1) p.latitude_deg = v;
      ++n;
    }
    if (!in.ok()) return false;
    if (n < 2) return refuse("a position needs a longitude and a latitude");
    if (!(std::abs(p.longitude_deg) <= 180 && std::abs(p.latitude_deg) <= 90))
      return refuse("a position must have a longitude within 180 and a latitude within 90 degrees");
    if (++positions > kMostPositions) return refuse("more than 500000 positions");
    return true;
  }

  bool ring(JsonCursor& in, Ring& r) {
    if (!in.enter_array()) return false;
    while (in.next_element()) {
      GeoPosition p;
      if (!position(in, p)) return false;
      r.push_back(p);
    }
    if (!in.ok()) return false;
    if (r.size() < 4) return refuse("a ring needs four positions or more");
    if (!(r.front() == r.back())) return refuse("a ring must end where it began");
    r.pop_back();
    return true;
  }

  bool polygon(JsonCursor& in, std::vector<AirspaceArea>& out) {
    if (!in.enter_array()) return false;
    AirspaceArea area;
    while (in.next_element()) {
      Ring r;
      if (!ring(in, r)) return false;
      area.rings.push_back(std::move(r));
    }
    if (!in.ok()) return false;
    if (area.rings.empty()) return true;  // an empty polygon is no area
    if (file.areas.size() + out.size() >= kMostPolygons) return refuse("more than 5000 polygons");
    out.push_back(std::move(area));
    return true;
  }

  bool geometry(JsonCursor& in, std::string_view whole, std::vector<AirspaceArea>& out, std::string& type) {
    std::string_view key;
    std::size_t from = 0, to = 0;
    bool found = false;
    if (!in.enter_object()) return false;
    while (in.next_key(key)) {
      if (key == "type") {
        in.read(type);
      } else if (key == "coordinates") {
        from = in.offset();
        in.skip();
        to = in.offset();
        found = true;
      } else {
        in.skip();
      }
    }
    if (!in.ok()) return false;
    if (type != "Polygon" && type != "MultiPolygon") return true;
    if (!found) return refuse("a geometry has no coordinates");
    // The type may stand behind the coordinates, so that they are read when both are known.
    auto text = whole.substr(from, to - from);
    while (!text.empty() && text.front() != '[') text.remove_prefix(1);
    JsonCursor c(text);
    bool ok = true;
    if (type == "Polygon") {
      ok = polygon(c, out);
    } else if (c.enter_array()) {
      while (ok && c.next_element()) ok = polygon(c, out);
    }
    if (!ok || !c.finish()) return refuse(c.ok() ? "the coordinates cannot be read" : "coordinates: " + c.fault());
    return true;
  }

  // A number; nothing and no fault for null or text.
  bool height(JsonCursor& in, std::string_view whole, std::optional<double>& value) {
    auto at = in.offset();
    while (at < whole.size() &&
           (whole[at] == ' ' || whole[at] == '\n' || whole[at] == '\r' || whole[at] == '\t' || whole[at] == ':'))
      ++at;
    if (at < whole.size() && whole[at] == '"') return in.skip();
    if (in.read_null()) return true;
    double v = 0;
    if (!in.read(v)) return false;
    v *= properties.metres_per_unit;
    if (!(v >= -500 && v <= 50000)) return refuse("a height of an area must be -500 to 50000 m");
    value = v;
    return true;
  }

  bool read_feature(JsonCursor& in, std::string_view whole) {
    ++feature;
    std::string_view key;
    std::vector<AirspaceArea> found;
    std::string type, geometry_type, name;
    std::optional<double> floor, ceiling;
    if (!in.enter_object()) return false;
    while (in.next_key(key)) {
      if (key == "type") {
        in.read(type);
      } else if (key == "geometry") {
        if (!in.read_null() && !geometry(in, whole, found, geometry_type)) return false;
      } else if (key == "properties") {
        if (in.read_null()) continue;
        if (!in.enter_object()) return false;
        while (in.next_key(key)) {
          if (key == properties.floor) {
            if (!height(in, whole, floor)) return false;
          } else if (key == properties.ceiling) {
            if (!height(in, whole, ceiling)) return false;
          } else if (key == properties.name) {
            if (!in.read_null()) in.read(name);
          } else {
            in.skip();
          }
        }
      } else {
        in.skip();
      }
    }
    if (!in.ok()) return false;
    if (type != "Feature") return refuse("a feature must have the type Feature");
    if (floor && ceiling && *ceiling < *floor) return refuse("an area's ceiling is below its floor");
    const std::string which = "feature " + std::to_string(feature) + (name.empty() ? "" : " (" + name + ")");
    if (found.empty()) {
      file.warnings.push_back(which + " is no polygon and was left out");
      return true;
    }
    if (!floor) file.warnings.push_back(which + " has no number as its floor: it counts from the ground");
    for (auto& area : found) {
      area.name = name;
      if (floor) area.floor = AltitudeMsl::from_si(*floor);
      if (ceiling) area.ceiling = AltitudeMsl::from_si(*ceiling);
      file.areas.push_back(std::move(area));
    }
    return true;
  }
};

}  // namespace

Result<AreaFile> read_geojson_areas(std::string_view bytes, const GeoJsonAreas& properties) {
  if (bytes.size() > kMostBytes) return fail(ErrorKind::bad_input, "the file is larger than 32 MB");
  if (!(properties.metres_per_unit > 0 && properties.metres_per_unit <= 1000))
    return fail(ErrorKind::out_of_range, "a unit of height must be up to 1000 m");
  if (bytes.substr(0, 3) == "\xEF\xBB\xBF") bytes.remove_prefix(3);
  GeoJsonReader reader{properties};
  // The type of the whole is wanted before its members.
  std::string type;
  {
    JsonCursor in(bytes);
    std::string_view key;
    if (in.enter_object())
      while (in.next_key(key)) {
        if (key == "type")
          in.read(type);
        else
          in.skip();
      }
    if (!in.finish()) return fail(ErrorKind::bad_input, "this is not JSON: " + in.fault());
  }
  JsonCursor in(bytes);
  if (type == "Feature") {
    reader.read_feature(in, bytes);
  } else if (type == "FeatureCollection") {
    std::string_view key;
    bool found = false, ok = in.enter_object();
    while (ok && in.next_key(key)) {
      if (key != "features") {
        in.skip();
        continue;
      }
      found = true;
      ok = in.enter_array();
      while (ok && in.next_element()) ok = reader.read_feature(in, bytes);
    }
    if (ok && !found) return fail(ErrorKind::bad_input, "the collection has no features");
  } else {
    return fail(ErrorKind::bad_input, "a FeatureCollection or a Feature is needed");
  }
  if (reader.error) return tl::unexpected(*reader.error);
  if (!in.ok())
    return fail(ErrorKind::bad_input, in.fault(), reader.feature > 0 ? "feature " + std::to_string(reader.feature) : "");
  return std::move(reader.file);
}

}  // namespace headroom
