// headroom field photo NAME FILE: a picture of the field, kept in the book like a recording; --out writes it back.
#include <memory>

#include "cli/field_parts.h"
#include "cli/text.h"
#include "formats/hash.h"
#include "formats/photo.h"

namespace headroom {

namespace {

constexpr std::uint64_t kLargestPhoto = 16ull << 20;

struct PhotoArguments {
  std::string field, file, out;
};

int keep_photo(World& world, const PhotoArguments& a) {
  const auto session = open_session(world);
  if (!session) return report(world, session.error());
  if (const auto field = find_field(session->state, a.field); !field) return report(world, field.error());
  std::string bytes;
  if (auto read = world.ports.files.read(a.file, bytes, kLargestPhoto); !read) return report(world, read.error());
  if (!photo_kind(bytes))
    return report(world, {ErrorKind::bad_input, "this is neither a JPEG nor a PNG by its first bytes", a.file});
  FieldChange change;
  change.field = a.field;
  change.photo = sha256(bytes);
  const auto written = write_field(change, *session, world, {NamedBlob{*change.photo, bytes}});
  if (!written) return report(world, written.error());
  return show_described(a.field, world);
}

int write_photo_back(World& world, const PhotoArguments& a) {
  const auto session = open_session(world);
  if (!session) return report(world, session.error());
  const auto field = find_field(session->state, a.field);
  if (!field) return report(world, field.error());
  if ((*field)->photo == Hash{}) return report(world, {ErrorKind::not_found, "no photo of " + (*field)->name + " is kept", {}});
  const auto store = world.ports.book.to_read();
  if (!store) return report(world, store.error());
  const auto bytes = (*store)->blob((*field)->photo);
  if (!bytes) return report(world, bytes.error());
  if (!*bytes) return report(world, {ErrorKind::not_found, "the photo was left out of this copy of the book", {}});
  if (sha256(**bytes) != (*field)->photo)
    return report(world, {ErrorKind::damaged, "the photo does not fit its hash. Run book verify", (*field)->photo.text()});
  // A slip of the hand must not write over another file.
  std::string there;
  if (world.ports.files.read_start(a.out, there, 1))
    return report(world, {ErrorKind::refused, "there is a file of that name already", a.out});
  if (auto written = world.ports.files.write(a.out, **bytes); !written) return report(world, written.error());
  return show_described(a.field, world);
}

}  // namespace

void add_field_photo(CommandTree& tree, CLI::App& field) {
  auto a = std::make_shared<PhotoArguments>();
  auto* photo = field.add_subcommand("photo", "Keep a photo of the field in the book, or write it back");
  photo->add_option("field", a->field, "Its name")->required()->type_name("FIELD");
  auto* file = photo->add_option("file", a->file, "A JPEG or PNG of at most 16 MiB")->type_name("FILE");
  photo->add_option("--out", a->out, "Write the photo kept to this file")->type_name("FILE")->excludes(file);
  photo->footer(
      "Examples:\n  headroom field photo \"Upper meadow\" meadow.jpg\n"
      "  headroom field photo \"Upper meadow\" --out meadow.jpg");
  photo->callback([&tree, a] {
    if (a->file.empty() && a->out.empty())
      throw CLI::ValidationError("file", "say which file to keep, or --out to write it back");
    tree.action = [a](World& world) { return a->out.empty() ? keep_photo(world, *a) : write_photo_back(world, *a); };
  });
}

}  // namespace headroom
