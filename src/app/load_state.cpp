#include "app/load_state.h"

#include "core/book/fold.h"
#include "formats/entry_json.h"
#include "formats/state_snapshot.h"

namespace headroom {

Result<LoadedState> load_state(Ports& ports) {
  auto store = ports.book.to_read();
  if (!store) return tl::unexpected<Error>(store.error());
  auto heads = (*store)->heads();
  if (!heads) return tl::unexpected<Error>(heads.error());
  LoadedState loaded;
  loaded.heads = std::move(*heads);
  if (loaded.heads.empty()) return loaded;
  const auto contents = (*store)->contents();
  if (!contents) return tl::unexpected<Error>(contents.error());
  const auto key = "state " + contents->text();
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
    broken->what += "; run 'headroom book verify' to see what else is damaged";
    return tl::unexpected<Error>(*broken);
  }
  loaded.state = folder.finish();
  // Entries that came between the two reads are in the state and not in the key: such a snapshot is not kept.
  if (const auto still = (*store)->contents(); still && *still == *contents)
    ports.cache.put(key, encode_snapshot(loaded.state, key));
  return loaded;
}

}  // namespace headroom
