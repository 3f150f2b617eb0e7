// The only file that knows the library.
#include "adapters/http/server.h"

#include <fcntl.h>
#include <httplib.h>
#include <sys/socket.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <condition_variable>
#include <cstdlib>
#include <deque>
#include <mutex>
#include <system_error>
#include <thread>

#include "adapters/http/connection.h"
#include "core/typed.h"

namespace headroom::http {

namespace {

// Threads are made when they are needed, up to a bound; what comes on top is answered with "busy" by one more thread.
class BoundedThreads final : public httplib::TaskQueue {
 public:
  explicit BoundedThreads(std::size_t most) : most_(most) {}
  void enqueue(std::function<void()> task) override {
    std::unique_lock lock(mutex_);
    if (waiting_.size() < most_) {
      waiting_.push_back(std::move(task));
      if (idle_ < waiting_.size() && threads_.size() < most_) {
        try {
          threads_.emplace_back([this] { work(waiting_, idle_); });
        } catch (const std::system_error&) {
          // The system gives no more threads: those there are do it, or this one when there is none.
          if (threads_.empty()) {
            task = std::move(waiting_.back());
            waiting_.pop_back();
            lock.unlock();
            task();
            return;
          }
        }
      }
    } else {
      // No more is taken from the system until one of these is done.
      changed_.wait(lock, [&] { return stopping_ || turned_away_.size() < most_; });
      turned_away_.push_back(std::move(task));
      if (!refuser_.joinable())
        refuser_ = std::thread([this] {
          busy() = true;
          std::size_t none = 0;
          work(turned_away_, none);
        });
    }
    changed_.notify_all();
  }
  void shutdown() override {
    {
      const std::lock_guard lock(mutex_);
      stopping_ = true;
    }
    changed_.notify_all();
    for (auto& t : threads_) t.join();
    if (refuser_.joinable()) refuser_.join();
  }
  // True on the thread that only turns away.
  static bool& busy() {
    thread_local bool is = false;
    return is;
  }

 private:
  void work(std::deque<std::function<void()>>& from, std::size_t& idle) {
    std::unique_lock lock(mutex_);
    while (true) {
      ++idle;
      changed_.wait(lock, [&] { return stopping_ || !from.empty(); });
      --idle;
      if (from.empty()) return;
      auto task = std::move(from.front());
      from.pop_front();
      lock.unlock();
      task();
      task = nullptr;
      lock.lock();
      changed_.notify_all();
    }
  }

  std::size_t most_;
  std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<std::function<void()>> waiting_, turned_away_;
  std::vector<std::thread> threads_;
  std::thread refuser_;
  std::size_t idle_ = 0;
  bool stopping_ = false;
};

Answer busy_answer(const char* what) {
  Answer out = json_answer({{"error", {{"kind", "busy"}, {"what", what}, {"where", ""}}}}, 503);
  out.headers.emplace_back("Retry-After", "2");
  return out;
}

// The same before any request was read.
std::string busy_bytes() {
  const auto answer = busy_answer("Too many connections at once; try again in a moment.");
  std::string out = "HTTP/1.1 503 Service Unavailable\r\nConnection: close\r\nContent-Type: " + answer.type +
                    "\r\nContent-Length: " + std::to_string(answer.body.size()) + "\r\n";
  for (const auto& [name, value] : answer.headers) out.append(name).append(": ").append(value).append("\r\n");
  return out + "\r\n" + answer.body;
}

// A connection of ours as the library sees one.
class WireStream final : public httplib::Stream {
 public:
  explicit WireStream(Connection& connection) : connection_(connection) {}
  bool is_readable() const override { return connection_.has_bytes(); }
  bool is_writable() const override { return connection_.wait_writable(); }
  ssize_t read(char* into, size_t size) override { return connection_.read(into, size); }
  ssize_t write(const char* bytes, size_t size) override { return connection_.write(bytes, size); }
  void get_remote_ip_and_port(std::string& ip, int& port) const override {
    ip = connection_.peer();
    port = connection_.peer_port();
  }
  void get_local_ip_and_port(std::string&, int&) const override {}
  socket_t socket() const override { return connection_.socket(); }

 private:
  Connection& connection_;
};

Method method_of(const std::string& name) {
  if (name == "GET") return Method::get;
  if (name == "HEAD") return Method::head;
  if (name == "POST") return Method::post;
  if (name == "DELETE") return Method::remove;
  return Method::other;
}

constexpr const char* kHeadersRead[] = {"Host",      "Origin", "Sec-Fetch-Site",  "Content-Type", "Cookie", "If-None-Match",
                                        "Forwarded", "Via",    "X-Forwarded-For", "X-Real-IP"};

Request request_of(const httplib::Request& from) {
  Request out;
  out.method = method_of(from.method);
  out.path = from.path;
  out.peer = from.remote_addr;
  for (const auto& [name, value] : from.params) out.query[name] = value;
  for (const char* name : kHeadersRead)
    // What is said twice is joined (RFC 9110, section 5.3): two hosts or origins are none that is known.
    for (auto [found, end] = from.headers.equal_range(name); found != end; ++found) {
      std::string small = name;
      for (char& c : small) c = static_cast<char>(c >= 'A' && c <= 'Z' ? c + 32 : c);
      auto& value = out.headers[small];
      value += (value.empty() ? "" : ", ") + found->second;
    }
  return out;
}

void put_headers(httplib::Response& res, std::string_view type) {
  res.set_header("X-Content-Type-Options", "nosniff");
  res.set_header("Cross-Origin-Resource-Policy", "same-origin");
  res.set_header("Accept-Ranges", "none");
  if (!type.starts_with("text/html")) {
    // Opened by itself it is no page, whatever is in it.
    if (!type.starts_with("application/json")) res.set_header("Content-Security-Policy", "default-src 'none'; sandbox");
    return;
  }
  // No script, style or picture but our own; no page of others around it.
  res.set_header("Content-Security-Policy",
                 "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; font-src 'self'; "
                 "connect-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'");
  res.set_header("Referrer-Policy", "no-referrer");
  res.set_header("Cross-Origin-Opener-Policy", "same-origin");
}

bool has_body(const httplib::Request& req) {
  const auto length = req.get_header_value("Content-Length");
  return req.has_header("Transfer-Encoding") || (!length.empty() && length != "0");
}

// RFC 9110, section 12.5.3. Who weighs its wishes gets it plain.
bool takes_gzip(std::string_view accepted) {
  return accepted.find("gzip") != std::string_view::npos && accepted.find("q=") == std::string_view::npos;
}

// Of two lengths, or one that is no number, nobody knows where the next request begins (RFC 9112, section 6.3).
bool length_in_doubt(const httplib::Request& req) {
  const auto lengths = req.get_header_value_count("Content-Length");
  const auto length = req.get_header_value("Content-Length");
  constexpr std::size_t kMostDigits = 18;
  return lengths > 1 || (lengths == 1 && (req.has_header("Transfer-Encoding") || length.empty() || length.size() > kMostDigits ||
                                          length.find_first_not_of("0123456789") != std::string::npos));
}

// The connection ends with this answer. What may still stand in it unread would be taken for a request of its own: one that a
// foreign page put there, with all headers of ours. The library goes on unless sending the body failed, so it is told that.
void close_after(httplib::Response& res) {
  auto body = std::make_shared<std::string>(std::move(res.body));
  res.body.clear();
  if (body->empty()) *body = "\n";
  const auto type = res.has_header("Content-Type") ? res.get_header_value("Content-Type") : "text/plain";
  res.headers.erase("Content-Type");
  res.set_header("Connection", "close");
  res.set_content_provider(body->size(), type, [body](std::size_t offset, std::size_t length, httplib::DataSink& sink) {
    sink.write(body->data() + offset, length);
    return false;
  });
}

}  // namespace

// The library with connections of ours: its own have no deadline for a whole request head, and send head and body apart.
class BoundedServer final : public httplib::Server {
 public:
  BoundedServer(const ServerBounds& bounds, const std::atomic<bool>& stopping)
      : stopping_(stopping),
        connections_({bounds.connections, bounds.kept_here, bounds.per_peer}),
        waits_{bounds.keep_alive_seconds, bounds.head_seconds, bounds.read_seconds, bounds.write_seconds} {}
  void stop_reading() { connections_.stop_reading(); }

 private:
  bool process_and_close_socket(socket_t socket) override {
    Connection connection(socket, waits_, stopping_);
    // Whoever comes on top is told at once: the thread that turns away waits for nobody's request.
    if (BoundedThreads::busy() || !connections_.enter(connection.peer())) {
      connection.end_with(busy_bytes());
      return false;
    }
    connections_.follow(connection);
    WireStream stream(connection);
    bool goes_on = true;
    for (auto left = keep_alive_max_count_; goes_on && left > 0 && connection.wait_for_request(); --left) {
      bool closed = false;
      goes_on = process_request(stream, left == 1, closed, [&](httplib::Request&) { connection.head_is_read(); });
      goes_on = connection.flush() && goes_on && !closed;
    }
    connections_.forget(connection);
    connections_.leave(connection.peer());
    return goes_on;
  }

  const std::atomic<bool>& stopping_;
  Connections connections_;
  Waits waits_;
};

// Bytes of bodies that are on the disk now, all together.
class UploadSpace {
 public:
  explicit UploadSpace(std::uint64_t most) : most_(most) {}
  [[nodiscard]] bool take(std::uint64_t bytes) {
    if (taken_.fetch_add(bytes) + bytes <= most_) return true;
    taken_ -= bytes;
    return false;
  }
  void give_back(std::uint64_t bytes) { taken_ -= bytes; }

 private:
  std::uint64_t most_;
  std::atomic<std::uint64_t> taken_{0};
};

// A file that is gone when nobody holds it any more; its name is in Request::body_file.
class UploadFile {
 public:
  explicit UploadFile(std::shared_ptr<UploadSpace> space) : space_(std::move(space)) {}
  // False when all bodies together have no more space.
  [[nodiscard]] bool take(std::uint64_t bytes) {
    if (!space_->take(bytes)) return false;
    taken_ += bytes;
    return true;
  }
  [[nodiscard]] bool open(const std::string& folder) {
    path_ = folder + "/upload-XXXXXX";
    descriptor_ = mkostemp(path_.data(), O_CLOEXEC);
    return descriptor_ >= 0;
  }
  UploadFile(const UploadFile&) = delete;
  UploadFile& operator=(const UploadFile&) = delete;
  ~UploadFile() {
    space_->give_back(taken_);
    if (descriptor_ < 0) return;
    close(descriptor_);
    unlink(path_.c_str());
  }
  [[nodiscard]] bool write(const char* data, std::size_t size) {
    while (size > 0) {
      const auto n = ::write(descriptor_, data, size);
      if (n < 0 && errno == EINTR) continue;
      if (n <= 0) return false;
      data += n;
      size -= static_cast<std::size_t>(n);
    }
    return true;
  }
  [[nodiscard]] const std::string& path() const { return path_; }

 private:
  std::shared_ptr<UploadSpace> space_;
  std::uint64_t taken_ = 0;
  std::string path_;
  int descriptor_ = -1;
};

struct Server::Parts {
  Site& site;
  ServerBounds bounds;
  GuardRules rules;
  int port = 0;
  std::atomic<bool> stopping{false};
  BoundedServer server{bounds, stopping};
  std::shared_ptr<UploadSpace> space = std::make_shared<UploadSpace>(bounds.all_bodies);
  enum class Run : std::uint8_t { not_yet, now, over };
  std::atomic<Run> run{Run::not_yet};

  void put(const httplib::Request& req, httplib::Response& res, Answer answer, bool closes = false) {
    const auto accepted = req.get_header_value("Accept-Encoding");
    // A range of a compressed or made answer is nothing anybody asks for; ignoring it is allowed (RFC 9110, section 14.2), and
    // this version of the library reads past the body of a range that does not fit. The request is its own to change, handed to
    // us as const.
    auto& changed = const_cast<httplib::Request&>(req);
    changed.ranges.clear();
    // The library would compress whatever the browser can read, at its best and slowest (half a second for a list of entries), a
    // second time what is compressed already, and hold back events until there are enough. On this machine nothing is gained.
    changed.headers.erase("Accept-Encoding");
    const bool compressed =
        std::any_of(answer.headers.begin(), answer.headers.end(), [](const auto& h) { return h.first == "Content-Encoding"; });
    constexpr std::size_t kWorthIt = 1000;
    if (!closes && !compressed && !answer.stream && answer.body.size() > kWorthIt && !is_loopback(req.remote_addr) &&
        takes_gzip(accepted))
      changed.headers.emplace("Accept-Encoding", "gzip");
    put_headers(res, answer.type);
    res.status = answer.status;
    for (const auto& [name, value] : answer.headers) res.set_header(name.c_str(), value);
    if (answer.status == 304 || answer.status == 204) return;
    if (answer.stream) {
      res.set_chunked_content_provider(answer.type,
                                       [this, stream = std::move(answer.stream)](std::size_t, httplib::DataSink& sink) {
                                         try {
                                           stream([&](std::string_view piece) {
                                             return !stopping && sink.is_writable() && sink.write(piece.data(), piece.size());
                                           });
                                         } catch (const std::exception&) {
                                           return false;  // the other end sees that it is not whole
                                         }
                                         if (stopping) return false;
                                         sink.done();
                                         return true;
                                       });
      return;
    }
    if (!answer.still.empty()) {
      res.body.assign(answer.still);
    } else {
      res.body = std::move(answer.body);
    }
    res.set_header("Content-Type", answer.type);
    if (closes) close_after(res);
  }

  // What the library refuses by itself: an address or a header too long, a method it does not know.
  void put_own_error(httplib::Response& res) const {
    if (res.has_header("X-Content-Type-Options")) return;  // ours
    put_headers(res, "application/json");
    res.body =
        answer_text_for_page({{"error", {{"kind", "bad_input"}, {"what", "The request could not be read."}, {"where", ""}}}});
    res.set_header("Content-Type", "application/json");
    close_after(res);
  }

  // A body where none belongs, or of which nobody knows the end.
  void put_doubtful(const httplib::Request& req, httplib::Response& res) {
    // After HEAD the library sends no body and would not end the connection.
    const_cast<httplib::Request&>(req).method = "GET";
    put(req, res,
        json_answer({{"error", {{"kind", "bad_input"}, {"what", "The request could not be read."}, {"where", ""}}}}, 400), true);
  }

  // The whole of a body is taken from the connection, or the connection ends: what was left there would be read as the next
  // request.
  void take_body(const httplib::Request& req, httplib::Response& res, const httplib::ContentReader& reader) {
    Request request = request_of(req);
    bool other_method = false;
    const auto* route = find_route(request, other_method);
    auto refused = turned_away(site, request, rules, route);
    const auto takes = route != nullptr ? route->takes : Takes::nothing;
    const auto most = takes == Takes::json ? bounds.json_body : takes == Takes::bytes ? bounds.bytes_body : 0;
    auto file = std::make_shared<UploadFile>(space);
    bool too_much = false, disk = false, crowded = false;
    if (!refused && takes == Takes::bytes && !file->open(site.options().upload_folder)) disk = true;
    const auto until =
        std::chrono::steady_clock::now() + std::chrono::seconds(refused ? bounds.read_seconds : bounds.body_seconds);
    // What is not kept is still taken, so that the answer arrives, but not for ever.
    const auto most_taken = std::max(most, bounds.bytes_body) * 2;
    // Without a length there is no body (RFC 9112, section 6.3); the library would wait for one.
    const bool whole = !has_body(req) || reader([&](const char* data, std::size_t size) {
      request.body_bytes += size;
      too_much = too_much || request.body_bytes > most;
      if (stopping || request.body_bytes > most_taken || std::chrono::steady_clock::now() > until) return false;
      if (refused || too_much || disk || crowded) return true;
      if (takes == Takes::json) request.body.append(data, size);
      if (takes == Takes::bytes) {
        crowded = !file->take(size);
        if (!crowded) disk = !file->write(data, size);
      }
      return true;
    });
    // More than any route takes is refused by the library, which hands out none of it.
    constexpr int kTooLarge = 413;
    too_much = too_much || (!whole && res.status == kTooLarge);
    if (!refused && crowded) refused = busy_answer("Too much is being sent at once; try again when the rest is done.");
    if (!refused && disk)
      refused =
          json_answer({{"error", {{"kind", "io"}, {"what", "It could not be kept: is the disk full?"}, {"where", ""}}}}, 507);
    if (!refused && too_much && most > 0)
      refused = json_answer({{"error",
                              {{"kind", "out_of_range"},
                               {"what", "That is more than is taken at once: " + std::to_string(most >> 20) + " MB at the most."},
                               {"where", ""}}}},
                            kTooLarge);
    if (!refused && !whole)
      refused =
          json_answer({{"error", {{"kind", "bad_input"}, {"what", "What was sent did not arrive whole."}, {"where", ""}}}}, 400);
    if (refused) return put(req, res, std::move(*refused), !whole);
    if (takes == Takes::bytes) request.body_file = file->path();
    request.hold = file;
    put(req, res, guarded(request));
  }

  // Nothing that a request can do may end the program.
  void take_body_safely(const httplib::Request& req, httplib::Response& res, const httplib::ContentReader& reader) {
    try {
      take_body(req, res, reader);
    } catch (const std::exception& e) {
      put(req, res, mistake(e), true);
    }
  }

  static Answer mistake(const std::exception& e) {
    return json_answer({{"error", {{"kind", "failed"}, {"what", std::string("A mistake of ours: ") + e.what()}, {"where", ""}}}},
                       500);
  }

  Answer guarded(Request& request) {
    try {
      return answer_request(site, request, rules);
    } catch (const std::exception& e) {
      return mistake(e);
    }
  }
};

Server::Server(Site& site, ServerBounds bounds) : parts_(std::make_unique<Parts>(site, bounds)) {
  auto& s = parts_->server;
  auto* p = parts_.get();
  s.new_task_queue = [most = bounds.connections] { return new BoundedThreads(most); };
  s.set_tcp_nodelay(true);
  s.set_keep_alive_max_count(1000);
  s.set_payload_max_length(bounds.bytes_body);
  s.set_pre_routing_handler([p](const httplib::Request& req, httplib::Response& res) {
    if (length_in_doubt(req)) {
      p->put_doubtful(req, res);
      return httplib::Server::HandlerResponse::Handled;
    }
    const auto method = method_of(req.method);
    if (method == Method::post || method == Method::remove) return httplib::Server::HandlerResponse::Unhandled;
    auto request = request_of(req);
    if (method == Method::other) {
      // Of these the library takes no body.
      if (req.method == "PUT" || req.method == "PATCH") return httplib::Server::HandlerResponse::Unhandled;
      p->put(req, res, p->guarded(request), true);
      return httplib::Server::HandlerResponse::Handled;
    }
    if (has_body(req)) {
      p->put_doubtful(req, res);
      return httplib::Server::HandlerResponse::Handled;
    }
    p->put(req, res, p->guarded(request));
    return httplib::Server::HandlerResponse::Handled;
  });
  const auto with_body = [p](const httplib::Request& req, httplib::Response& res, const httplib::ContentReader& reader) {
    p->take_body_safely(req, res, reader);
  };
  s.set_error_handler(httplib::Server::Handler([p](const httplib::Request&, httplib::Response& res) { p->put_own_error(res); }));
  s.Post(".*", with_body);
  s.Put(".*", with_body);
  s.Patch(".*", with_body);
  s.Delete(".*", with_body);
  s.Delete(".*", [p](const httplib::Request& req, httplib::Response& res) {
    auto request = request_of(req);
    p->put(req, res, p->guarded(request));
  });
}

Server::~Server() {
  stop();
}

Result<int> Server::bind(const std::string& host, int port) {
  // Not SO_REUSEPORT, which the library sets by itself: two servers at one port would share the requests between them.
  parts_->server.set_socket_options([](socket_t socket) {
    const int yes = 1;
    setsockopt(socket, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
  });
  if (port == 0) {
    parts_->port = parts_->server.bind_to_any_port(host);
  } else {
    parts_->port = parts_->server.bind_to_port(host, port) ? port : -1;
  }
  if (parts_->port <= 0)
    return fail(ErrorKind::refused, "port " + std::to_string(port) + " is taken or may not be used; name another" +
                                        typed(": --port " + std::to_string(port < 1024 || port >= 65535 ? 8093 : port + 1) +
                                              ", or --port 0 for any that is free"));
  return parts_->port;
}

void Server::answer_to(const std::vector<std::string>& hosts) {
  constexpr int kHttpPort = 80;  // which a browser leaves out (RFC 9110, section 4.2.1)
  for (const auto& host : hosts) {
    parts_->rules.hosts.insert(host + ":" + std::to_string(parts_->port));
    if (parts_->port == kHttpPort) parts_->rules.hosts.insert(host);
  }
  parts_->rules.share = parts_->site.options().share;
}

void Server::run() {
  parts_->run = Parts::Run::now;
  if (!parts_->stopping) parts_->server.listen_after_bind();
  parts_->run = Parts::Run::over;
}

void Server::stop() {
  parts_->stopping = true;
  parts_->site.jobs().stop();
  parts_->server.stop_reading();
  // The library forgets a stop that comes before it listens.
  while (parts_->run == Parts::Run::now && !parts_->server.is_running())
    std::this_thread::sleep_for(std::chrono::milliseconds(1));
  parts_->server.stop();
}

}  // namespace headroom::http
