#include "cli/page.h"

#include <algorithm>
#include <cctype>

#include "cli/text.h"

namespace headroom {

namespace {

std::vector<std::string> split_at(const std::string& text, char mark) {
  std::vector<std::string> parts;
  std::size_t from = 0;
  for (std::size_t to = text.find(mark); to != std::string::npos; from = to + 1, to = text.find(mark, from))
    parts.push_back(text.substr(from, to - from));
  parts.push_back(text.substr(from));
  return parts;
}

PageArgument argument_of(const CLI::Option& option) {
  PageArgument a;
  a.text = option.get_description();
  a.required = option.get_required();
  a.positional = option.get_positional();
  a.repeats = option.get_items_expected_max() > 1;
  // CLI11 appends what its validators say of themselves behind a colon.
  std::string type = option.get_type_name();
  type = type.substr(0, type.find(':'));
  const auto equals = type.find('=');
  if (type.find('|') != std::string::npos) a.choices = split_at(type.substr(equals == std::string::npos ? 0 : equals + 1), '|');
  if (equals != std::string::npos) type.resize(equals);
  if (a.positional) {
    a.name = option.get_name(true);
    std::transform(a.name.begin(), a.name.end(), a.name.begin(), [](unsigned char c) { return std::toupper(c); });
    a.value = type;
  } else {
    a.name = "--" + option.get_lnames().front();
    if (option.get_items_expected_max() > 0) a.value = type;
  }
  return a;
}

// "FOLDER", "[NAME]", "FILE ..."
std::string as_used(const PageArgument& a) {
  std::string text = a.name;
  if (!a.positional && !a.value.empty()) text += " " + a.value;
  if (a.repeats) text += " ...";
  return a.required ? text : "[" + text + "]";
}

std::string list_of(const std::vector<std::pair<std::string, std::string>>& rows, std::size_t width) {
  constexpr std::size_t kLongestName = 20, kNarrow = 60;
  std::size_t column = 0;
  for (const auto& [name, text] : rows)
    if (shown_width(name) <= kLongestName) column = std::max(column, shown_width(name));
  column += 4;
  std::string out;
  for (const auto& [name, text] : rows) {
    if (width < kNarrow) {
      out += wrapped(strong(name), width, 4, 2) + wrapped(text, width, 6);
    } else if (shown_width(name) + 4 > column) {
      out += "  " + strong(name) + "\n" + wrapped(text, width, column);
    } else {
      const auto lines = wrapped(text, width, column);
      out += "  " + strong(name) + lines.substr(2 + shown_width(name));
    }
  }
  return out;
}

std::string with_stop(const std::string& text) {
  return text.ends_with('.') ? text : text + ".";
}

}  // namespace

std::string lower_first(std::string text) {
  if (text.size() > 1 && (text[1] == ' ' || std::islower(static_cast<unsigned char>(text[1])) != 0))
    text[0] = static_cast<char>(std::tolower(static_cast<unsigned char>(text[0])));
  return text;
}

std::string Page::name() const {
  std::string out;
  for (const auto& word : path) out += (out.empty() ? "" : " ") + word;
  return out;
}

std::vector<std::string> Page::usage() const {
  std::vector<std::string> words{name()};
  for (const auto* a : listed(true)) words.push_back(as_used(*a));
  if (!commands.empty()) words.emplace_back(needs_command ? "COMMAND ..." : "[COMMAND ...]");
  for (const auto* a : listed(false))
    if (a->name != "--help" && a->name != "--version") words.push_back(as_used(*a));
  return words;
}

std::vector<const PageArgument*> Page::listed(bool positional) const {
  std::vector<const PageArgument*> out;
  for (const auto& a : arguments)
    if (a.positional == positional) out.push_back(&a);
  return out;
}

Page page_of(const CLI::App& command) {
  Page page;
  for (const auto* a = &command; a != nullptr; a = a->get_parent()) page.path.insert(page.path.begin(), a->get_name());
  page.text = command.get_description();
  page.needs_command = command.get_require_subcommand_min() > 0;
  for (const auto* option : command.get_options([](const CLI::Option* o) { return !o->get_group().empty(); }))
    if (option != command.get_help_ptr() || command.get_parent() == nullptr) page.arguments.push_back(argument_of(*option));
  for (const auto* sub : command.get_subcommands([](const CLI::App* s) { return !s->get_group().empty(); }))
    page.commands.push_back(page_of(*sub));
  const auto footer = command.get_footer();
  for (const auto& line : split_at(footer, '\n')) {
    if (line.starts_with("  "))
      page.examples.push_back(line.substr(2));
    else if (!line.empty() && line != "Examples:")
      page.remarks.push_back(line);
  }
  return page;
}

std::string help_text(const Page& page, std::size_t width) {
  std::string out = wrapped(strong(page.name()) + ": " + with_stop(lower_first(page.text)), width, 2, 0);
  out += "\n";
  std::string usage;
  // The parts of a usage line are never broken in themselves.
  std::size_t at = 0;
  for (const auto& part : page.usage()) {
    if (at > 0 && at + 1 + shown_width(part) > width) {
      usage += "\n     ";
      at = 5;
    }
    if (at > 0) {
      usage += ' ';
      ++at;
    }
    usage += part;
    at += shown_width(part);
  }
  out += usage + "\n";
  std::vector<std::pair<std::string, std::string>> rows;
  for (const bool positional : {true, false})
    for (const auto* a : page.listed(positional))
      rows.emplace_back(a->name + (positional || a->value.empty() ? "" : " " + a->value), a->text);
  if (page.commands.empty()) {
    if (!rows.empty()) out += "\n" + list_of(rows, width);
  } else {
    std::vector<std::pair<std::string, std::string>> commands;
    for (const auto& c : page.commands) commands.emplace_back(c.path.back(), c.text);
    out += "\n" + list_of(commands, width);
    if (!rows.empty()) out += "\n" + list_of(rows, width);
  }
  if (!page.examples.empty()) {
    out += "\n" + strong("Examples") + "\n";
    for (const auto& example : page.examples) out += wrapped(example, width, 6, 2);
  }
  for (const auto& remark : page.remarks) out += (&remark == &page.remarks.front() ? "\n" : "") + wrapped(remark, width);
  if (page.path.size() > 1) {
    out += "\n";
    out += wrapped("With every command: --book FILE, --units UNITS, --zone ZONE, --json, --help. headroom --help explains them.",
                   width);
  }
  return out;
}

std::string HelpFormatter::make_help(const CLI::App* command, std::string, CLI::AppFormatMode) const {
  return help_text(page_of(*command), width_);
}

}  // namespace headroom
