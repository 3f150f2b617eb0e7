#include "cli/debrief_files.h"

#include <array>

#include "app/flight_plot.h"
#include "formats/series_csv.h"

namespace headroom {

Result<void> check_outputs(const DebriefOutputs& outputs, std::size_t recordings) {
  struct Output {
    const char* option;
    const std::string& path;
    std::string_view ending;
  };
  for (const auto& o : {Output{"--series", outputs.series, ".csv"}, Output{"--plot", outputs.plot, ".svg"}}) {
    if (o.path.empty()) continue;
    // A slip of the hand must not write over a recording.
    if (!o.path.ends_with(o.ending))
      return fail(ErrorKind::bad_input, "the file to write needs a name that ends in " + std::string(o.ending), o.option);
    if (recordings != 1)
      return fail(ErrorKind::bad_input, "this works on one recording at a time; here are " + std::to_string(recordings),
                  o.option);
  }
  return {};
}

Result<void> write_outputs(const DebriefOutputs& outputs, const DebriefedFile& file, const Session& session, World& world) {
  if (!outputs.any() || file.error || !file.analysis) return {};
  std::vector<const FlightDetail*> details;
  for (const auto& f : file.flights) details.push_back(&f.detail);
  if (!outputs.series.empty()) {
    if (auto done = world.ports.files.write(outputs.series, series_csv(*file.analysis, details)); !done) return done;
  }
  if (outputs.plot.empty()) return {};
  auto plot = plan_flight_plot(*file.analysis, details, session.units, world.ports.clock, session.zone);
  if (!plot) return tl::unexpected<Error>(plot.error());
  if (file.simulated) plot->title += ", simulated";
  const auto svg = world.paper.draw(*plot);
  if (!svg) return tl::unexpected<Error>(svg.error());
  return world.ports.files.write(outputs.plot, *svg);
}

}  // namespace headroom
