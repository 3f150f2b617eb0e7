#include "formats/gpx_route.h"

#include <cstdlib>
#include <cstring>
#include <pugixml.hpp>
#include <string>

namespace headroom {
namespace {

constexpr std::size_t kLargestRoute = 16u << 20;
constexpr std::size_t kThinnedTo = 100;

const char* route_tag(const pugi::xml_node& node) {
  const char* colon = std::strchr(node.name(), ':');
  return colon != nullptr ? colon + 1 : node.name();
}

void collect_points(const pugi::xml_node& node, const char* tag, std::vector<RoutePoint>& out, bool& bad) {
  for (const pugi::xml_node& child : node.children()) {
    if (std::strcmp(route_tag(child), tag) == 0) {
      char *lat_end = nullptr, *lon_end = nullptr;
      const char *lat = child.attribute("lat").value(), *lon = child.attribute("lon").value();
      RoutePoint p;
      p.position = {std::strtod(lat, &lat_end), std::strtod(lon, &lon_end)};
      if (lat_end == lat || lon_end == lon || !(p.position.latitude_deg >= -90 && p.position.latitude_deg <= 90) ||
          !(p.position.longitude_deg >= -180 && p.position.longitude_deg <= 180))
        bad = true;
      for (const pugi::xml_node& name : child.children())
        if (std::strcmp(route_tag(name), "name") == 0) p.name = name.child_value();
      out.push_back(std::move(p));
    } else {
      collect_points(child, tag, out, bad);
    }
  }
}

}  // namespace

Result<std::vector<RoutePoint>> read_route(std::string_view bytes) {
  if (bytes.size() > kLargestRoute) return fail(ErrorKind::bad_input, "a route file is at most 16 MB");
  pugi::xml_document document;
  if (!document.load_buffer(bytes.data(), bytes.size()))
    return fail(ErrorKind::bad_input, "this is no GPX file: it is not well-formed XML");
  std::vector<RoutePoint> points;
  bool bad = false;
  for (const char* tag : {"rtept", "trkpt"}) {
    collect_points(document, tag, points, bad);
    if (points.size() >= 2 || bad) break;
    points.clear();
  }
  if (bad) return fail(ErrorKind::bad_input, "a point of this route is not a place on the earth");
  if (points.size() < 2) return fail(ErrorKind::bad_input, "this file holds no route or track of two points or more");
  if (points.size() > kThinnedTo) {
    std::vector<RoutePoint> thin;
    for (std::size_t i = 0; i < kThinnedTo; ++i) thin.push_back(points[i * (points.size() - 1) / (kThinnedTo - 1)]);
    points = std::move(thin);
  }
  for (std::size_t i = 0; i < points.size(); ++i)
    if (points[i].name.empty()) points[i].name = i == 0 ? "start" : "point " + std::to_string(i);
  return points;
}

}  // namespace headroom
