#include "app/debrief.h"

#include <fmt/format.h>

#include <set>

#include "app/first_entries.h"
#include "app/load_state.h"
#include "app/record.h"
#include "core/earth/geoid.h"
#include "core/planning/brief.h"
#include "formats/format.h"
#include "formats/hash.h"
#include "formats/recording_reader.h"

namespace headroom {

namespace {

// No recorder of a day's flying writes more; what is larger is not read into memory.
constexpr std::uint64_t kLargestRecording = 256ull << 20;
constexpr std::uint64_t kSniffed = 64ull << 10;
constexpr std::uint64_t kLargestGrid = 16ull << 20;

// The geoid is read when the first recording needs it, and once.
class GeoidOnDemand {
 public:
  explicit GeoidOnDemand(Files& files) : files_(files) {}
  const Geoid* get() {
    if (!tried_) {
      tried_ = true;
      // Where Debian's proj-data puts the grid, and where a build by hand does. Without it heights over the ellipsoid stay
      // what they are, and the analysis says so.
      for (const char* path : {"/usr/share/proj/egm96_15.gtx", "/usr/local/share/proj/egm96_15.gtx"}) {
        std::string bytes;
        if (!files_.read(path, bytes, kLargestGrid)) continue;
        const auto* data = reinterpret_cast<const std::byte*>(bytes.data());
        if (auto geoid = Geoid::from_gtx({data, data + bytes.size()})) {
          geoid_ = std::move(*geoid);
          break;
        }
      }
    }
    return geoid_ ? &*geoid_ : nullptr;
  }

 private:
  Files& files_;
  bool tried_ = false;
  std::optional<Geoid> geoid_;
};

struct ReadFile {
  std::string bytes;
  Workspace workspace;
};

FlightEntry flight_entry(const Flight& flight, const Hash& recording, const FirstEntries& subjects, const std::string& path) {
  FlightEntry entry;
  entry.recording = recording;
  entry.machine = subjects.machine;
  entry.pilot = subjects.pilot;
  entry.launch = flight.launch;
  entry.landing = flight.landing;
  entry.begins_in_air = flight.begins_in_air;
  entry.ends_in_air = flight.ends_in_air;
  entry.air_time = flight.summary.air_time;
  entry.running_time = unknown_estimate<Duration>("positions do not tell idle from off");
  entry.analysis_version = kAnalysisVersion;
  entry.summary = flight.summary;
  entry.doubts = flight.doubts;
  entry.private_launch = flight.launch_position;
  entry.private_landing = flight.landing_position;
  entry.has_positions = true;
  entry.private_path = path;
  return entry;
}

// Reads and analyses one file. What cannot be used is in `file.error`; the result says whether there is anything to write.
bool read_and_analyse(DebriefedFile& file, ReadFile& reuse, Ports& ports, GeoidOnDemand& geoid, Result<Analysis>& analysis) {
  const auto refuse = [&](const Error& error) {
    file.error = error;
    if (file.error->where.empty()) file.error->where = file.path;
    return false;
  };
  if (auto head = ports.files.read_start(file.path, reuse.bytes, kSniffed); !head) return refuse(head.error());
  // Told by its first bytes, so that a huge file of something else is not read through.
  if (const auto format = sniff_format(reuse.bytes); format == Format::unknown || format == Format::empty) {
    const auto told = read_recording(reuse.bytes);
    return refuse(told ? Error{ErrorKind::bad_input, "this is no recording", {}} : told.error());
  }
  if (auto whole = ports.files.read(file.path, reuse.bytes, kLargestRecording); !whole) return refuse(whole.error());
  file.bytes = reuse.bytes.size();
  file.recording = sha256(reuse.bytes);
  ReadOptions options;
  options.latest_plausible = ports.clock.now() + std::chrono::days(2);
  const auto read = read_recording(reuse.bytes, options);
  if (!read) return refuse(read.error());
  const auto& recording = *read;
  file.format = recording.format;
  file.account = recording.account;
  file.warnings = recording.warnings;
  file.simulated = recording.simulated;
  analysis = analyse(recording, recording.gnss_datum == HeightDatum::geoid ? nullptr : geoid.get(), reuse.workspace);
  if (!analysis) return refuse(analysis.error());
  file.cleaned = analysis->clean;
  file.notes = analysis->notes;
  for (const auto& flight : analysis->flights) file.flights.push_back({flight, {}, {}});
  return true;
}

}  // namespace

Result<DebriefAnswer> debrief(const DebriefRequest& request, Ports& ports) {
  auto loaded = load_state(ports);
  if (!loaded) return tl::unexpected<Error>(loaded.error());
  const auto now = ports.clock.now();
  const bool fresh = loaded->state.entries == 0;
  const bool simulated_book = fresh ? request.simulated_book : loaded->state.setting("book_is") == "simulated";
  std::set<Hash> known;
  for (const auto& r : loaded->state.recordings) known.insert(r.hash);

  DebriefAnswer answer;
  ReadFile reuse;
  GeoidOnDemand geoid(ports.files);
  auto first = first_entries(loaded->state, simulated_book, true, now, request.offset_min, ports.random);
  for (std::size_t i = 0; i < request.paths.size(); ++i) {
    if (ports.progress.stop_requested()) break;
    ports.progress.step(request.paths[i], i, request.paths.size());
    auto& file = answer.files.emplace_back();
    file.path = request.paths[i];
    Result<Analysis> analysis = fail(ErrorKind::bad_input, "not read");
    if (!read_and_analyse(file, reuse, ports, geoid, analysis)) continue;
    if (request.write && file.simulated != simulated_book) {
      file.error =
          Error{ErrorKind::refused,
                file.simulated ? "this recording is simulated and the book is a real one; 'headroom demo' makes an invented book"
                               : "this recording is not simulated and the book is an invented one; choose another with --book",
                file.path};
      continue;
    }
    if (known.contains(file.recording)) {
      file.already_in_book = true;
      continue;
    }
    if (!request.write) continue;

    auto drafts = first.drafts;
    const auto add = [&](PlainFacts facts, UtcTime at) -> Draft& {
      auto& draft = drafts.emplace_back();
      draft.facts = std::move(facts);
      draft.at = at;
      draft.offset_min = request.offset_min;
      return draft;
    };
    const auto slash = file.path.find_last_of('/');
    const auto begins = analysis->track.fixes.empty() ? now : analysis->track.fixes.front().time;
    add(RecordingAttached{file.recording, file.bytes, file.format, file.account.fixes, file.account.lines, file.simulated,
                          file.warnings, slash == std::string::npos ? file.path : file.path.substr(slash + 1)},
        begins);
    const auto first_flight = drafts.size();
    for (std::size_t f = 0; f < file.flights.size(); ++f) {
      const auto& flight = file.flights[f].flight;
      add(flight_entry(flight, file.recording, first, analysis->paths[f]), flight.launch);
    }
    const NamedBlob blob{file.recording, reuse.bytes};
    const auto ids = record(drafts, {&blob, 1}, ports);
    if (!ids) return tl::unexpected<Error>(ids.error());
    for (std::size_t f = 0; f < file.flights.size(); ++f) file.flights[f].entry = (*ids)[first_flight + f];
    known.insert(file.recording);
    if (!first.assumed.empty()) answer.assumed = std::move(first.assumed);
    first.assumed.clear();
    first.drafts.clear();
    answer.written = true;
  }
  if (!answer.written) return answer;

  const auto after = load_state(ports);
  if (!after) return tl::unexpected<Error>(after.error());
  for (auto& file : answer.files)
    for (auto& found : file.flights)
      for (const auto& flight : after->state.flights)
        if (flight.id == found.entry && !flight.counts) found.same_as = flight.same_as;
  BriefRequest brief;
  brief.now = now;
  answer.newly_thin = newly_thin(make_brief(loaded->state, brief), make_brief(after->state, brief));
  return answer;
}

}  // namespace headroom
