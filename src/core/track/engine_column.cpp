// What an engine column says: two classes learned from the recording itself, with hysteresis.
// Source: Otsu, IEEE Trans. Syst. Man Cybern. 9 (1979) 62-66 (the split with the largest variance between its classes).
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <string_view>
#include <utility>

#include "core/track/engine_parts.h"

namespace headroom::engine_parts {
namespace {

constexpr double kLoudNoise = 250;      // an engine on the aircraft reads more on the scale 0 to 999; common practice, no source
constexpr double kTurning_rpm = 300;    // under this nothing turns
constexpr double kLastingNoise_s = 12;  // shorter ones are knocks, doors, gear
constexpr double kBridged_s = 8;        // shorter dips inside a loud run are bridged
constexpr double kAboveIdle = 1.15;     // times the level at idle
constexpr double kTwoLevels = 1.4;      // between the means of two classes that are told apart
constexpr double kHeld_s = 5.5;         // without values its last class holds for this long: five seconds, and a clock's jitter
constexpr std::size_t kBins = 256;

struct Histogram {
  std::array<std::uint32_t, kBins> count{};
  double width = 1;
  std::uint64_t n = 0;
  void add(double x) {
    ++count[std::min(kBins - 1, static_cast<std::size_t>(std::max(0.0, x) / width))];
    ++n;
  }
  [[nodiscard]] double quantile(double q) const {
    std::uint64_t below = 0;
    for (std::size_t i = 0; i < kBins; ++i) {
      below += count[i];
      if (static_cast<double>(below) >= q * static_cast<double>(n)) return (static_cast<double>(i) + 0.5) * width;
    }
    return width * kBins;
  }
};

struct Split {
  double at = 0, low = 0, high = 0;  // threshold and class means
};
Split otsu(const Histogram& h, std::size_t from_bin) {
  double total = 0, weight = 0;
  for (std::size_t i = from_bin; i < kBins; ++i) {
    weight += h.count[i];
    total += h.count[i] * (static_cast<double>(i) + 0.5);
  }
  Split best;
  double most = -1, w0 = 0, s0 = 0;
  for (std::size_t i = from_bin; i + 1 < kBins; ++i) {
    w0 += h.count[i];
    s0 += h.count[i] * (static_cast<double>(i) + 0.5);
    const double w1 = weight - w0;
    if (w0 <= 0 || w1 <= 0) continue;
    const double m0 = s0 / w0, m1 = (total - s0) / w1, between = w0 * w1 * (m1 - m0) * (m1 - m0);
    if (between > most) most = between, best = {0.5 * (m0 + m1) * h.width, m0 * h.width, m1 * h.width};
  }
  return best;
}

// Runs of `what` shorter than `seconds` become `instead`.
void drop_short(std::vector<Heard>& heard, const Track& track, std::size_t first, Heard what, Heard instead, double seconds) {
  for (std::size_t i = 0; i < heard.size();) {
    std::size_t j = i;
    while (j + 1 < heard.size() && heard[j + 1] == heard[i]) ++j;
    const double length = duration_between(track.fixes[first + i].time, track.fixes[first + j].time).si();
    const bool inside = i > 0 && j + 1 < heard.size();
    if (heard[i] == what && length < seconds && (inside || what == Heard::loud))
      std::fill(heard.begin() + static_cast<std::ptrdiff_t>(i), heard.begin() + static_cast<std::ptrdiff_t>(j) + 1, instead);
    i = j + 1;
  }
}

// The level of noise from which on energy comes in: mean energy rate above the glide by level, made to rise with the level (pool
// adjacent violators: Barlow, Bartholomew, Bremner, Brunk, Statistical Inference under Order Restrictions, 1972), and where it
// passes a third of the sink. 0 when the levels tell nothing.
template <class Level>
double level_of_power(const EnergySeries& energy, const SinkPrior& sink, const Level& level, double lowest, double highest) {
  struct Pool {
    double from, seconds, gain;
  };
  constexpr std::size_t kPools = 24;
  std::array<Pool, kPools> bins{};
  const double width = (highest - lowest) / kPools;
  if (!(width > 0)) return 0;
  for (std::size_t b = 0; b < kPools; ++b) bins[b].from = lowest + width * static_cast<double>(b);
  for (const EnergyStep& e : energy.steps) {
    const double x = level(e.from + (e.to - e.from) / 2);
    if (!e.known || x < 0) continue;
    const auto b = std::min(kPools - 1, static_cast<std::size_t>(std::max(0.0, (x - lowest) / width)));
    const auto dt = static_cast<double>(e.dt_s);
    bins[b].seconds += dt;
    bins[b].gain += dt * (static_cast<double>(e.rate_m_s) + sink.mean * static_cast<double>(e.polar));
  }
  std::vector<Pool> pools;
  for (const Pool& bin : bins) {
    if (bin.seconds <= 0) continue;
    pools.push_back(bin);
    while (pools.size() > 1) {
      const Pool &a = pools[pools.size() - 2], b = pools.back();
      if (a.seconds >= 20 && a.gain / a.seconds <= b.gain / b.seconds) break;
      pools.pop_back();
      pools.back().seconds += b.seconds, pools.back().gain += b.gain;
    }
  }
  for (const Pool& p : pools)
    if (p.gain > 0.35 * sink.mean * p.seconds) return p.from;
  return 0;
}

ColumnSolution read_channel(const Channel& channel, const Track& track, std::size_t first, std::size_t last,
                            const FoundFlight& flight, const EnergySeries& energy, const SinkPrior* powered) {
  ColumnSolution out;
  const auto value = [&](std::size_t fix) {
    const std::uint32_t source = track.fixes[fix].source;
    const std::int32_t raw = source < channel.raw.size() ? channel.raw[source] : Channel::missing;
    return raw == Channel::missing ? -1.0 : raw * channel.scale;
  };
  const auto leave = [&](const char* why) {
    out.notes.push_back("Column " + channel.code + why + "; it is left alone.");
    out.code.clear();
    return out;
  };
  // Noise is taken as the median over some 5 s: it crackles.
  const bool crackles = channel.code != "RPM";
  const auto level_there = [&](std::size_t fix) {
    std::array<double, 5> near{};
    std::size_t n = 0;
    const std::size_t reach = crackles ? 2 : 0, from = fix > first + reach ? fix - reach : first;
    for (std::size_t i = from; i <= std::min(last, fix + reach); ++i)
      if (const double x = value(i); x >= 0 && std::abs(duration_between(track.fixes[fix].time, track.fixes[i].time).si()) < 2.5)
        near[n++] = x;
    if (n == 0) return -1.0;
    std::nth_element(near.begin(), near.begin() + static_cast<std::ptrdiff_t>(n / 2),
                     near.begin() + static_cast<std::ptrdiff_t>(n));
    return near[n / 2];
  };
  std::vector<float> levels(last - first + 1);
  for (std::size_t i = first; i <= last; ++i) levels[i - first] = static_cast<float>(level_there(i));
  const auto level = [&](std::size_t fix) { return static_cast<double>(levels[fix - first]); };
  double most = 0;
  std::size_t seen = 0;
  bool moves = false;
  double before = -1;
  for (std::size_t i = first; i <= last; ++i) {
    const double x = value(i);
    if (x < 0) continue;
    ++seen;
    most = std::max(most, x);
    moves = moves || (before >= 0 && x != before);
    before = x;
  }
  if (seen * 2 < last - first + 1) return leave(" is empty for most of the flight");
  if (!moves) return leave(" never changes");
  out.code = channel.code;
  out.revolutions = !crackles;
  Histogram all;
  all.width = std::max(most, 1.0) / (kBins - 1);
  for (std::size_t i = first; i <= last; ++i)
    if (const double x = level(i); x >= 0) all.add(x);
  const double floor = out.revolutions ? kTurning_rpm : kLoudNoise;
  double low = 0;  // below: quiet
  // What it shows on the ground while running is mostly idle.
  Histogram ground;
  ground.width = all.width;
  for (std::size_t i = first; i <= last; ++i)
    if (const double x = level(i); x > floor && (i < flight.first || i > flight.last)) ground.add(x);
  const double idle = static_cast<double>(ground.n) * track.interval.si() >= 15 ? ground.quantile(0.3) : 0;
  if (out.revolutions) {
    const auto turning = static_cast<std::size_t>(floor / all.width) + 1;
    const Split split = otsu(all, std::min(turning, kBins - 2));
    low = floor;
    const bool two_levels = split.high > kTwoLevels * split.low;
    out.threshold = std::max(floor, kAboveIdle * (idle > 0 ? idle : two_levels ? split.low : 0));
    out.has_loud = most > out.threshold;
    // It turns from end to end, and no other level tells whether that is idle or power.
    if (all.quantile(0.02) > floor && (!out.has_loud || (idle <= 0 && !two_levels))) return leave(" is at one level throughout");
  } else {
    const Split split = otsu(all, 0);
    out.quiet = split.low;
    out.threshold = std::max(split.at, floor);
    low = 0.75 * out.threshold;
    if (powered) {
      // Two-strokes are heard at idle too: from which level on is energy put in?
      const double from = level_of_power(energy, *powered, level, std::max(floor, kAboveIdle * idle), most);
      if (from > 0) out.threshold = from, low = 0.97 * from;
    }
    out.has_loud = split.high >= floor && split.high > kTwoLevels * split.low;
    if (!out.has_loud && split.high >= floor) return leave(" is at one level throughout");
  }
  for (std::size_t i = flight.first; i < flight.last; ++i) {
    const double x = level(i) / out.threshold, dt = duration_between(track.fixes[i].time, track.fixes[i + 1].time).si();
    if (x >= 1 && x < 1.06) out.just_above_s += dt;
    if (x >= 0.94 && x < 1) out.just_below_s += dt;
  }
  out.heard.assign(last - first + 1, Heard::quiet);
  bool on = false;
  Heard now = Heard::silent;
  std::size_t valued = first;
  for (std::size_t i = first; i <= last; ++i) {
    const double x = level(i);
    if (x < 0 && duration_between(track.fixes[valued].time, track.fixes[i].time).si() > kHeld_s) now = Heard::silent, on = false;
    if (x >= 0) {
      valued = i;
      if (out.revolutions) {
        now = x >= out.threshold ? Heard::loud : x > low ? Heard::middling : Heard::quiet;
      } else {
        on = on ? x >= low : x >= out.threshold;
        now = on ? Heard::loud : x >= low ? Heard::middling : Heard::quiet;
      }
    }
    out.heard[i - first] = now;
  }
  const double bridge = out.revolutions ? 2 : powered ? 3 : kBridged_s;
  for (const Heard h : {Heard::quiet, Heard::middling}) {
    // A dip between two loud ones.
    for (std::size_t i = 0; i < out.heard.size();) {
      std::size_t j = i;
      while (j + 1 < out.heard.size() && out.heard[j + 1] == out.heard[i]) ++j;
      const bool dip = out.heard[i] == h && i > 0 && j + 1 < out.heard.size() && out.heard[i - 1] == Heard::loud &&
                       out.heard[j + 1] == Heard::loud;
      if (dip && duration_between(track.fixes[first + i].time, track.fixes[first + j].time).si() < bridge)
        std::fill(out.heard.begin() + static_cast<std::ptrdiff_t>(i), out.heard.begin() + static_cast<std::ptrdiff_t>(j) + 1,
                  Heard::loud);
      i = j + 1;
    }
  }
  if (!out.revolutions) drop_short(out.heard, track, first, Heard::loud, Heard::middling, powered ? 4 : kLastingNoise_s);
  drop_short(out.heard, track, first, Heard::middling, Heard::quiet, 2);
  // Of a machine known to have an engine, knocks alone are not it either.
  const bool lasts = std::find(out.heard.begin(), out.heard.end(), Heard::loud) != out.heard.end();
  out.quiet_throughout = most < floor || (powered && !out.revolutions && !lasts);
  return out;
}

}  // namespace

ColumnSolution read_column(const Recording& recording, const Track& track, std::size_t first, std::size_t last,
                           const FoundFlight& flight, const EnergySeries& energy, const SinkPrior* powered) {
  ColumnSolution quiet;
  std::vector<std::string> notes;
  for (const std::string_view code : {"RPM", "MOP", "ENL"})
    for (const Channel& channel : recording.channels) {
      if (channel.code != code) continue;
      ColumnSolution c = read_channel(channel, track, first, last, flight, energy, powered);
      notes.insert(notes.end(), c.notes.begin(), c.notes.end());
      if (c.code.empty()) continue;
      if (!c.quiet_throughout) {
        if (!quiet.code.empty()) notes.push_back("Column " + quiet.code + " is quiet throughout; it is left alone.");
        c.notes = std::move(notes);
        return c;
      }
      if (quiet.code.empty()) quiet = std::move(c);
    }
  quiet.notes = std::move(notes);
  return quiet;
}

}  // namespace headroom::engine_parts
