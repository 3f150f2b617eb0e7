// Reads one recording into fixes and says how many, for the whole-process benches: nothing but the reader is in it.
#include <fstream>
#include <iostream>
#include <iterator>
#include <string>

#include "formats/recording_reader.h"

int main(int argc, char** argv) {
  if (argc != 2) {
    std::cerr << "usage: headroom_parse_file RECORDING\n";
    return 2;
  }
  std::ifstream file(argv[1], std::ios::binary | std::ios::ate);
  std::string bytes(file ? static_cast<std::size_t>(file.tellg()) : 0, '\0');
  file.seekg(0);
  file.read(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  const auto recording = headroom::read_recording(bytes);
  if (!recording) {
    std::cerr << recording.error().what << '\n';
    return 2;
  }
  std::cout << recording->fixes.size() << " fixes\n";
}
