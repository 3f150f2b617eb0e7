#include "app/field_walk.h"

#include <fmt/format.h>

#include <cmath>

#include "app/geoid_on_demand.h"
#include "core/track/analyse.h"
#include "core/typed.h"
#include "formats/format.h"
#include "formats/recording_reader.h"
#include "formats/unpack.h"

namespace headroom {
namespace {

// A day's walk at ten fixes a second is less.
constexpr std::uint64_t kLargestWalk = 64ull << 20;

Result<std::string> recording_bytes(const std::string& path, Files& files) {
  std::string bytes;
  if (auto read = files.read(path, bytes, kLargestWalk); !read) return tl::unexpected<Error>(read.error());
  const auto format = sniff_format(bytes);
  if (format != Format::zip && format != Format::gzip) return bytes;
  auto packed = unpack(bytes);
  if (!packed) return tl::unexpected<Error>(packed.error());
  if (packed->size() != 1)
    return fail(ErrorKind::bad_input, fmt::format("this archive holds {} files; a walk is one", packed->size()));
  if (!packed->front().content) return tl::unexpected<Error>(packed->front().content.error());
  return std::string(*packed->front().content);
}

}  // namespace

Result<WalkedFile> read_walk_file(const std::string& path, Ports& ports) {
  const auto named = [&](Error error) {
    if (error.where.empty()) error.where = path;
    return tl::unexpected<Error>(std::move(error));
  };
  const auto bytes = recording_bytes(path, ports.files);
  if (!bytes) return named(bytes.error());
  ReadOptions options;
  options.latest_plausible = ports.clock.now() + std::chrono::days(2);
  auto recording = read_recording(*bytes, options);
  if (!recording) return named(recording.error());
  GeoidOnDemand geoid(ports.files);
  const Geoid* grid = recording->gnss_datum == HeightDatum::geoid ? nullptr : geoid.get();
  Workspace workspace;
  const auto analysis = analyse(*recording, grid, workspace);
  if (!analysis) return named(analysis.error());
  if (!analysis->flights.empty())
    return named({ErrorKind::refused,
                  fmt::format("this recording holds a flight of {:.0f} min, and a field is walked; record the walk alone",
                              in_seconds(analysis->flights.front().summary.air_time) / 60),
                  {}});
  auto walk = read_walk(analysis->track, grid);
  if (!walk) return named(walk.error());
  WalkedFile out;
  out.walk = std::move(*walk);
  out.format = recording->format;
  out.simulated = recording->simulated;
  for (const Warning& w : recording->warnings) out.notes.push_back(w.text);
  return out;
}

std::vector<FieldStrip> strips_of_walk(const Walk& walk, const std::string& name) {
  std::vector<FieldStrip> strips;
  for (const WalkedStrip& w : walk.strips) {
    FieldStrip strip;
    strip.towards_deg = std::fmod(std::round(w.towards_deg), 360);
    const auto tens = static_cast<int>(std::lround(strip.towards_deg / 10)) % 36;
    strip.name = !name.empty() ? (strips.empty() ? name : name + " back") : fmt::format("{:02}", tens == 0 ? 36 : tens);
    strip.length = metres(std::floor(in_metres(w.length)));
    if (w.slope) strip.slope = std::round(*w.slope * 1000) / 1000;
    strips.push_back(strip);
  }
  return strips;
}

Result<FieldChange> change_of_walk(const WalkedFile& walked, const std::string& field, const std::string& strip,
                                   const State& state) {
  const bool simulated_book = state.setting("book_is") == "simulated";
  if (walked.simulated != simulated_book)
    return fail(ErrorKind::refused,
                walked.simulated
                    ? "this recording is simulated and the book is a real one" + typed("; 'headroom demo' makes an invented book")
                    : "this recording is not simulated and the book is an invented one; choose another" + typed(" with --book"));
  FieldChange change;
  change.field = field;
  change.describe = true;
  const auto known = find_field(state, field);
  if (!known || !(*known)->position) change.position = walked.walk.centre;
  if (!known || !(*known)->height) change.height = walked.walk.height;
  change.strips = strips_of_walk(walked.walk, strip);
  change.slope_said = !walked.walk.strips.empty() && walked.walk.strips.front().slope.has_value();
  return change;
}

}  // namespace headroom
