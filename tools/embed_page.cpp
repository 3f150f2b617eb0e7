// embed_page FOLDER OUT.cpp: every file of a folder as a C++ source, compressed where that makes it smaller.
#include <zlib.h>

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

namespace {

// gzip without a time or a name in it: the same bytes for the same file.
std::string gzipped(const std::string& bytes) {
  z_stream z{};
  constexpr int kGzip = 16;
  if (deflateInit2(&z, Z_BEST_COMPRESSION, Z_DEFLATED, MAX_WBITS + kGzip, 9, Z_DEFAULT_STRATEGY) != Z_OK) return {};
  std::string out(deflateBound(&z, bytes.size()), '\0');
  z.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(bytes.data()));
  z.avail_in = static_cast<uInt>(bytes.size());
  z.next_out = reinterpret_cast<Bytef*>(out.data());
  z.avail_out = static_cast<uInt>(out.size());
  const bool whole = deflate(&z, Z_FINISH) == Z_STREAM_END;
  out.resize(z.total_out);
  deflateEnd(&z);
  return whole ? out : std::string();
}

std::string type_of(const std::string& extension) {
  if (extension == ".html") return "text/html; charset=utf-8";
  if (extension == ".js") return "text/javascript; charset=utf-8";
  if (extension == ".css") return "text/css; charset=utf-8";
  if (extension == ".svg") return "image/svg+xml";
  if (extension == ".png") return "image/png";
  if (extension == ".woff2") return "font/woff2";
  if (extension == ".json" || extension == ".webmanifest") return "application/json";
  if (extension == ".txt") return "text/plain; charset=utf-8";
  return "application/octet-stream";
}

}  // namespace

int main(int argc, char** argv) {
  namespace fs = std::filesystem;
  if (argc != 3) {
    std::fputs("embed_page FOLDER OUT.cpp\n", stderr);
    return 2;
  }
  const fs::path folder = argv[1];
  std::vector<fs::path> files;
  if (fs::is_directory(folder))
    for (const auto& entry : fs::recursive_directory_iterator(folder))
      if (entry.is_regular_file()) files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  std::string data, table;
  std::size_t n = 0;
  for (const auto& file : files) {
    std::ifstream in(file, std::ios::binary);
    const std::string bytes((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
    auto small = gzipped(bytes);
    const bool zipped = !small.empty() && small.size() < bytes.size() * 95 / 100;
    const auto& kept = zipped ? small : bytes;
    const auto path = "/" + fs::relative(file, folder).generic_string();
    data += "constexpr unsigned char kFile" + std::to_string(n) + "[] = {";
    for (std::size_t i = 0; i < kept.size(); ++i)
      data += (i % 24 == 0 ? "\n" : "") + std::to_string(static_cast<unsigned char>(kept[i])) + ",";
    data += kept.empty() ? "0};\n" : "};\n";
    table += "    {\"" + path + "\", \"" + type_of(file.extension().string()) + "\", text(kFile" + std::to_string(n) + ", " +
             std::to_string(kept.size()) + "), " + (zipped ? "true" : "false") + ", " +
             (path.starts_with("/assets/") ? "true" : "false") + "},\n";
    ++n;
  }
  std::ofstream out(argv[2], std::ios::binary);
  out << "// Made by tools/embed_page.cpp from web/dist.\n#include \"adapters/http/page_assets.h\"\n\nnamespace headroom::http "
         "{\nnamespace {\n\n"
      << data << "\nstd::string_view text(const unsigned char* bytes, std::size_t size) {\n"
      << "  return {reinterpret_cast<const char*>(bytes), size};\n}\n\n}  // namespace\n\n"
      << "std::span<const Asset> page_assets() {\n";
  if (n > 0)
    out << "  static const Asset all[] = {\n" << table << "  };\n  return all;\n";
  else
    out << "  return {};\n";
  out << "}\n\n}  // namespace headroom::http\n";
  return out ? 0 : 1;
}
