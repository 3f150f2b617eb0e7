#include "core/weather/report.h"

namespace headroom {

bool is_thunderstorm(const WeatherCode& code) {
  return code.descriptor == "TS" || code.has("SQ") || code.has("FC");
}

bool is_precipitation(const WeatherCode& code) {
  if (code.descriptor == "SH") return true;
  for (const char* kind : {"DZ", "RA", "SN", "SG", "IC", "PL", "GR", "GS", "UP"})
    if (code.has(kind)) return code.descriptor != "BL" && code.descriptor != "DR";
  return false;
}

bool is_fog(const WeatherCode& code) {
  return code.has("FG");
}

bool is_freezing(const WeatherCode& code) {
  return code.descriptor == "FZ";
}

std::optional<HeightAboveGround> ceiling_of(const ReportedSky& sky) {
  std::optional<HeightAboveGround> lowest;
  for (const CloudLayer& layer : sky.layers) {
    using enum CloudLayer::Amount;
    if (layer.amount == few || layer.amount == scattered || !layer.base) continue;
    if (!lowest || *layer.base < *lowest) lowest = layer.base;
  }
  return lowest;
}

bool is_ceiling_known(const ReportedSky& sky) {
  for (const CloudLayer& layer : sky.layers) {
    using enum CloudLayer::Amount;
    if (layer.amount != few && layer.amount != scattered && !layer.base) return false;
    if (layer.amount == not_measured) return false;
  }
  return true;
}

bool has_cumulonimbus(const ReportedSky& sky) {
  for (const CloudLayer& layer : sky.layers)
    if (layer.convective == CloudLayer::Convective::cumulonimbus) return true;
  return false;
}

}  // namespace headroom
