#include "core/track/clean.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "core/earth/geodesy.h"

namespace headroom {
namespace {

double step_seconds(UtcTime a, UtcTime b) {
  return static_cast<double>((b - a).count()) * 1e-3;
}

// Fixes in file order, except that whole segments marked by the recorder are put in order of their first time.
void order_segments(const Recording& recording, std::vector<std::uint32_t>& order, CleanReport& report) {
  struct Piece {
    UtcTime first;
    std::size_t begin, end;
  };
  std::vector<Piece> pieces;
  for (std::size_t i = 0; i < order.size(); ++i) {
    const Fix& f = recording.fixes[order[i]];
    if (i == 0 || f.segment != recording.fixes[order[i - 1]].segment) pieces.push_back({f.time, i, i});
    pieces.back().end = i + 1;
  }
  const auto earlier = [](const Piece& a, const Piece& b) { return a.first < b.first; };
  if (std::is_sorted(pieces.begin(), pieces.end(), earlier)) return;
  std::stable_sort(pieces.begin(), pieces.end(), earlier);
  std::vector<std::uint32_t> sorted;
  sorted.reserve(order.size());
  for (const Piece& p : pieces)
    sorted.insert(sorted.end(), order.begin() + static_cast<std::ptrdiff_t>(p.begin),
                  order.begin() + static_cast<std::ptrdiff_t>(p.end));
  order = std::move(sorted);
  report.segments_reordered = pieces.size();
}

// Keeps the longest run of strictly increasing times (patience sorting), so that one wild time stamp costs one fix and not
// all that follow it. Only called when the times are out of order.
void keep_increasing_times(const Recording& recording, std::vector<std::uint32_t>& order, CleanReport& report,
                           CleanScratch& scratch) {
  const std::size_t n = order.size();
  constexpr std::uint32_t none = 0xffffffff;
  scratch.tails.clear();
  scratch.chain.clear();
  scratch.chain_from.assign(n, none);
  for (std::size_t i = 0; i < n; ++i) {
    const std::int64_t t = recording.fixes[order[i]].time.time_since_epoch().count();
    const auto at = std::lower_bound(scratch.tails.begin(), scratch.tails.end(), t);
    const auto k = static_cast<std::size_t>(at - scratch.tails.begin());
    // Of fixes with equal times the first is kept: a later one does not replace it.
    if (at != scratch.tails.end() && *at == t) continue;
    if (k > 0) scratch.chain_from[i] = scratch.chain[k - 1];
    if (at == scratch.tails.end()) {
      scratch.tails.push_back(t);
      scratch.chain.push_back(static_cast<std::uint32_t>(i));
    } else {
      *at = t;
      scratch.chain[k] = static_cast<std::uint32_t>(i);
    }
  }
  std::vector<bool> keep(n, false);
  for (std::uint32_t i = scratch.chain.empty() ? none : scratch.chain.back(); i != none; i = scratch.chain_from[i])
    keep[i] = true;
  std::size_t out = 0;
  for (std::size_t i = 0; i < n; ++i) {
    if (keep[i]) {
      order[out++] = order[i];
      continue;
    }
    const UtcTime t = recording.fixes[order[i]].time;
    const bool repeated = out > 0 && recording.fixes[order[out - 1]].time == t;
    report.fate[order[i]] = repeated ? DropReason::repeated_time : DropReason::clock_went_back;
  }
  order.resize(out);
}

// A stretch of fixes none of whose steps is impossible. Joining stretches so that the most fixes stay is what tells a
// spike (a short stretch away from both sides) from a jump.
struct PossibleRun {
  std::size_t begin = 0, end = 0;
  double best = 0;       // fixes kept when the chain ends with this run, less the price of its impossible steps
  std::size_t from = 0;  // run before it in that chain; itself: none
};

// A receiver's solution sometimes steps and then stays there: both sides are good. An impossible step is accepted when
// more fixes than this would be lost by refusing it. No whole number, so that two chains are never worth the same by
// trading fixes for steps, and cleaning twice gives what cleaning once gave.
constexpr double kStepPrice = 10.37;

// Marks in `keep` the fixes of the best chain of runs. `possible(i, j)` says whether j can follow i (i before j). Looks back
// over at most 64 runs, which bounds the work on rubbish.
template <class Possible>
bool best_chain(std::size_t n, std::vector<PossibleRun>& runs, std::vector<bool>& keep, const Possible& possible) {
  runs.clear();
  for (std::size_t i = 0; i < n; ++i) {
    if (i == 0 || !possible(i - 1, i)) runs.push_back({i, i, 0, runs.size()});
    runs.back().end = i + 1;
  }
  if (runs.size() < 2) return false;
  std::size_t last = 0;
  for (std::size_t r = 0; r < runs.size(); ++r) {
    double most = 0;
    for (std::size_t back = 1; back <= 64 && back <= r; ++back) {
      const std::size_t q = r - back;
      if (runs[q].best <= most) continue;
      const double worth = runs[q].best - (possible(runs[q].end - 1, runs[r].begin) ? 0 : kStepPrice);
      if (worth > most) {
        most = worth;
        runs[r].from = q;
      }
    }
    runs[r].best = most + static_cast<double>(runs[r].end - runs[r].begin);
    if (runs[r].best > runs[last].best) last = r;
  }
  keep.assign(n, false);
  for (std::size_t r = last;; r = runs[r].from) {
    for (std::size_t i = runs[r].begin; i < runs[r].end; ++i) keep[i] = true;
    if (runs[r].from == r) break;
  }
  return true;
}

class StepCheck {
 public:
  bool operator()(const Fix& a, const Fix& b) {
    const MetresPerDegree scale = scale_.at(a.position.latitude_deg);
    const double north = scale.north * (b.position.latitude_deg - a.position.latitude_deg);
    const double east = scale.east * longitude_difference(a.position.longitude_deg, b.position.longitude_deg);
    const double reach = kStepSpeedMax_m_s * step_seconds(a.time, b.time);
    // The slack pays for rounded seconds only: over a longer step it would be no more than noise.
    const double limit = reach + (reach < 2 * kStepSpeedMax_m_s ? kStepSlack_m : 0);
    return north * north + east * east <= limit * limit;
  }

 private:
  MetricScale scale_;
};

void drop_jumps(const Recording& recording, std::vector<std::uint32_t>& order, CleanReport& report) {
  report.steps_kept = 0;
  StepCheck reachable;
  std::vector<PossibleRun> runs;
  std::vector<bool> keep;
  const auto possible = [&](std::size_t i, std::size_t j) {
    return reachable(recording.fixes[order[i]], recording.fixes[order[j]]);
  };
  if (!best_chain(order.size(), runs, keep, possible)) return;
  std::size_t out = 0;
  for (std::size_t i = 0; i < order.size(); ++i) {
    if (keep[i])
      order[out++] = order[i];
    else
      report.fate[order[i]] = DropReason::jump;
  }
  order.resize(out);
  for (std::size_t i = 1; i < out; ++i)
    if (!possible(i - 1, i)) ++report.steps_kept;
}

// A receiver that loses its fix may repeat the last position and then catch up in one step. The repeats are dropped when
// the catching-up step is more than 30 m, faster than 25 m/s and over 2.5 times as fast as the step after it; standing
// still and starting to move never looks like that.
void drop_frozen(const Recording& recording, std::vector<std::uint32_t>& order, CleanReport& report) {
  const auto fix = [&](std::size_t i) -> const Fix& { return recording.fixes[order[i]]; };
  const auto distance = [&](std::size_t i, std::size_t j) { return short_distance(fix(i).position, fix(j).position).si(); };
  const std::size_t n = order.size();
  std::vector<bool> frozen;
  for (std::size_t i = 0; i + 1 < n;) {
    std::size_t j = i;
    while (j + 1 < n && fix(j + 1).position == fix(i).position) ++j;
    if (j >= i + 2 && j + 2 < n) {
      const double step = distance(j, j + 1), dt = step_seconds(fix(j).time, fix(j + 1).time);
      const double after = distance(j + 1, j + 2) / step_seconds(fix(j + 1).time, fix(j + 2).time);
      const double whole = step / step_seconds(fix(i).time, fix(j + 1).time);
      if (step > 30 && step > 25 * dt && step > 2.5 * after * dt && whole > 2 && whole < kStepSpeedMax_m_s) {
        frozen.resize(n, false);
        for (std::size_t k = i + 1; k <= j; ++k) frozen[k] = true;
      }
    }
    i = std::max(j, i + 1);
  }
  if (frozen.empty()) return;
  std::size_t out = 0;
  for (std::size_t i = 0; i < n; ++i) {
    if (frozen[i])
      report.fate[order[i]] = DropReason::frozen;
    else
      order[out++] = order[i];
  }
  order.resize(out);
}

// One kind of height: set aside as a whole when it never moves, else those that cannot be reached from their neighbours.
// Returns whether the kind is usable.
template <class Has, class Value>
bool check_heights(std::vector<TrackFix>& fixes, std::uint64_t& set_aside, Has has, Value value) {
  std::vector<std::uint32_t> with;
  double low = 0, high = 0;
  for (std::size_t i = 0; i < fixes.size(); ++i) {
    if (!(fixes[i].*has)) continue;
    const double h = (fixes[i].*value).si();
    if (with.empty()) low = high = h;
    low = std::min(low, h);
    high = std::max(high, h);
    with.push_back(static_cast<std::uint32_t>(i));
  }
  if (with.empty()) return false;
  // All zero is a recorder without that sensor. A height stuck elsewhere for a whole recording of over 100 fixes is too.
  if (low == high && (low == 0 || with.size() > 100)) {
    for (const std::uint32_t i : with) fixes[i].*has = false;
    set_aside += with.size();
    return false;
  }
  std::vector<PossibleRun> runs;
  std::vector<bool> keep;
  const auto possible = [&](std::size_t i, std::size_t j) {
    const TrackFix &a = fixes[with[i]], &b = fixes[with[j]];
    const double dh = std::abs((a.*value).si() - (b.*value).si());
    return dh <= kHeightSpeedMax_m_s * step_seconds(a.time, b.time) + kHeightSlack_m;
  };
  if (best_chain(with.size(), runs, keep, possible))
    for (std::size_t i = 0; i < with.size(); ++i)
      if (!keep[i]) {
        fixes[with[i]].*has = false;
        ++set_aside;
      }
  return true;
}

Duration median_interval(const std::vector<TrackFix>& fixes) {
  std::vector<std::int64_t> steps;
  // A sample is enough for a median, and keeps the cost of long recordings down.
  const std::size_t stride = std::max<std::size_t>(1, fixes.size() / 1000);
  for (std::size_t i = 1; i < fixes.size(); i += stride) steps.push_back((fixes[i].time - fixes[i - 1].time).count());
  if (steps.empty()) return seconds(1);
  const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
  std::nth_element(steps.begin(), middle, steps.end());
  return seconds(static_cast<double>(*middle) * 1e-3);
}

void write_notes(const Track& track, CleanReport& report) {
  for (std::size_t r = 1; r < kDropReasons; ++r)
    if (report.dropped[r] > 0)
      report.notes.push_back(std::to_string(report.dropped[r]) + (report.dropped[r] == 1 ? " fix" : " fixes") +
                             " dropped: " + std::string(drop_reason_text(static_cast<DropReason>(r))));
  if (report.steps_kept > 0)
    report.notes.push_back(std::to_string(report.steps_kept) +
                           " impossible steps kept, since the positions stayed where they led");
  if (report.segments_reordered > 0)
    report.notes.emplace_back("parts of the recording stood out of order and were sorted by time");
  // A few gaps are named; of many, which a logger that writes only on movement leaves, the longest says enough.
  constexpr std::size_t kGapsNamed = 3;
  const auto gap_seconds = [](const TrackGap& gap) { return std::llround(duration_between(gap.from, gap.to).si()); };
  if (report.gaps.size() <= kGapsNamed) {
    for (const TrackGap& gap : report.gaps)
      report.notes.push_back("no fixes for " + std::to_string(gap_seconds(gap)) + " s from " + rfc3339(gap.from));
  } else {
    const auto longest = std::max_element(report.gaps.begin(), report.gaps.end(),
                                          [&](const TrackGap& a, const TrackGap& b) { return gap_seconds(a) < gap_seconds(b); });
    report.notes.push_back(std::to_string(report.gaps.size()) + " stretches of over a minute without fixes, the longest " +
                           std::to_string(gap_seconds(*longest)) + " s from " + rfc3339(longest->from));
  }
  if (!track.has_gnss && !track.has_pressure) report.notes.emplace_back("no heights: flight is told from rides by speed alone");
}

}  // namespace

std::string_view drop_reason_text(DropReason reason) {
  switch (reason) {
    case DropReason::kept:
      return "kept";
    case DropReason::no_time:
      return "no time";
    case DropReason::no_position:
      return "no position yet (0,0)";
    case DropReason::out_of_range:
      return "position out of range";
    case DropReason::repeated_time:
      return "second fix of the same instant";
    case DropReason::clock_went_back:
      return "clock out of order";
    case DropReason::frozen:
      return "position frozen while moving";
    case DropReason::jump:
      return "position that cannot be reached";
  }
  return "";
}

Result<void> clean(const Recording& recording, Track& track, CleanReport& report, CleanScratch& scratch) {
  std::vector<DropReason> kept_memory = std::move(report.fate);
  report = {};
  report.fate = std::move(kept_memory);
  const std::vector<Fix>& fixes = recording.fixes;
  report.fixes = fixes.size();
  report.fate.assign(fixes.size(), DropReason::kept);
  if (fixes.empty()) return fail(ErrorKind::bad_input, "no fixes in this recording");

  auto& order = scratch.order;
  order.clear();
  bool any_time = false, sorted = true, repeated_position = false;
  for (std::size_t i = 0; i < fixes.size(); ++i) {
    const Fix& f = fixes[i];
    any_time = any_time || f.has_time;
    DropReason& fate = report.fate[i];
    if (!f.has_time)
      fate = DropReason::no_time;
    else if (!(std::abs(f.position.latitude_deg) <= 90 && std::abs(f.position.longitude_deg) <= 180))
      fate = DropReason::out_of_range;
    else if (f.position.latitude_deg == 0 && f.position.longitude_deg == 0)
      fate = DropReason::no_position;
    if (fate != DropReason::kept) continue;
    if (!order.empty()) {
      const Fix& before = fixes[order.back()];
      sorted = sorted && before.time < f.time;
      repeated_position = repeated_position || before.position == f.position;
    }
    order.push_back(static_cast<std::uint32_t>(i));
  }
  if (!any_time) return fail(ErrorKind::bad_input, "no times in this recording: a drawing or a planned route holds no flight");
  if (!sorted) {
    order_segments(recording, order, report);
    keep_increasing_times(recording, order, report, scratch);
  }
  // A dropped jump may lay bare a frozen stretch, and the other way round: until nothing more falls, so that cleaning what
  // was kept drops nothing.
  for (std::size_t before = order.size() + 1; order.size() < before;) {
    before = order.size();
    if (repeated_position) drop_frozen(recording, order, report);
    drop_jumps(recording, order, report);
    repeated_position = true;
  }
  if (order.empty()) return fail(ErrorKind::bad_input, "no usable fix in this recording");

  track.gnss_datum = recording.gnss_datum;
  track.fixes.resize(order.size());
  for (std::size_t i = 0; i < order.size(); ++i) {
    const Fix& f = fixes[order[i]];
    TrackFix& t = track.fixes[i];
    t.time = f.time;
    t.position = f.position;
    t.pressure_altitude = f.pressure_altitude;
    t.gnss_height = f.gnss_height;
    t.source = order[i];
    t.has_pressure_altitude = f.has_pressure_altitude && std::abs(f.pressure_altitude.si()) < 30000;
    t.has_gnss_height = f.has_gnss_height && f.valid_3d && std::abs(f.gnss_height.si()) < 30000;
    if (f.has_gnss_height && !t.has_gnss_height) ++report.gnss_heights_set_aside;
    if (f.has_pressure_altitude && !t.has_pressure_altitude) ++report.pressure_heights_set_aside;
    if (i > 0 && step_seconds(track.fixes[i - 1].time, t.time) > kGapMin_s)
      report.gaps.push_back({track.fixes[i - 1].time, t.time, geodesic_distance(track.fixes[i - 1].position, t.position)});
  }
  track.has_gnss = check_heights(track.fixes, report.gnss_heights_set_aside, &TrackFix::has_gnss_height, &TrackFix::gnss_height);
  track.has_pressure = check_heights(track.fixes, report.pressure_heights_set_aside, &TrackFix::has_pressure_altitude,
                                     &TrackFix::pressure_altitude);
  track.interval = median_interval(track.fixes);
  for (const DropReason fate : report.fate)
    if (fate != DropReason::kept) ++report.dropped[static_cast<std::size_t>(fate)];
  report.kept = track.fixes.size();
  write_notes(track, report);
  return {};
}

}  // namespace headroom
