#include "app/debrief.h"

#include <fmt/format.h>

#include <cmath>
#include <set>

#include "app/first_entries.h"
#include "app/geoid_on_demand.h"
#include "app/load_state.h"
#include "app/record.h"
#include "core/planning/brief.h"
#include "core/typed.h"
#include "formats/format.h"
#include "formats/hash.h"
#include "formats/recording_reader.h"
#include "formats/unpack.h"

namespace headroom {

namespace {

// No recorder of a day's flying writes more; what is larger is not read into memory.
constexpr std::uint64_t kLargestRecording = 256ull << 20;
constexpr std::size_t kHeldBytes = 8u << 20;
constexpr std::uint64_t kSniffed = 64ull << 10;

FlightEntry flight_entry(const DebriefedFlight& debriefed, const Hash& recording, const FirstEntries& subjects,
                         const std::string& path, AircraftKnown aircraft) {
  const Flight& flight = debriefed.flight;
  FlightEntry entry;
  entry.recording = recording;
  entry.machine = subjects.machine;
  entry.pilot = subjects.pilot;
  entry.launch = flight.launch;
  entry.landing = flight.landing;
  entry.begins_in_air = flight.begins_in_air;
  entry.ends_in_air = flight.ends_in_air;
  entry.air_time = flight.summary.air_time;
  // What an unknown aircraft gained in the air may be lift: its engine hours then go by the air time.
  const EngineSolution& engine = debriefed.detail.engine;
  const bool told = engine.known() && (engine.source == EngineSource::column || aircraft == AircraftKnown::powered_paraglider);
  entry.running_time = told ? engine.running_time : unknown_estimate<Duration>("positions do not tell idle from off");
  // What could not be told is not kept, and a figure that makes no sense must not keep the flight out of the book.
  for (const FlightMeasure& m : debriefed.detail.measures) {
    const auto sound = [](const Amount& a) {
      return a.known() && std::isfinite(a.low) && std::isfinite(a.high) && a.low <= a.mid && a.mid <= a.high;
    };
    if (sound(m.as_flown) && (!m.standard || sound(*m.standard))) entry.measures.push_back(m);
  }
  entry.analysis_version = kAnalysisVersion;
  entry.summary = flight.summary;
  entry.doubts = flight.doubts;
  entry.private_launch = flight.launch_position;
  entry.private_landing = flight.landing_position;
  entry.has_positions = true;
  entry.private_path = path;
  return entry;
}

// One call of debrief, file by file and recording by recording.
class Debriefing {
 public:
  Debriefing(const DebriefRequest& request, Ports& ports, const LoadedState& loaded)
      : request_(request),
        ports_(ports),
        now_(ports.clock.now()),
        simulated_book_(loaded.state.entries == 0 ? request.simulated_book : loaded.state.setting("book_is") == "simulated"),
        geoid_(ports.files),
        first_(first_entries(loaded.state, simulated_book_, true, now_, request.offset_min, ports.random)) {
    const auto* machine = loaded.state.machine ? loaded.state.find_machine(*loaded.state.machine) : nullptr;
    if (machine != nullptr && !machine->assumed) details_.aircraft = AircraftKnown::powered_paraglider;
    for (const auto& r : loaded.state.recordings) known_.insert(r.hash);
  }

  // An error is one of the book and ends the call; what is wrong with a file stands in its answer.
  [[nodiscard]] Result<void> take_path(const std::string& path, const std::string& called) {
    if (auto head = ports_.files.read_start(path, bytes_, kSniffed); !head) return refuse(called, head.error());
    // Told by its first bytes, so that a huge file of something else is not read through.
    const auto format = sniff_format(bytes_);
    if (format == Format::unknown || format == Format::empty) {
      const auto told = read_recording(bytes_);
      return refuse(called, told ? Error{ErrorKind::bad_input, "this is no recording", {}} : told.error());
    }
    if (auto whole = ports_.files.read(path, bytes_, kLargestRecording); !whole) return refuse(called, whole.error());
    if (format != Format::zip && format != Format::gzip) return take_recording(called, bytes_, path);

    // Archives are stored unpacked: each recording in one stands for itself, under its own hash.
    const auto files = unpack(bytes_);
    if (!files) return refuse(called, files.error());
    if (files->empty()) return refuse(called, {ErrorKind::bad_input, "this archive holds no file", {}});
    for (const auto& file : *files) {
      const auto name = file.name.empty() ? called : called + ": " + file.name;
      auto taken = file.content ? take_recording(name, *file.content, {}) : refuse(name, file.content.error());
      if (!taken) return taken;
    }
    return {};
  }

  DebriefAnswer answer;

 private:
  Result<void> refuse(const std::string& path, const Error& error) {
    auto& file = answer.files.emplace_back();
    file.path = path;
    file.error = error;
    if (file.error->where.empty()) file.error->where = path;
    return {};
  }

  // `path` is what the recording is called. With `of_file` `bytes` are those of bytes_, read from that file, and may be read
  // again.
  [[nodiscard]] Result<void> take_recording(const std::string& path, std::string_view bytes, const std::string& of_file) {
    ReadOptions options;
    options.latest_plausible = now_ + std::chrono::days(2);
    auto recording = read_recording(bytes, options);
    if (!recording) return refuse(path, recording.error());
    auto& file = answer.files.emplace_back();
    file.path = path;
    file.bytes = bytes.size();
    file.recording = sha256(bytes);
    file.format = recording->format;
    file.account = std::move(recording->account);
    file.warnings = std::move(recording->warnings);
    file.simulated = recording->simulated;
    // The bytes of a recording of days are not held beside its track: they are read again to be written.
    const bool again = !of_file.empty() && bytes.size() > kHeldBytes;
    if (again) std::string().swap(bytes_);
    auto analysis =
        analyse_giving_up_fixes(*recording, recording->gnss_datum == HeightDatum::geoid ? nullptr : geoid_.get(), workspace_);
    if (!analysis) {
      file.error = analysis.error();
      if (file.error->where.empty()) file.error->where = path;
      return {};
    }
    file.cleaned = analysis->clean;
    file.notes = analysis->notes;
    for (std::size_t f = 0; f < analysis->flights.size(); ++f) {
      auto& told = file.flights.emplace_back();
      told.flight = analysis->flights[f];
      told.detail = tell_flight(*recording, *analysis, analysis->found[f], details_);
      if (auto doubt = aircraft_doubt(told.detail.measures); !doubt.empty()) told.flight.doubts.push_back(std::move(doubt));
      if (!request_.keep_track) told.detail.keep_summary();
    }
    const auto paths = std::move(analysis->paths);
    const auto begins = analysis->track.fixes.empty() ? now_ : analysis->track.fixes.front().time;
    if (request_.keep_track)
      file.analysis = std::make_shared<const Analysis>(std::move(*analysis));
    else if (!again)
      workspace_.give_back(std::move(*analysis));
    else
      analysis = Analysis{};
    if (known_.contains(file.recording)) {
      file.already_in_book = true;
      return {};
    }
    if (!request_.write) return {};
    if (file.simulated != simulated_book_) {
      file.error =
          Error{ErrorKind::refused,
                file.simulated
                    ? "this recording is simulated and the book is a real one" + typed("; 'headroom demo' makes an invented book")
                    : "this recording is not simulated and the book is an invented one; choose another" + typed(" with --book"),
                path};
      return {};
    }
    if (!again) return write(file, begins, paths, bytes);
    if (auto whole = ports_.files.read(of_file, bytes_, kLargestRecording); !whole) {
      file.error = whole.error();
      return {};
    }
    if (sha256(bytes_) != file.recording) {
      file.error = Error{ErrorKind::refused, "the file changed while it was read; try again", path};
      return {};
    }
    return write(file, begins, paths, bytes_);
  }

  // The recording, its entry and its flights in one transaction, a fresh book's first entries before them.
  [[nodiscard]] Result<void> write(DebriefedFile& file, UtcTime begins, const std::vector<std::string>& paths,
                                   std::string_view bytes) {
    auto drafts = first_.drafts;
    const auto add = [&](PlainFacts facts, UtcTime at) {
      auto& draft = drafts.emplace_back();
      draft.facts = std::move(facts);
      draft.at = at;
      draft.offset_min = request_.offset_min;
    };
    const auto slash = file.path.find_last_of('/');
    add(RecordingAttached{file.recording, file.bytes, file.format, file.account.fixes, file.account.lines, file.simulated,
                          file.warnings, slash == std::string::npos ? file.path : file.path.substr(slash + 1)},
        begins);
    const auto first_flight = drafts.size();
    for (std::size_t f = 0; f < file.flights.size(); ++f) {
      const auto& debriefed = file.flights[f];
      add(flight_entry(debriefed, file.recording, first_, paths[f], details_.aircraft), debriefed.flight.launch);
    }
    const NamedBlob blob{file.recording, bytes};
    const auto ids = record(drafts, {&blob, 1}, ports_);
    if (!ids) return tl::unexpected<Error>(ids.error());
    for (std::size_t f = 0; f < file.flights.size(); ++f) file.flights[f].entry = (*ids)[first_flight + f];
    known_.insert(file.recording);
    if (!first_.assumed.empty()) answer.assumed = std::move(first_.assumed);
    first_.assumed.clear();
    first_.drafts.clear();
    answer.written = true;
    return {};
  }

  const DebriefRequest& request_;
  Ports& ports_;
  UtcTime now_;
  bool simulated_book_;
  GeoidOnDemand geoid_;
  FirstEntries first_;
  std::set<Hash> known_;
  std::string bytes_;
  Workspace workspace_;
  DetailOptions details_;
};

}  // namespace

Result<DebriefAnswer> debrief(const DebriefRequest& request, Ports& ports) {
  const auto loaded = load_state(ports);
  if (!loaded) return tl::unexpected<Error>(loaded.error());
  Debriefing debriefing(request, ports, *loaded);
  for (std::size_t i = 0; i < request.paths.size(); ++i) {
    if (ports.progress.stop_requested()) break;
    ports.progress.step(request.paths[i], i, request.paths.size());
    if (auto taken = debriefing.take_path(request.paths[i], i < request.names.size() ? request.names[i] : request.paths[i]);
        !taken)
      return tl::unexpected<Error>(taken.error());
  }
  auto answer = std::move(debriefing.answer);
  if (!answer.written) return answer;

  const auto after = load_state(ports);
  if (!after) return tl::unexpected<Error>(after.error());
  // A folder of old recordings is a table without measures; beside the usual are set the few that are told in full.
  constexpr std::size_t kTold = 8;
  for (auto& file : answer.files)
    for (auto& found : file.flights) {
      for (const auto& flight : after->state.flights)
        if (flight.id == found.entry && !flight.counts) found.same_as = flight.same_as;
      if (found.entry == EntryId{} || answer.files.size() > kTold) continue;
      if (auto usual = usual_of_flight(after->state, found.entry)) found.usual = std::move(*usual);
    }
  BriefRequest brief;
  brief.now = ports.clock.now();
  answer.newly_thin = newly_thin(make_brief(loaded->state, brief), make_brief(after->state, brief));
  return answer;
}

}  // namespace headroom
