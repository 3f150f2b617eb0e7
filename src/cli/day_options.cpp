#include "cli/day_options.h"

namespace headroom {

Result<std::string> text_or_file(const std::string& said, World& world) {
  std::string text = said;
  if (text.find(' ') == std::string::npos)
    if (auto read = world.ports.files.read(said, text, 64u << 10); !read) return tl::unexpected<Error>(read.error());
  return text;
}

Result<void> read_named_files(SaidDay& said, World& world) {
  for (std::string* text : {&said.metar, &said.taf})
    if (!text->empty()) {
      auto read = text_or_file(*text, world);
      if (!read) return tl::unexpected<Error>(read.error());
      *text = std::move(*read);
    }
  constexpr std::uint64_t kMostRoute = 16ull << 20, kMostAirspace = 64ull << 20;
  for (const auto& [text, most] : {std::pair{&said.route, kMostRoute}, std::pair{&said.airspace, kMostAirspace}})
    if (!text->empty()) {
      std::string bytes;
      if (auto read = world.ports.files.read(*text, bytes, most); !read) return tl::unexpected<Error>(read.error());
      *text = std::move(bytes);
    }
  return {};
}

void add_day_options(CLI::App& c, SaidDay& o) {
  c.add_option("--field", o.field, "Where: a field of the book (headroom field)")->type_name("FIELD");
  c.add_option("--strip", o.strip, "Which strip of it")->type_name("STRIP");
  c.add_option("--ground", o.ground, "Today: firm, dry grass, wet grass, soft or snow")->type_name("GROUND");
  c.add_flag("--mown", o.mown, "Today the long grass of the strip is mown");
  c.add_option("--wind", o.wind, "At the field: 240/12kt, \"240/12kt gust 18kt\", calm")->type_name("WIND");
  c.add_option("--windsock", o.windsock, "Instead: degrees it hangs below the level; 240/45 with where the wind comes from")
      ->type_name("ANGLE");
  c.add_option("--wind-aloft", o.aloft, "Where the flight goes: 250/25kt, or flight: as your last flight of the day found it")
      ->type_name("WIND");
  c.add_option("--metar", o.metar, "A METAR, pasted, or a file holding one; what is typed beside it comes first")
      ->type_name("TEXT");
  c.add_option("--taf", o.taf, "A TAF, pasted, or a file holding one: the wind and the sky until the landing")->type_name("TEXT");
  c.add_option("--station", o.station, "How far the station of report and forecast is from the field (20 km when not said)")
      ->type_name("DISTANCE");
  c.add_flag("--hills", o.hills, "Hills, a coast or a large water lie between it and the field");
  c.add_option("--temperature", o.temperature, "Of the air at the field")->type_name("TEMP");
  c.add_option("--dew-point", o.dew_point, "The same")->type_name("TEMP");
  c.add_option("--qnh", o.qnh, "Pressure at sea level")->type_name("PRESSURE");
  c.add_option("--visibility", o.visibility, "How far one sees")->type_name("DISTANCE");
  c.add_option("--cloud-base", o.cloud_base, "Above the field, or none")->type_name("HEIGHT");
  c.add_option("--sky", o.sky, "Seen or foretold: nothing, rain, fog, thunderstorm")->type_name("WORD");
  c.add_option("--tank", o.tank, "What is in the tank, looked at now")->type_name("VOLUME");
  c.add_option("--all-up", o.all_up, "All-up mass, in place of the kit list")->type_name("MASS");
  c.add_flag("--wheels", o.wheels, "From wheels, not on foot");
  c.add_flag("--borrower", o.borrower, "Somebody else flies: figures are assumed anew");
  c.add_option("--pilot-mass", o.pilot_mass, "Mass of who borrows it")->type_name("MASS");
  c.add_option("--passenger", o.passenger, "Mass of a passenger")->type_name("MASS");
  c.add_option("--light", o.light, "Until: sunset, beacon, twilight, own (headroom enter figure light_after_sunset)")
      ->type_name("RULE");
  c.add_option("--who-knows", o.who, "Who knows where and until when")->type_name("NAME");
  c.add_option("--overdue", o.overdue, "From when on they look for you (default: 45 minutes after the landing)")
      ->type_name("WHEN");
  c.add_flag("--over-water", o.over_water, "The route leads over water");
  c.add_option("--route", o.route, "A GPX route or track to fly")->type_name("FILE");
  c.add_option("--route-height", o.height, "Height above sea level along it")->type_name("HEIGHT");
  c.add_option("--airspace", o.airspace, "Your own map of areas, GeoJSON")->type_name("FILE");
  // An empty text is a variable or a file that was not there: taken for nothing said, it would hide that.
  const CLI::Validator something([](std::string& text) { return text.empty() ? std::string("is empty") : std::string(); }, "");
  for (CLI::Option* option : c.get_options([](const CLI::Option* x) { return x->get_expected_max() > 0; }))
    option->check(something);
}

}  // namespace headroom
