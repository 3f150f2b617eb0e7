#include "formats/igc_write.h"

#include <chrono>
#include <cmath>
#include <cstdlib>

namespace headroom {
namespace {

constexpr const char* kLineEnd = "\r\n";

void put_number(std::string& out, long value, int width) {
  std::string digits = std::to_string(std::labs(value));
  const int places = value < 0 ? width - 1 : width;
  if (value < 0) out += '-';
  out.append(static_cast<std::size_t>(places) - digits.size(), '0');
  out += digits;
}

bool fits(long value, int width) {
  long most = 1;
  for (int i = 0; i < width - (value < 0 ? 1 : 0); ++i) most *= 10;
  return std::labs(value) < most;
}

// Degrees, minutes and thousandths, rounded as a whole so that 59.9996 minutes carries into the degree.
void put_angle(std::string& out, double degrees, int degree_width, char positive, char negative) {
  const long thousandths = std::lround(std::abs(degrees) * 60000.0);
  put_number(out, thousandths / 60000, degree_width);
  put_number(out, thousandths % 60000, 5);
  out += degrees < 0 ? negative : positive;
}

void put_date(std::string& out, std::chrono::year_month_day day) {
  put_number(out, static_cast<long>(static_cast<unsigned>(day.day())), 2);
  put_number(out, static_cast<long>(static_cast<unsigned>(day.month())), 2);
  put_number(out, static_cast<int>(day.year()) % 100, 2);
}

int column_width(const std::string& code) {
  if (code == "ENL") return 3;
  if (code == "RPM") return 5;
  return 0;
}

}  // namespace

Result<std::string> write_simulated_igc(const Recording& recording, const IgcWriteOptions& options) {
  if (!recording.simulated) return fail(ErrorKind::refused, "only simulated recordings are written as IGC");
  if (recording.fixes.empty()) return fail(ErrorKind::bad_input, "a recording without fixes makes no IGC file");
  for (const Channel& channel : recording.channels) {
    if (column_width(channel.code) == 0 || channel.raw.size() != recording.fixes.size())
      return fail(ErrorKind::bad_input, "cannot write the column " + channel.code);
  }
  auto day = std::chrono::floor<std::chrono::days>(recording.fixes.front().time);

  std::string out;
  out.reserve(recording.fixes.size() * 40 + 600);
  const auto line = [&out](const std::string& text) { out += text, out += kLineEnd; };
  line("AXXX001SIMULATED");
  out += options.long_date ? "HFDTEDATE:" : "HFDTE";
  put_date(out, std::chrono::year_month_day(day));
  line(options.long_date ? ",01" : "");
  line("HFPLTPILOTINCHARGE:" + options.pilot);
  line("HFGTYGLIDERTYPE:" + options.aircraft);
  line("HFDTM100GPSDATUM:WGS-1984");
  line("HFFTYFRTYPE:SIMULATED");
  line("HFALGALTGPS:ELL");
  line("HFALPALTPRESSURE:ISA");
  if (!recording.channels.empty()) {
    out += 'I';
    put_number(out, static_cast<long>(recording.channels.size()), 2);
    int begin = 36;
    for (const Channel& channel : recording.channels) {
      const int end = begin + column_width(channel.code) - 1;
      put_number(out, begin, 2);
      put_number(out, end, 2);
      out += channel.code;
      begin = end + 1;
    }
    line("");
  }
  line("LXXXSIMULATED invented data: no such flight took place");

  for (std::size_t i = 0; i < recording.fixes.size(); ++i) {
    const Fix& fix = recording.fixes[i];
    const auto fix_day = std::chrono::floor<std::chrono::days>(fix.time);
    const int year = static_cast<int>(std::chrono::year_month_day(fix_day).year());
    if (!fix.has_time || year < 1970 || year > 2069) return fail(ErrorKind::bad_input, "a fix has no time that IGC can hold");
    if (fix_day != day) {
      // Times of day alone would be read right as well; a new date record leaves no doubt.
      day = fix_day;
      out += "HFDTE";
      put_date(out, std::chrono::year_month_day(day));
      line("");
    }
    const long second = static_cast<long>(std::chrono::floor<std::chrono::seconds>(fix.time - fix_day).count());
    out += 'B';
    put_number(out, second / 3600, 2);
    put_number(out, second / 60 % 60, 2);
    put_number(out, second % 60, 2);
    put_angle(out, fix.position.latitude_deg, 2, 'N', 'S');
    put_angle(out, fix.position.longitude_deg, 3, 'E', 'W');
    out += fix.valid_3d ? 'A' : 'V';
    const long pressure = fix.has_pressure_altitude ? std::lround(fix.pressure_altitude.si()) : 0;
    const long gnss = fix.has_gnss_height ? std::lround(fix.gnss_height.si()) : 0;
    if (!fits(pressure, 5) || !fits(gnss, 5)) return fail(ErrorKind::bad_input, "a height does not fit an IGC line");
    put_number(out, pressure, 5);
    put_number(out, gnss, 5);
    for (const Channel& channel : recording.channels) {
      const std::int32_t value = channel.raw[i] == Channel::missing ? 0 : channel.raw[i];
      if (value < 0 || !fits(value, column_width(channel.code)))
        return fail(ErrorKind::bad_input, "a value of column " + channel.code + " does not fit");
      put_number(out, value, column_width(channel.code));
    }
    line("");
  }
  return out;
}

}  // namespace headroom
