// Makes a large invented book for bench/run:   headroom_large_book FILE FLIGHTS
// An assumed machine and pilot, then one flight a day: a recording, the flight, and now and then fuel, a reading, a plug
// look or a service. Written through the store that the program uses, so that its bytes are what the program would write.
#include <cstdio>
#include <cstdlib>
#include <random>

#include "adapters/sqlite/store.h"
#include "app/record.h"
#include "core/machine/default_machine.h"
#include "formats/hash.h"
#include "support/fake_clock.h"
#include "support/fake_random.h"

namespace {

using namespace headroom;

class LargeBook {
 public:
  explicit LargeBook(std::string path) : store_(std::move(path)), clock_(utc(2000, 1, 1, 6, 0), 0) {
    writer_ = fresh_id(clock_.time, chance_);
  }

  Result<void> begin() {
    std::vector<EntryId> ids(kDefaultIdCount);
    for (auto& id : ids) id = fresh_id(clock_.time, chance_);
    machine_ = ids[0];
    pilot_ = ids[1];
    add(PlainFacts(Setting{kBookIs, book_is_text(BookIs::simulated)}));
    for (const auto& fact : default_machine(ids)) {
      Draft draft{std::nullopt, Facts(fact.facts), clock_.time, 0};
      if (fact.id != EntryId{}) draft.id = fact.id;
      drafts_.push_back(draft);
    }
    return write();
  }

  Result<void> fly(int number) {
    clock_.time = utc(2000, 1, 2, 6, 0) + std::chrono::days(number);
    const auto recording = sha256("invented recording " + std::to_string(number));
    RecordingAttached attached;
    attached.recording = recording;
    attached.bytes = 150'000;
    attached.format = "igc";
    attached.fixes = attached.lines = 3'000;
    attached.simulated = true;
    attached.private_file_name = std::to_string(number) + ".igc";
    add(PlainFacts(attached));
    add(PlainFacts(flight(recording)));
    if (number % 2 == 0) add(PlainFacts(FuelFilled{litres(uniform(3, 9)), std::nullopt}));
    if (number % 5 == 0) add(PlainFacts(Reading{"head_maximum", in_kelvins(celsius(uniform(150, 190))), "K", std::nullopt}));
    if (number % 20 == 0) add(PlainFacts(PlugRead{PlugColour::tan, false, PlugMixture::unsaid}));
    if (number % 25 == 0) add(PlainFacts(ServiceDone{"plug", std::nullopt, {}}));
    if (number % 30 == 0) add(PlainFacts(Note{"an invented note of ordinary length about the day"}));
    return drafts_.size() < 500 ? Result<void>{} : write();
  }

  Result<void> write() {
    const auto ids = record(drafts_, {}, store_, writer_, clock_, chance_);
    drafts_.clear();
    if (!ids) return tl::unexpected<Error>(ids.error());
    return {};
  }

 private:
  double uniform(double low, double high) { return std::uniform_real_distribution<double>(low, high)(engine_); }
  void add(PlainFacts facts) { drafts_.push_back({std::nullopt, Facts(std::move(facts)), clock_.time, 0}); }

  FlightEntry flight(const Hash& recording) {
    FlightEntry f;
    f.recording = recording;
    f.machine = machine_;
    f.pilot = pilot_;
    const auto air = seconds(uniform(1200, 5400));
    f.launch = clock_.time + std::chrono::minutes(10);
    f.landing = shifted(f.launch, air);
    f.air_time = air;
    f.running_time = Estimate<Duration>{air * 1.02, air * 1.1, air * 1.25, assumed(), {}};
    f.analysis_version = kAnalysisVersion;
    f.summary.air_time = air;
    f.summary.track_length = metres(in_seconds(air) * 10);
    f.summary.farthest_distance = metres(uniform(2e3, 2e4));
    f.summary.launch_height = AltitudeMsl::from_si(420);
    f.summary.highest = AltitudeMsl::from_si(uniform(600, 1500));
    f.summary.height_gained = metres(uniform(400, 2000));
    f.has_positions = true;
    f.private_launch = f.private_landing = {46.5, 7.5};
    return f;
  }

  SqliteStore store_;
  FakeClock clock_;
  FakeRandom chance_;
  WriterId writer_;
  EntryId machine_, pilot_;
  std::vector<Draft> drafts_;
  std::mt19937 engine_{26};
};

int complain(const Error& error) {
  std::fprintf(stderr, "%s: %s\n", error.where.c_str(), error.what.c_str());
  return 1;
}

}  // namespace

int main(int count, char** arguments) {
  if (count != 3) {
    std::fputs("headroom_large_book FILE FLIGHTS\n", stderr);
    return 2;
  }
  LargeBook book(arguments[1]);
  if (auto done = book.begin(); !done) return complain(done.error());
  const int flights = std::atoi(arguments[2]);
  for (int number = 0; number < flights; ++number) {
    if (auto done = book.fly(number); !done) return complain(done.error());
  }
  if (auto done = book.write(); !done) return complain(done.error());
  return 0;
}
