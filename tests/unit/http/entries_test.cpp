// Entries, photos, copies: routes that read and write the book.
#include <gtest/gtest.h>

#include <filesystem>
#include <thread>

#include "adapters/http/map_file.h"
#include "adapters/http/serve.h"
#include "adapters/http/zip_files.h"
#include "app/enter.h"
#include "formats/hash.h"
#include "formats/unpack.h"
#include "unit/http/test_site.h"

namespace headroom::http {
namespace {

// UUIDs of version 7 (RFC 9562, section 5.7).
constexpr const char* kId = "019a7c00-0000-7000-8000-000000000001";
constexpr const char* kOtherId = "019a7c00-0000-7000-8000-000000000002";

std::uint64_t total(TestSite& world) {
  return json_of(world.get("/api/own/entries"))["total"].get<std::uint64_t>();
}
AnswerJson one(AnswerJson entry) {
  return {{"entries", AnswerJson::array({std::move(entry)})}};
}

TEST(HttpEntries, WhatIsSentTwiceIsWrittenOnce) {
  TestSite world;
  const auto body = one({{"id", kId}, {"kind", "head"}, {"value", "198 C"}}).dump();
  const auto first = world.post("/api/own/entries", body);
  ASSERT_EQ(first.status, 201) << first.body;
  const auto after = total(world);
  const auto again = world.post("/api/own/entries", body);
  EXPECT_EQ(again.status, 200) << again.body;
  EXPECT_EQ(json_of(again)["written"][0]["id"], kId);
  EXPECT_EQ(json_of(again)["written"][0]["number"], json_of(first)["written"][0]["number"]);
  EXPECT_EQ(total(world), after);
  const auto other = world.post("/api/own/entries", one({{"id", kId}, {"kind", "head"}, {"value", "199 C"}}).dump());
  EXPECT_EQ(other.status, 409) << other.body;
  EXPECT_EQ(total(world), after);
}

TEST(HttpEntries, AreWrittenAllOrNone) {
  TestSite world;
  const AnswerJson body = {
      {"entries", {{{"id", kId}, {"kind", "note"}, {"text", "good"}}, {{"id", kOtherId}, {"kind", "head"}, {"value", "hot"}}}}};
  const auto answer = world.post("/api/own/entries", body.dump());
  EXPECT_EQ(answer.status, 400);
  EXPECT_EQ(where_of(answer), "entries.1.value");
  EXPECT_EQ(total(world), 0U);
}

TEST(HttpEntries, ARefusedBoxIsNamed) {
  TestSite world;
  const std::pair<AnswerJson, const char*> bad[] = {
      {{{"kind", "head"}, {"value", "900 C"}}, "entries.0.value"},
      {{{"kind", "head"}, {"value", true}}, "entries.0.value"},
      {{{"kind", "head"}, {"value", "198 C"}, {"colour", "tan"}}, "entries.0.colour"},
      {{{"kind", "plug"}, {"colour", "blue"}}, "entries.0.colour"},
      {{{"kind", "plug"}, {"colour", "tan"}, {"wet", "yes"}}, "entries.0.wet"},
      {{{"kind", "note"}, {"text", "x"}, {"at", "sometime"}}, "entries.0.at"},
      {{{"kind", "note"}, {"text", "x"}, {"id", "7"}}, "entries.0.id"},
      {{{"kind", "note"}, {"text", std::string(20000, 'x')}}, "entries.0.text"},
      {{{"kind", "nothing"}}, "entries.0.kind"},
      {{{"kind", "flight"}, {"value", "20 min"}, {"launches", -1}}, "entries.0.launches"},
      {{{"kind", "setting"}, {"name", "unit.speed"}, {"value", "furlongs"}}, "entries.0.value"},
      {{{"kind", "setting"}, {"name", "book_is"}, {"value", "simulated"}}, "entries.0.name"},
      {"text", "entries.0"}};
  for (const auto& [entry, where] : bad) {
    const auto answer = world.post("/api/own/entries", one(entry).dump());
    EXPECT_GE(answer.status, 400) << entry.dump();
    EXPECT_EQ(where_of(answer), where) << answer.body;
  }
  for (const char* body : {"{}", R"({"entries":[]})", R"({"entries":7})"})
    EXPECT_EQ(where_of(world.post("/api/own/entries", body)), "entries");
  EXPECT_EQ(world.post("/api/own/entries", "no json").status, 400);
  EXPECT_EQ(total(world), 0U);
}

TEST(HttpEntries, AmendingAndVoidingAreTold) {
  TestSite world;
  const auto written = json_of(world.post("/api/own/entries", one({{"id", kId}, {"kind", "head"}, {"value", "198 C"}}).dump()));
  const auto number = written["written"][0]["number"].get<std::uint64_t>();
  const std::string place = std::string("/api/own/entries/") + kId;
  const auto amended = world.post(place + "/amend", R"({"entry":{"kind":"head","value":"189 C"},"reason":"misread"})");
  ASSERT_EQ(amended.status, 201) << amended.body;
  EXPECT_EQ(json_of(amended)["of_number"], number);
  EXPECT_NE(json_of(amended)["now"].get<std::string>().find("189"), std::string::npos);
  auto shown = json_of(world.get(place));
  EXPECT_FALSE(shown["voided"]);
  EXPECT_NE(shown["text"].get<std::string>().find("189"), std::string::npos);
  ASSERT_EQ(shown["corrected"].size(), 1U);
  EXPECT_NE(shown["corrected"][0].get<std::string>().find("misread"), std::string::npos);
  EXPECT_EQ(shown["stored"]["facts"]["value"], 198 + 273.15) << "what was written first stays";

  EXPECT_EQ(where_of(world.post(place + "/amend", R"({"entry":{"kind":"head","value":"hot"}})")), "entry.value");
  EXPECT_EQ(where_of(world.post(place + "/amend", R"({"entry":{"kind":"head","value":"900 C"}})")), "entry.value");
  EXPECT_EQ(where_of(world.post(place + "/amend", R"({"at":"sometime"})")), "at");
  EXPECT_EQ(where_of(world.post(place + "/amend", R"({"entry":{"kind":"nothing"}})")), "entry.kind");
  EXPECT_EQ(world.post(place + "/amend", R"({"entry":{"kind":"note","text":"x"}})").status, 400) << "another kind";
  EXPECT_EQ(world.post(place + "/amend", "{}").status, 400);
  EXPECT_EQ(world.post("/api/own/entries/99/amend", R"({"at":"now"})").status, 404);

  ASSERT_EQ(world.post(place + "/void", R"({"reason":"double"})").status, 201);
  shown = json_of(world.get(place));
  EXPECT_TRUE(shown["voided"]);
  EXPECT_EQ(shown["corrected"].size(), 2U);
}

TEST(HttpEntries, AreListedTheNewestFirst) {
  TestSite world;
  for (int i = 0; i < 5; ++i)
    ASSERT_EQ(world.post("/api/own/entries", one({{"kind", "note"}, {"text", "note " + std::to_string(i)}}).dump()).status, 201);
  const auto all = json_of(world.get("/api/own/entries"));
  const auto count = all["total"].get<std::uint64_t>();
  ASSERT_EQ(all["entries"].size(), count);
  for (std::uint64_t i = 0; i < count; ++i) EXPECT_EQ(all["entries"][i]["number"], count - i);
  auto request = world.request(Method::get, "/api/own/entries");
  request.query = {{"before", std::to_string(count)}, {"most", "2"}};
  const auto page = json_of(world.ask(request));
  ASSERT_EQ(page["entries"].size(), 2U);
  EXPECT_EQ(page["entries"][0]["number"], count - 1);
  request.query = {{"before", "1"}};
  EXPECT_TRUE(json_of(world.ask(request))["entries"].empty());
  request.query = {{"before", "0"}};
  EXPECT_TRUE(json_of(world.ask(request))["entries"].empty());
  request.query = {{"most", "many"}};
  EXPECT_EQ(where_of(world.ask(request)), "most");
}

// RFC 9110, section 13.1.2: If-None-Match.
TEST(HttpEntries, AnUnchangedAnswerIsNotSentAgain) {
  TestSite world;
  ASSERT_EQ(world.post("/api/own/entries", one({{"kind", "note"}, {"text", "x"}}).dump()).status, 201);
  for (const char* path : {"/api/own/entries", "/api/own/machine", "/api/own/entries/1"}) {
    auto request = world.request(Method::get, path);
    const auto first = world.ask(request);
    ASSERT_EQ(first.status, 200) << first.body;
    request.headers["if-none-match"] = header_of(first, "ETag");
    EXPECT_EQ(world.ask(request).status, 304);
    ASSERT_EQ(world.post("/api/own/entries", one({{"kind", "note"}, {"text", path}}).dump()).status, 201);
    EXPECT_EQ(world.ask(request).status, 200);
  }
}

// Two tabs: what one writes the other reads; both at once lose nothing.
TEST(HttpDesk, TwoDesksOfOneBookAgree) {
  TestSite world;
  const auto other = std::make_shared<Desk>(world.folder / "book.db", world.site->options().make_ports, SessionChoice{});
  ASSERT_EQ(world.post("/api/own/entries", one({{"kind", "note"}, {"text", "first"}}).dump()).status, 201);
  const auto count = [&] {
    std::this_thread::sleep_for(std::chrono::milliseconds(250));  // another program's entries are seen 200 ms later at most
    auto sitting = other->sit();
    const auto session = sitting.session();
    return session ? (*session)->state.notes : 0;
  };
  EXPECT_EQ(count(), 1U);
  ASSERT_EQ(world.post("/api/own/entries", one({{"kind", "note"}, {"text", "second"}}).dump()).status, 201);
  EXPECT_EQ(count(), 2U);
  EnterRequest request;
  request.at = world.clock->time;
  request.facts = [](const Subjects&) { return Result<PlainFacts>(Note{"third"}); };
  {
    auto sitting = other->sit();
    ASSERT_TRUE(enter(request, sitting.ports()));
  }
  EXPECT_NE(world.get("/api/own/entries").body.find("third"), std::string::npos);
}

TEST(HttpMachine, WhatIsNotKnownIsNotNothing) {
  TestSite world;
  ASSERT_EQ(
      world.post("/api/own/entries", one({{"kind", "flight"}, {"value", "20 min"}, {"at", "2026-11-24 10:00"}}).dump()).status,
      201);
  ASSERT_EQ(
      world.post("/api/own/entries", one({{"kind", "figure"}, {"figure", "propeller_diameter"}, {"value", "1.25 m"}}).dump())
          .status,
      201);
  const auto machine = json_of(world.get("/api/own/machine"));
  EXPECT_TRUE(machine["machine"]["assumed"]);
  ASSERT_FALSE(machine["parts"].empty());
  for (const auto& part : machine["parts"])
    for (const auto& counter : part["counters"]) {
      EXPECT_EQ(counter["value"]["basis"], "unknown") << "an assumed part went through something before this book";
      EXPECT_TRUE(counter["text"].get<std::string>().starts_with("not known")) << counter.dump();
    }
  for (const auto& figure : machine["masses"]) {
    const bool entered = figure["key"] == "propeller_diameter";
    EXPECT_EQ(figure["text"].is_null(), !entered) << figure.dump();
    if (entered) {
      EXPECT_EQ(figure["text"], "1.25 m");
    }
  }
}

// PNG (ISO/IEC 15948, section 5.2) and JPEG (ISO/IEC 10918-1, B.1.1.3), by their first bytes.
const std::string kPng = "\x89PNG\r\n\x1a\n and more", kJpeg = "\xFF\xD8\xFF\xE0 and more";

TEST(HttpPhotos, AreKeptAndShown) {
  TestSite world;
  const auto kept = world.post_bytes("/api/own/photos", kPng, {{"text", "the spring"}});
  ASSERT_EQ(kept.status, 201) << kept.body;
  EXPECT_EQ(json_of(kept)["sha256"], sha256(kPng).text());
  auto request = world.request(Method::get, "/api/own/blobs/" + sha256(kPng).text());
  const auto shown = world.ask(request);
  EXPECT_EQ(shown.type, "image/png");
  EXPECT_EQ(header_of(shown, "Content-Disposition"), "inline");
  EXPECT_EQ(shown.body, kPng);
  request.headers["if-none-match"] = header_of(shown, "ETag");
  EXPECT_EQ(world.ask(request).status, 304);

  ASSERT_EQ(world.post("/api/own/entries", one({{"kind", "field"}, {"field", "Upper meadow"}}).dump()).status, 201);
  ASSERT_EQ(world.post_bytes("/api/own/photos", kJpeg, {{"field", "Upper meadow"}}).status, 201);
  EXPECT_EQ(json_of(world.get("/api/own/machine"))["fields"][0]["photo_sha256"], sha256(kJpeg).text());
  EXPECT_EQ(world.get("/api/own/blobs/" + sha256(kJpeg).text()).type, "image/jpeg");
}

TEST(HttpPhotos, WhatIsNoneIsRefused) {
  TestSite world;
  const auto before = total(world);
  EXPECT_EQ(world.post_bytes("/api/own/photos", "<html>").status, 400);
  EXPECT_EQ(world.post_bytes("/api/own/photos", "").status, 400);
  EXPECT_EQ(where_of(world.post_bytes("/api/own/photos", kPng, {{"field", "Nowhere"}})), "field");
  EXPECT_EQ(where_of(world.post_bytes("/api/own/photos", kPng, {{"flight", kId}})), "flight");
  EXPECT_EQ(where_of(world.post_bytes("/api/own/photos", kPng, {{"flight", kId}, {"field", "x"}})), "flight");
  EXPECT_EQ(world.post_bytes("/api/own/photos", kPng + std::string(20U << 20, 'x')).status, 413);
  EXPECT_EQ(total(world), before);
  for (const auto& hash : {std::string("7"), std::string(64, '0'), std::string(64, 'x')})
    EXPECT_EQ(world.get("/api/own/blobs/" + hash).status, 404);
}

// A recording whose name or content is a page is a file to be kept, never a page of ours.
TEST(HttpBlobs, WhatIsNoPhotoIsNeverShown) {
  TestSite world;
  const std::string page = "<html><script>alert(1)</script>";
  EnterRequest request;
  request.at = world.clock->time;
  RecordingAttached recording;
  recording.recording = sha256(page);
  recording.bytes = page.size();
  recording.format = "../html\"";
  request.facts = [&](const Subjects&) { return Result<PlainFacts>(recording); };
  request.blobs = {NamedBlob{recording.recording, page}};
  {
    auto sitting = (*world.site->desk("own"))->sit();
    ASSERT_TRUE(enter(request, sitting.ports()));
  }
  const auto shown = world.get("/api/own/blobs/" + sha256(page).text());
  EXPECT_EQ(shown.status, 200);
  EXPECT_EQ(shown.type, "application/octet-stream");
  EXPECT_EQ(header_of(shown, "Content-Disposition"), "attachment; filename=\"" + sha256(page).text() + ".bin\"");
}

std::string streamed(const Answer& answer) {
  std::string out;
  if (answer.stream)
    answer.stream([&](std::string_view piece) {
      out += piece;
      return true;
    });
  return out;
}

TEST(HttpExport, TheWholeBookLeavesInOneFile) {
  TestSite world;
  ASSERT_EQ(world.post("/api/own/entries", one({{"kind", "note"}, {"text", "a private word"}}).dump()).status, 201);
  ASSERT_EQ(world.post_bytes("/api/own/photos", kPng).status, 201);
  for (const bool with_private : {true, false}) {
    auto request = world.request(Method::get, "/api/own/export.zip");
    request.query = {{"private", with_private ? "1" : "0"}};
    std::string zip;
    {
      const auto answer = world.ask(request);
      ASSERT_EQ(answer.status, 200) << answer.body;
      EXPECT_EQ(answer.type, "application/zip");
      EXPECT_EQ(header_of(answer, "Content-Disposition"), "attachment; filename=\"headroom-book-2026-11-25.zip\"");
      zip = streamed(answer);
    }
    EXPECT_TRUE(zip.starts_with("PK\x03\x04")) << "APPNOTE.TXT, section 4.3.7";
    const auto files = unpack(zip);
    ASSERT_TRUE(files);
    ASSERT_EQ(files->size(), with_private ? 2U : 1U);
    ASSERT_TRUE((*files)[0].content);
    EXPECT_EQ((*files)[0].name, "headroom-book-2026-11-25/entries.jsonl");
    EXPECT_EQ((*files)[0].content->find("a private word") != std::string::npos, with_private);
    if (with_private) {
      EXPECT_EQ((*files)[1].name, "headroom-book-2026-11-25/recordings/" + sha256(kPng).text() + ".bin");
      EXPECT_EQ((*files)[1].content.value_or(""), kPng);
    }
    for (const auto& path : std::filesystem::directory_iterator(world.folder.path()))
      EXPECT_FALSE(path.path().filename().string().starts_with("export-")) << "it is left behind";
  }
  auto head = world.request(Method::head, "/api/own/export.zip");
  EXPECT_TRUE(streamed(world.ask(head)).empty());
  head.method = Method::get;
  head.query = {{"private", "maybe"}};
  EXPECT_EQ(where_of(world.ask(head)), "private");
}

TEST(HttpZip, OneFileAfterTheOther) {
  TempFolder folder;
  ZipFiles zip(folder / "a.zip", utc(2026, 11, 25, 12));
  const auto first = zip.create("one.txt");
  ASSERT_TRUE(first);
  EXPECT_TRUE((*first)->write("1"));
  EXPECT_TRUE(zip.write("two.txt", "2"));
  EXPECT_FALSE((*first)->write("too late"));
  EXPECT_TRUE(zip.finish());
  ZipFiles nowhere(folder / "no/such/folder.zip", utc(2026, 11, 25, 12));
  EXPECT_FALSE(nowhere.write("x", "y"));
  EXPECT_FALSE(nowhere.finish());
}

// PMTiles specification version 3, section 3.
std::string a_map(std::size_t size) {
  std::string out = "PMTiles\x03";
  while (out.size() < size) out += static_cast<char>('a' + out.size() % 23);
  return out;
}

TEST(HttpMap, IsReadInPieces) {
  TempFolder folder;
  const auto path = folder / "map.pmtiles", bytes = a_map(5U << 20);
  ASSERT_TRUE(SystemFiles().write(path, bytes));
  EXPECT_TRUE(check_map_file(path));
  TestSite world(false, path);
  auto request = world.request(Method::get, "/api/map/bytes");
  const auto piece = [&](const std::string& offset, const std::string& length) {
    request.query = {{"offset", offset}, {"length", length}};
    return world.ask(request);
  };
  EXPECT_EQ(piece("3", "10").body, bytes.substr(3, 10));
  EXPECT_EQ(piece("0", "4194304").body, bytes.substr(0, 4U << 20));
  EXPECT_EQ(piece(std::to_string(bytes.size() - 5), "100").body, bytes.substr(bytes.size() - 5));
  EXPECT_EQ(where_of(piece("0", "4194305")), "length");
  EXPECT_EQ(where_of(piece("0", "0")), "length");
  EXPECT_EQ(where_of(piece(std::to_string(bytes.size()), "1")), "offset");
  EXPECT_EQ(where_of(piece("18446744073709551615", "1")), "offset");
  EXPECT_EQ(where_of(piece("-1", "1")), "offset");
  const auto first = piece("0", "8");
  request.headers["if-none-match"] = header_of(first, "ETag");
  EXPECT_EQ(piece("0", "8").status, 304);
  EXPECT_EQ(piece("0", "9").status, 200);
  TestSite without;
  EXPECT_EQ(without.get("/api/map/bytes").status, 404);
}

TEST(HttpMap, AnotherFileIsRefusedAtTheStart) {
  TempFolder folder;
  const auto kind_of = [&](const std::string& bytes) {
    EXPECT_TRUE(SystemFiles().write(folder / "map", bytes));
    const auto checked = check_map_file(folder / "map");
    return checked ? std::nullopt : std::optional(checked.error().kind);
  };
  EXPECT_EQ(kind_of(a_map(127)), std::nullopt);
  EXPECT_EQ(kind_of(a_map(126)), ErrorKind::bad_input);
  EXPECT_EQ(kind_of(""), ErrorKind::bad_input);
  auto older = a_map(200);
  older[7] = 2;
  EXPECT_EQ(kind_of(older), ErrorKind::bad_input);
  EXPECT_EQ(check_map_file(folder / "nothing").error().kind, ErrorKind::not_found);
  EXPECT_EQ(check_map_file(folder.path()).error().kind, ErrorKind::bad_input);
  TestSite world;
  auto options = world.site->options();
  options.upload_folder = folder / "uploads";
  ServeRequest request;
  request.port = 0;
  request.map = folder / "map";
  const auto served = serve(
      request, options, [](const ServeReady&) { ADD_FAILURE() << "it began"; }, [] { return true; });
  ASSERT_FALSE(served);
  EXPECT_EQ(served.error().kind, ErrorKind::bad_input);
}

}  // namespace
}  // namespace headroom::http
