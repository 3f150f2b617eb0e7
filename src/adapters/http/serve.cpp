#include "adapters/http/serve.h"

#include <arpa/inet.h>
#include <ifaddrs.h>
#include <net/if.h>
#include <signal.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <cerrno>
#include <charconv>
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <thread>

#include "adapters/http/map_file.h"
#include "adapters/http/qr.h"
#include "adapters/http/server.h"

namespace headroom::http {

namespace {

// IPv4 addresses of this machine that others can reach, private networks (RFC 1918) first.
std::vector<std::string> own_addresses() {
  std::vector<std::string> out;
  ifaddrs* all = nullptr;
  if (getifaddrs(&all) != 0) return out;
  for (const ifaddrs* i = all; i != nullptr; i = i->ifa_next) {
    if (i->ifa_addr == nullptr || i->ifa_addr->sa_family != AF_INET || (i->ifa_flags & IFF_LOOPBACK) != 0 ||
        (i->ifa_flags & IFF_UP) == 0)
      continue;
    sockaddr_in address{};
    std::copy_n(reinterpret_cast<const unsigned char*>(i->ifa_addr), sizeof address, reinterpret_cast<unsigned char*>(&address));
    std::array<char, INET_ADDRSTRLEN> text{};
    if (inet_ntop(AF_INET, &address.sin_addr, text.data(), text.size()) != nullptr) out.emplace_back(text.data());
  }
  freeifaddrs(all);
  std::stable_sort(out.begin(), out.end(), [](const std::string& a, const std::string& b) {
    const auto home = [](const std::string& s) {
      return s.starts_with("192.168.") || s.starts_with("10.") || s.starts_with("172.");
    };
    return home(a) && !home(b);
  });
  return out;
}

std::string host_name() {
  std::array<char, 256> name{};
  if (gethostname(name.data(), name.size() - 1) != 0) return {};
  std::string out(name.data());
  for (char& c : out) c = static_cast<char>(c >= 'A' && c <= 'Z' ? c + 32 : c);
  return out;
}

// Folders "uploads-PID" beside this run's own whose process is gone.
void remove_left_uploads(const std::filesystem::path& own) {
  constexpr std::string_view kName = "uploads-";
  std::error_code wrong;
  std::vector<std::filesystem::path> left;
  for (std::filesystem::directory_iterator i(own.parent_path(), wrong), end; !wrong && i != end; i.increment(wrong)) {
    const auto name = i->path().filename().string();
    if (!name.starts_with(kName)) continue;
    pid_t process = 0;
    const auto* last = name.data() + name.size();
    const auto [read, bad] = std::from_chars(name.data() + kName.size(), last, process);
    if (bad == std::errc() && read == last && process > 0 && kill(process, 0) != 0 && errno == ESRCH) left.push_back(i->path());
  }
  for (const auto& folder : left) std::filesystem::remove_all(folder, wrong);
}

}  // namespace

Result<void> serve(const ServeRequest& request, SiteOptions options, const std::function<void(const ServeReady&)>& ready,
                   const std::function<bool()>& stop) {
  if (!request.map.empty())
    if (auto map = check_map_file(request.map); !map) return map;
  std::error_code wrong;
  // What an earlier run left there when it was killed is of no use to anybody.
  remove_left_uploads(options.upload_folder);
  std::filesystem::remove_all(options.upload_folder, wrong);
  std::filesystem::create_directories(options.upload_folder, wrong);
  if (wrong) return fail(ErrorKind::io, "the folder for uploads cannot be made: " + wrong.message(), options.upload_folder);
  std::filesystem::permissions(options.upload_folder, std::filesystem::perms::owner_all, wrong);

  options.share = request.share;
  options.map_file = request.map;
  Site site(std::move(options));
  // A book that cannot be opened is told now, not on the page.
  if (const auto desk = site.desk("own")) {
    auto sitting = (*desk)->sit();
    if (const auto session = sitting.session(); !session) return tl::unexpected<Error>(session.error());
  }
  Server server(site);
  const auto port = server.bind(request.share ? "0.0.0.0" : "127.0.0.1", request.port);
  if (!port) return tl::unexpected<Error>(port.error());
  std::vector<std::string> hosts = {"127.0.0.1", "localhost"};
  ServeReady told;
  told.address = "http://127.0.0.1:" + std::to_string(*port) + "/";
  if (request.share) {
    const auto addresses = own_addresses();
    hosts.insert(hosts.end(), addresses.begin(), addresses.end());
    if (const auto name = host_name(); !name.empty()) {
      hosts.push_back(name);
      hosts.push_back(name + ".local");  // RFC 6762
    }
    const auto shared =
        "http://" + (addresses.empty() ? std::string("127.0.0.1") : addresses.front()) + ":" + std::to_string(*port);
    site.set_address(shared);
    told.shared_address = shared + "/";
    const auto code = site.pairing().code(site.now());
    told.code = code.substr(0, 4) + " " + code.substr(4);
    told.qr_blocks = qr_code(shared + "/#/book/" + code).blocks();
  }
  server.answer_to(hosts);
  std::atomic<bool> over{false};
  std::thread running([&] {
    server.run();
    over = true;
  });
  ready(told);
  while (!stop()) std::this_thread::sleep_for(std::chrono::milliseconds(100));
  server.stop();
  // A slow other end can hold the library for long. Nothing is half written by then: the book is written in transactions, by
  // requests that do not wait for anybody.
  constexpr auto kLongest = std::chrono::seconds(5);
  for (const auto until = std::chrono::steady_clock::now() + kLongest; !over && std::chrono::steady_clock::now() < until;)
    std::this_thread::sleep_for(std::chrono::milliseconds(20));
  if (!over) {
    std::filesystem::remove_all(site.options().upload_folder, wrong);
    std::fflush(nullptr);
    _exit(0);
  }
  running.join();
  std::filesystem::remove_all(site.options().upload_folder, wrong);
  return {};
}

}  // namespace headroom::http
