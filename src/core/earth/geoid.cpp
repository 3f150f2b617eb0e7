#include "core/earth/geoid.h"

#include <bit>
#include <cmath>
#include <cstdint>

namespace headroom {
namespace {

template <class Word, class Value>
Value big_endian(const char* p) {
  Word w = 0;
  for (std::size_t i = 0; i < sizeof(Word); ++i) w = static_cast<Word>((w << 8) | static_cast<unsigned char>(p[i]));
  return std::bit_cast<Value>(w);
}
constexpr std::size_t kGtxHeader = 40;

}  // namespace

Result<Geoid> Geoid::from_gtx(std::string bytes) {
  const auto bad = [](const char* why) { return fail(ErrorKind::bad_input, std::string("not a geoid grid: ") + why); };
  if (bytes.size() < kGtxHeader) return bad("shorter than its header");
  Geoid g;
  const char* p = bytes.data();
  g.latitude_0_ = big_endian<std::uint64_t, double>(p);
  g.longitude_0_ = big_endian<std::uint64_t, double>(p + 8);
  g.latitude_step_ = big_endian<std::uint64_t, double>(p + 16);
  g.longitude_step_ = big_endian<std::uint64_t, double>(p + 24);
  g.rows_ = big_endian<std::uint32_t, std::int32_t>(p + 32);
  g.columns_ = big_endian<std::uint32_t, std::int32_t>(p + 36);
  if (!(g.rows_ >= 2 && g.rows_ <= 100000 && g.columns_ >= 2 && g.columns_ <= 200000)) return bad("an odd number of nodes");
  if (!(g.latitude_step_ > 0 && g.longitude_step_ > 0 && std::abs(g.longitude_0_) <= 360)) return bad("odd steps");
  const auto cells = static_cast<std::size_t>(g.rows_) * static_cast<std::size_t>(g.columns_);
  if (bytes.size() != kGtxHeader + 4 * cells) return bad("its size is not that of its nodes");
  const bool whole = std::abs(g.latitude_0_ + 90) < 1e-6 && std::abs(g.latitude_step_ * (g.rows_ - 1) - 180) < 1e-6 &&
                     std::abs(g.longitude_step_ * g.columns_ - 360) < 1e-6;
  if (!whole) return bad("it does not cover the globe");
  g.bytes_ = std::move(bytes);
  return g;
}

double Geoid::node(int row, int column) const {
  const auto index = static_cast<std::size_t>(row) * static_cast<std::size_t>(columns_) + static_cast<std::size_t>(column);
  return static_cast<double>(big_endian<std::uint32_t, float>(bytes_.data() + kGtxHeader + 4 * index));
}

std::optional<Length> Geoid::undulation(GeoPosition p) const {
  if (!(std::abs(p.latitude_deg) <= 90 && std::isfinite(p.longitude_deg))) return std::nullopt;
  const double y = (p.latitude_deg - latitude_0_) / latitude_step_;
  double x = std::fmod((p.longitude_deg - longitude_0_) / longitude_step_, columns_);
  if (x < 0) x += columns_;
  const int row = std::min(static_cast<int>(y), rows_ - 2);
  const int column = std::min(static_cast<int>(x), columns_ - 1);  // fmod plus a tiny negative can give columns_ itself
  const double fy = y - row, fx = x - column;
  const int next = column + 1 == columns_ ? 0 : column + 1;
  const double south = node(row, column) * (1 - fx) + node(row, next) * fx;
  const double north = node(row + 1, column) * (1 - fx) + node(row + 1, next) * fx;
  return metres(south * (1 - fy) + north * fy);
}

std::optional<AltitudeMsl> altitude_msl(GnssHeight height, HeightDatum datum, GeoPosition at, const Geoid* geoid) {
  if (datum != HeightDatum::ellipsoid) return AltitudeMsl::from_si(height.si());
  if (geoid == nullptr) return std::nullopt;
  const auto n = geoid->undulation(at);
  if (!n) return std::nullopt;
  return AltitudeMsl::from_si(height.si() - n->si());
}

std::string datum_doubt(HeightDatum datum, GeoPosition at, const Geoid* geoid) {
  if (datum == HeightDatum::geoid) return {};
  if (datum == HeightDatum::ellipsoid) {
    if (geoid != nullptr && geoid->undulation(at)) return {};
    return "the GNSS heights count from the ellipsoid and no geoid is at hand: no heights above sea level";
  }
  std::string text = "datum not stated: the GNSS heights are taken as above sea level";
  if (geoid != nullptr)
    if (const auto n = geoid->undulation(at))
      text += "; if they count from the ellipsoid, they are " + std::to_string(std::lround(std::abs(n->si()))) + " m too " +
              (n->si() >= 0 ? "high" : "low") + " here";
  return text;
}

}  // namespace headroom
