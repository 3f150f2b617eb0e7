#include "app/load_state.h"

#include "core/book/fold.h"
#include "core/book/recent.h"
#include "core/typed.h"
#include "formats/entry_json.h"
#include "formats/state_snapshot.h"

namespace headroom {

namespace {

enum class Extent { whole, recent };

Result<LoadedState> load(Ports& ports, Extent extent) {
  auto store = ports.book.to_read();
  if (!store) return tl::unexpected<Error>(store.error());
  auto heads = (*store)->heads();
  if (!heads) return tl::unexpected<Error>(heads.error());
  LoadedState loaded;
  loaded.heads = std::move(*heads);
  if (loaded.heads.empty()) return loaded;
  const auto contents = (*store)->contents();
  if (!contents) return tl::unexpected<Error>(contents.error());
  const auto whole_key = "state " + contents->text(), recent_key = "recent state " + contents->text();
  const auto& key = extent == Extent::whole ? whole_key : recent_key;
  if (const auto bytes = ports.cache.get(key))
    if (auto state = decode_snapshot(*bytes, key)) {
      loaded.state = std::move(*state);
      loaded.from_snapshot = true;
      return loaded;
    }
  Folder folder;
  std::optional<Error> broken;
  const auto read = (*store)->read(0, [&](const EncodedEntry& bytes) {
    auto entry = decode(bytes);
    if (!entry) {
      broken = entry.error();
      return false;
    }
    folder.add(std::move(*entry));
    return true;
  });
  if (!read) return tl::unexpected<Error>(read.error());
  if (broken) {
    broken->what += "; verify the book to see what else is damaged" + typed(": headroom book verify");
    return tl::unexpected<Error>(*broken);
  }
  loaded.state = folder.finish();
  // Entries that came between the two reads are in the state and not in the key: such a snapshot is not kept.
  if (const auto still = (*store)->contents(); still && *still == *contents) {
    ports.cache.put(whole_key, encode_snapshot(loaded.state, whole_key));
    ports.cache.put(recent_key, encode_snapshot(recent_of(loaded.state), recent_key));
  }
  return loaded;
}

}  // namespace

Result<LoadedState> load_state(Ports& ports) {
  return load(ports, Extent::whole);
}

Result<LoadedState> load_recent_state(Ports& ports) {
  return load(ports, Extent::recent);
}

}  // namespace headroom
